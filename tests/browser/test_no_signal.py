"""No signal, and what goes wrong with it: photos that wait, clocks, closed browsers, two phones."""

from __future__ import annotations

import re
import subprocess
import sys
from datetime import datetime, timedelta
from io import BytesIO
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from PIL import Image
from playwright.sync_api import Browser, BrowserContext, Page, Route, expect
from tests.browser.conftest import CHROMIUM, QUIET
from tests.browser.test_installed import DAY, come, entries, keep_pages, log_picking, waits
from tests.browser.test_stories import MINIMAL, README
from tests.browser.watching import Server, newest, opened

from lattermath.desk import clock
from lattermath.doors.web.installed import PAGES, PARTS

MOST_BYTES = 525_000  # of a photo as the phone keeps it


def camera() -> bytes:
    """As a phone gives it: large, lying on its side, with the maker and the place in it."""
    picture, exif = BytesIO(), Image.Exif()
    exif[0x010F], exif[0x0112] = "SecretCam", 6  # turned a quarter
    exif.get_ifd(0x8825)[1] = "N"
    exif.get_ifd(0x8825)[2] = (50.0, 48.0, 12.0)
    Image.effect_noise((2400, 1800), 90).convert("RGB").save(picture, "JPEG", exif=exif, quality=95)
    return picture.getvalue()


def fill_seen(page: Page, home: str, photo: bytes, name: str = "holes.jpg") -> None:
    page.goto(f"{home}/log/seen")
    page.get_by_label("Melons", exact=True).check()
    page.get_by_label(re.compile("^What")).fill("strange holes")
    kind = "image/jpeg" if name.endswith("jpg") else "image/heic"
    page.get_by_label(re.compile("^Photo")).set_input_files(
        {"name": name, "mimeType": kind, "buffer": photo}
    )
    page.get_by_role("button", name="Log it").click()


def test_a_photo_without_network_waits_small_and_nameless_and_arrives_once(
    home: str, folder: Path, app: BrowserContext
) -> None:
    page, before = app.new_page(), len(entries(folder))
    photos = set((folder / "photos").glob("*"))
    keep_pages(page, home)
    app.set_offline(True)
    fill_seen(page, home, b"\0\0\0\x18ftypheic", "IMG.HEIC")
    expect(page.get_by_role("alert").filter(has_text="Choose a JPEG or PNG")).to_be_visible()
    expect(page.locator("#outbox")).to_be_hidden()  # and nothing waits
    fill_seen(page, home, camera())
    waits(page, 1)
    page.locator("#outbox summary").click()
    expect(page.locator("#outbox")).to_contain_text("with a photo")
    kept = page.evaluate("lattermathEntries.all().map(one => atob(one.photo))")[0].encode("latin-1")
    assert len(kept) < MOST_BYTES and b"SecretCam" not in kept
    page.close()
    page = app.new_page()
    page.goto(home)  # opened anew, still without network
    waits(page, 1)
    assert len(entries(folder)) == before
    app.set_offline(False)
    page.get_by_role("button", name="Send now").click()
    expect(page.locator("#outbox")).to_be_hidden()
    told = come(page, folder, before + 2)  # the entry, and its photo
    (name,) = next(one.photos for one in told if one.photos)
    new = {file.name for file in (folder / "photos").glob("*")} - {file.name for file in photos}
    assert name in new
    there = (folder / "photos" / name).read_bytes()
    picture = Image.open(BytesIO(there))
    assert picture.size == (960, 1280), "upright"
    assert not picture.getexif() and b"SecretCam" not in there
    page.reload()
    page.goto(f"{home}/take-away.html")
    come(page, folder, before + 2)
    assert page.evaluate("lattermathEntries.all().filter(one => one.photo).length") == 0


PARTS_KEPT = """() => caches.keys()
  .then((names) => names.find((name) => name.startsWith("lattermath parts")))
  .then((name) => caches.open(name)).then((parts) => parts.keys())
  .then((all) => all.map((one) => new URL(one.url).pathname))"""
STYLED = """() => document.fonts.ready.then(() => ({
  sheets: [...document.querySelectorAll("link[rel=stylesheet]")].map(
    (link) => [new URL(link.href).pathname, link.sheet ? link.sheet.cssRules.length : 0]),
  face: [...document.fonts].some((one) => one.family.includes("Fira") && one.status === "loaded"),
  paper: getComputedStyle(document.body).backgroundColor,
  wide: document.documentElement.scrollWidth <= window.innerWidth,
}))"""


def test_with_the_server_gone_every_promised_page_is_styled_and_a_photo_waits(
    folder: Path, app: BrowserContext
) -> None:
    """Not only cut off: killed, so that nothing but what the phone kept can answer."""
    server = Server(folder, DAY)
    home, page, before = server.start(), app.new_page(), len(entries(folder))
    newest(home, 0)
    keep_pages(page, home)
    served = {address: styles(page, home + address) for address in PAGES}
    server.kill()
    app.set_offline(True)
    fill_seen(page, home, camera())
    waits(page, 1)
    found = set()
    for address in PAGES:
        told = styles(page, home + address)
        assert told == served[address], address
        assert all(rules for _, rules in told["sheets"]) and told["face"] and told["wide"], address
        found |= {Path(name).name for name, _ in told["sheets"]}
        if address != "/take-away.html":
            waits(page, 1)  # on every page it says that something waits
    assert {name for name in PARTS if name.endswith(".css")} - found <= {"typing.css"}
    kept = set(page.evaluate(PARTS_KEPT))
    assert {f"/static/{name}" for name in PARTS} <= kept
    app.set_offline(False)
    server.start()
    page.goto(home)
    expect(page.locator("#outbox")).to_be_hidden(timeout=40_000)  # by itself
    assert any(one.photos for one in come(page, folder, before + 2)[:2])
    server.end()


def styles(page: Page, address: str) -> dict[str, Any]:
    """The stylesheets of a page with the number of their rules, its face and its ground."""
    page.goto(address)
    expect(page.locator("h1").first).to_be_visible()
    return dict(page.evaluate(STYLED))


def test_a_phone_keeps_no_more_photos_than_it_can_carry(
    home: str, folder: Path, app: BrowserContext
) -> None:
    page, before = app.new_page(), len(entries(folder))
    keep_pages(page, home)
    app.set_offline(True)
    for _ in range(20):
        page.evaluate("lattermathEntries.add('seen', {}, '', 'one', 'AAAA')")
    fill_seen(page, home, camera())
    expect(page.get_by_role("alert").filter(has_text="20 photos already")).to_be_visible()
    waits(page, 20)
    page.evaluate("lattermathEntries.drop(lattermathEntries.all().map(one => one.id))")
    assert len(entries(folder)) == before


def test_a_photo_whose_network_is_cut_on_the_way_arrives_once(
    home: str, folder: Path, phone: BrowserContext
) -> None:
    """Home heard it, and the phone was not told."""
    page, before = phone.new_page(), len(entries(folder))
    phone.route("**/take-in", lambda route: (route.fetch(), route.abort()))
    fill_seen(page, home, camera())
    waits(page, 1)
    come(page, folder, before + 2)
    phone.unroute("**/take-in")
    page.get_by_role("button", name="Send now").click()
    expect(page.locator("#outbox")).to_be_hidden()
    come(page, folder, before + 2)


def test_a_server_killed_in_the_middle_of_saving_writes_it_once(
    folder: Path, phone: BrowserContext
) -> None:
    """It hears the entry, is killed before it answers, and comes up again."""
    server = Server(folder, DAY)
    home, page, before = server.start(), phone.new_page(), len(entries(folder))
    newest(home, 0)
    page.goto(f"{home}/log/picked")
    page.get_by_label("Courgettes", exact=True).check()
    page.get_by_label(re.compile("^Weight")).fill("0.9")
    server.freeze()
    page.get_by_role("button", name="Log it").click()
    waits(page, 1)
    page.wait_for_timeout(1000)
    server.kill()
    expect(page.locator("#outbox")).to_contain_text("Home does not answer")
    server.start()
    page.get_by_role("button", name="Send now").click()
    expect(page.locator("#outbox")).to_be_hidden(timeout=40_000)
    assert "0.9 kg" in come(page, folder, before + 1)[0].says
    server.end()


@pytest.fixture
def live(tmp_path: Path) -> Path:
    """A plot that is started now, so that its day is today's."""
    found = MINIMAL.search(README.read_text("utf-8"))
    assert found
    (tmp_path / "plot.toml").write_text(found[1], "utf-8")
    start = [sys.executable, "-m", "lattermath", "start", str(tmp_path)]
    subprocess.run(start, check=True, capture_output=True)
    return tmp_path


@pytest.mark.parametrize(("days", "says"), [(1, "1 day ahead"), (-1, "1 day slow")])
def test_a_phone_whose_clock_is_a_day_off_writes_down_today(
    live: Path, phone: BrowserContext, days: int, says: str
) -> None:
    server, page, before = Server(live, ""), phone.new_page(), len(entries(live))
    home = server.start()
    page.goto(f"{home}/log/visit")
    page.clock.set_system_time(clock.now() + timedelta(days=days))
    page.get_by_label("Minutes").fill("35")
    told: list[str] = []

    def overheard(route: Route) -> None:
        answer = route.fetch()
        told.append(answer.json()["says"])
        route.fulfill(response=answer)

    phone.route("**/take-in", overheard)
    page.get_by_role("button", name="Log it").click()
    expect(page.locator(".settles")).to_be_visible()
    assert says in " ".join(told)
    entry = come(page, live, before + 1)[0]
    zone = entry.at.tzinfo or ZoneInfo("Europe/London")
    at, here = entry.at.replace(tzinfo=None), clock.now().astimezone(zone).replace(tzinfo=None)
    assert abs(at - here) < timedelta(minutes=5), (at, here)
    server.end()


def test_a_browser_that_is_closed_still_has_what_waited(
    home: str, folder: Path, browser: Browser, tmp_path: Path
) -> None:
    """The program itself is ended and started again, not only a page."""

    def start() -> BrowserContext:
        return browser.browser_type.launch_persistent_context(
            tmp_path / "profile",
            executable_path=CHROMIUM,
            args=[*QUIET, "--no-sandbox"],
            viewport={"width": 360, "height": 740},
        )

    before, first = len(entries(folder)), start()
    page = first.new_page()
    keep_pages(page, home)
    first.set_offline(True)
    log_picking(page, home, "1.1")
    waits(page, 1)
    first.close()
    second = start()
    second.set_offline(True)
    page = second.new_page()
    page.goto(home)  # from what the phone kept
    waits(page, 1)
    second.set_offline(False)
    page.get_by_role("button", name="Send now").click()
    expect(page.locator("#outbox")).to_be_hidden()
    assert "1.1 kg" in come(page, folder, before + 1)[0].says
    second.close()


def test_two_pages_that_send_the_same_entry_at_once_write_it_once(
    home: str, folder: Path, phone: BrowserContext
) -> None:
    one, before = phone.new_page(), len(entries(folder))
    one.goto(f"{home}/log/picked")
    other = phone.new_page()
    other.goto(f"{home}/log")
    phone.route("**/take-in", lambda route: route.abort())
    one.get_by_label("Courgettes", exact=True).check()
    one.get_by_label(re.compile("^Weight")).fill("1.2")
    one.get_by_role("button", name="Log it").click()
    waits(one, 1)
    other.reload()
    waits(other, 1)
    phone.unroute("**/take-in")
    for page in (one, other):
        page.evaluate("void lattermathEntries.send().catch(() => 0)")
    expect(one.locator("#outbox")).to_be_hidden()
    expect(other.locator("#outbox")).to_be_hidden()
    assert "1.2 kg" in come(one, folder, before + 1)[0].says


def test_two_phones_that_tick_one_job_differently_are_told_and_nothing_is_settled_for_them(
    home: str, folder: Path, browser: Browser
) -> None:
    """One says left, the other done; the second is refused on its own phone, and can be sent."""
    before = len(entries(folder))
    newest(home, entries(folder)[0].serial)
    apart = {"service_workers": "block"}
    with opened(browser, **apart) as first, opened(browser, **apart) as second:
        here, there = first.new_page(), second.new_page()
        for page in (here, there):
            page.goto(home)
        # A job that a tick alone says enough of.
        row = there.locator(".task[data-task]:not([data-done]):not([data-form])").first
        task = row.get_attribute("data-task")
        mine = here.locator(f".task[data-task='{task}']")
        mine.locator("summary").click()
        mine.get_by_role("button", name="Not done").click()
        one = come(here, folder, before + 1)[0]
        there.locator(f".task[data-task='{task}'] button.tick").click()
        strip = there.locator("#outbox")
        expect(strip).to_contain_text("1 was refused")
        strip.locator("summary").click()
        expect(strip.locator("li")).to_contain_text("ticked already")
        come(there, folder, before + 1)  # nothing was written over the first
        here.goto(f"{home}/record")
        here.get_by_role("button", name=re.compile("^Undo: .*not done$")).first.click()
        strip.get_by_role("button", name=re.compile("^Try again")).click()
        expect(strip).to_be_hidden()
        told = [entry for entry in entries(folder) if entry.task == task and entry.may_undo]
        assert [(entry.task, entry.how) for entry in told] == [(one.task, "as written")]


def test_counts_of_two_phones_that_cannot_both_be_are_shown_until_one_is_taken_back(
    home: str, folder: Path, browser: Browser
) -> None:
    with (
        opened(browser, service_workers="block") as first,
        opened(browser, service_workers="block") as second,
    ):
        page, other = first.new_page(), second.new_page()
        page.goto(f"{home}/log/counted")
        page.get_by_label("Courgettes", exact=True).check()
        page.get_by_label(re.compile("^What")).fill("greenhouse whitefly")
        for leaf, number in enumerate(("4", "3", "5")):
            page.locator("input[name=counts]").nth(leaf).fill(number)
        page.get_by_role("button", name="Log it").click()
        expect(page.locator(".settles")).to_be_visible()
        expect(page.locator(".at-odds")).to_have_count(0)
        other.goto(f"{home}/log/none-seen")
        other.get_by_label("Courgettes", exact=True).check()
        other.get_by_label(re.compile("^What")).fill("greenhouse whitefly")
        other.get_by_role("button", name="Log it").click()
        page.goto(f"{home}/log/shaken")  # what flies up is another look, and at odds with nothing
        page.get_by_label("Courgettes", exact=True).check()
        page.get_by_label(re.compile("^What")).fill("greenhouse whitefly")
        page.get_by_label("few").check()
        page.get_by_role("button", name="Log it").click()
        expect(page.locator(".settles")).to_be_visible()
        odd = other.locator(".at-odds")
        expect(odd).to_contain_text("Two entries do not agree")
        expect(odd.locator("li")).to_have_count(2)
        page.goto(f"{home}/record")
        expect(page.locator(".at-odds")).to_have_count(1)
        odd.get_by_role("button", name=re.compile("^Undo")).first.click()
        expect(other.locator(".at-odds")).to_have_count(0)


def test_undo_without_network_says_so_stays_and_works_when_it_is_back(
    home: str, folder: Path, app: BrowserContext
) -> None:
    page, before = app.new_page(), len(entries(folder))
    keep_pages(page, home)
    log_picking(page, home, "1.3")
    expect(page.locator(".settles")).to_contain_text("1.3 kg")
    page.goto(f"{home}/log")
    app.set_offline(True)
    page.reload()  # from what the phone kept
    expect(page.locator("#offline")).to_be_visible()
    undo = page.get_by_role("button", name=re.compile("^Undo: 1.3 kg")).first
    undo.click()
    expect(page.locator("#outbox")).to_contain_text("nothing was changed")
    assert page.url == f"{home}/log" and len(entries(folder)) == before + 1
    app.set_offline(False)
    undo.click()
    newest_entry = come(page, folder, before + 2)[0]
    assert newest_entry.kind == "withdrawal"


def test_the_file_of_the_take_away_page_is_handed_over_on_the_page_at_home(
    home: str, folder: Path, browser: Browser, tmp_path: Path
) -> None:
    """Carried to another browser: the phone's own would send what waits by itself."""
    before = len(entries(folder))
    with opened(browser) as phone:
        page = phone.new_page()
        page.goto(f"{home}/take-away.html")
        phone.set_offline(True)
        page.locator("#form-visit summary").click()
        page.locator("#form-visit").get_by_label("Minutes").fill("45")
        page.locator("#form-visit").get_by_role("button", name="Log it").click()
        with page.expect_download() as saved:
            page.get_by_role("button", name="Save as a file").click()
        saved.value.save_as(tmp_path / "entries.json")
    with opened(browser) as machine:
        page = machine.new_page()
        for says in ("1 taken in", "1 known already"):
            page.goto(f"{home}/take")
            page.get_by_label("Or the file").set_input_files(tmp_path / "entries.json")
            page.get_by_role("button", name="Take them in").click()
            expect(page.locator(".settles")).to_contain_text(says)
        page.get_by_role("button", name="Take them in").click()
        expect(page.locator(".settles")).to_contain_text("othing was handed over")
        come(page, folder, before + 1)
    assert abs((entries(folder)[0].at.replace(tzinfo=None) - datetime(2011, 7, 30)).days) < 2
