"""Who may ask, and what a page may do: one gate before every page."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Collection

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import JSONResponse, PlainTextResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

SAFE_METHODS = frozenset({"GET", "HEAD", "OPTIONS"})
HERE_ONLY = frozenset({"localhost", "127.0.0.1", "[::1]"})
LARGEST_BODY = 12_000_000  # bytes: a photo and some words
# Nothing loaded from elsewhere, no inline script or style, no frame around a page.
POLICY = (
    "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self' data: blob:; "
    "font-src 'self'; connect-src 'self'; manifest-src 'self'; worker-src 'self'; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
}

REMEDIES = {
    403: "Ask from a program, or from a page of this program's own.",
    413: "Send less at once.",
    421: "Use the address that `lattermath serve` told.",
}


class Guard:
    """Refuses names that are not this machine's, and changes asked for by other sites."""

    def __init__(self, app: ASGIApp, hosts: Collection[str] = HERE_ONLY) -> None:
        """Guard an app that answers to these host names, whatever the port."""
        self._app, self._hosts = app, frozenset(hosts)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a refusal, or hand the request on and put the headers on its answer."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        refusal = self._refusal(scope["method"], Headers(scope=scope))
        if refusal is not None:
            await _refused(scope["path"], *refusal)(scope, receive, send)
            return
        await self._app(scope, receive, _with_headers(send, scope["path"]))

    def _refusal(self, method: str, headers: Headers) -> tuple[int, str] | None:
        host = headers.get("host", "")
        if _name(host) not in self._hosts:
            return 421, "This program answers only to its own address."
        if method in SAFE_METHODS:
            return None
        size = headers.get("content-length") or "0"
        if not size.isdecimal() or int(size[:18]) > LARGEST_BODY:
            return 413, "This is too large to take in."
        return None if _same_site(headers, host) else (403, "Asked for by another site; refused.")


def _refused(path: str, status: int, words: str) -> Response:
    """The refusal as a line; to a program in the shape of every refusal."""
    if not path.startswith("/api/"):
        return PlainTextResponse(words, status, HEADERS)
    told = {"what": words, "where": path, "value": "", "remedy": REMEDIES[status]}
    return JSONResponse(told, status, HEADERS)


def _name(host: str) -> str:
    """The host without its port; an address in brackets keeps them."""
    if host.startswith("["):
        return host.partition("]")[0] + "]"
    return host.partition(":")[0].lower()


def _same_site(headers: Headers, host: str) -> bool:
    """Whether a change comes from a page of ours, or from no page at all."""
    fetched = headers.get("sec-fetch-site")
    if fetched is not None:
        return fetched in ("same-origin", "none")
    origin = headers.get("origin")
    return origin is None or origin.partition("://")[2] == host


def _with_headers(send: Send, path: str) -> Callable[[Message], Awaitable[None]]:
    async def answer(message: Message) -> None:
        if message["type"] == "http.response.start":
            told = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                if name not in told:  # a page that carries its own script brings its own policy
                    told[name] = value
            if "cache-control" not in told:
                kept = "max-age=86400" if path.startswith("/static/") else "no-store"
                told["cache-control"] = kept
        await send(message)

    return answer
