/* Keeps the pages and the last plan on this phone. The line before this one tells the build, what
   belongs to it, and the pages. Pages: the network first, for as long as one waits gladly; parts:
   what was kept; what changes anything is never kept and never answered from here. */
"use strict";
const PARTS = "lattermath parts " + told.build, PAGES = "lattermath pages";
const GLADLY = 3000;  // a weak signal is worse than none

self.addEventListener("install", (event) => event.waitUntil(install()));
self.addEventListener("activate", (event) => event.waitUntil(tidy()));
self.addEventListener("message", (event) => { if (event.data === "keep") { event.waitUntil(keepPages()); } });
self.addEventListener("fetch", (event) => {
  const asked = event.request, address = new URL(asked.url);
  if (asked.method !== "GET" || address.origin !== location.origin) { return; }
  if (address.pathname.startsWith("/static/")) { event.respondWith(part(asked)); }
  else if (asked.mode === "navigate") { event.respondWith(page(event, asked, address)); }
});

async function install() {
  const parts = await caches.open(PARTS);
  await parts.addAll(told.parts.map((address) => new Request(address, { cache: "reload" })));
  await keepPages();
  await self.skipWaiting();
}

async function tidy() {
  const names = await caches.keys();
  const old = names.filter((name) => name.startsWith("lattermath ") && name !== PARTS && name !== PAGES);
  await Promise.all(old.map((name) => caches.delete(name)));
  await self.clients.claim();
}

async function keepPages() {  // one after the other: a phone's line is narrow
  for (const address of told.pages) {
    try { await keep(address, await fetch(address, { cache: "no-store" })); } catch { return; }
  }
}

async function keep(address, answer) {
  if (answer.status === 401) { await caches.delete(PAGES); }  // leave was taken away
  if (!answer.ok || answer.redirected || answer.type !== "basic") { return; }
  await (await caches.open(PAGES)).put(address, answer.clone());
}

async function part(asked) {
  const parts = await caches.open(PARTS);
  return (await parts.match(asked)) || fetch(asked);
}

async function page(event, asked, address) {
  const coming = fetch(asked).then(async (answer) => {
    if (address.search === "") { await keep(address.pathname, answer); }
    return answer;
  });
  const none = new Promise((done) => setTimeout(done, GLADLY, null));
  event.waitUntil(coming.catch(() => null));
  const answer = coming.catch(() => null), kept = await (await caches.open(PAGES)).match(address.pathname);
  // An answer to a question is not kept: the page without it would be an empty form.
  const soon = await (address.search === "" ? Promise.race([answer, none]) : answer);
  if (soon) { return soon; }
  if (kept) { event.waitUntil(tell(event)); }
  return kept || coming.catch(() => Response.redirect("/"));
}

async function tell(event) {  // whoever sees a kept page is told so, also where home answers late
  for (let tries = 0; tries < 20; tries += 1) {
    const client = await self.clients.get(event.resultingClientId);
    if (client) { client.postMessage("kept"); }
    await new Promise((done) => setTimeout(done, 250));
  }
}
