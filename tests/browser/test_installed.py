"""The page on the phone: installed, without network, cut off, with a wrong clock, paired."""

from __future__ import annotations

import re
import time
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Route, expect
from tests.browser.watching import Server, newest, opened

from lattermath.desk import clock
from lattermath.desk.told_entries import ToldEntry, record_of
from lattermath.doors.web.installed import PAGES

DAY = "2011-07-30"
KEYS = Path(__file__).resolve().parents[1] / "doors" / "web" / "certificate"
PAGES_KEPT = "caches.open('lattermath pages').then(one => one.keys()).then(all => all.length)"


def entries(folder: Path) -> tuple[ToldEntry, ...]:
    return record_of(folder).entries


def come(page: Page, folder: Path, number: int) -> tuple[ToldEntry, ...]:
    """The entries once there are so many; a moment later there are no more."""
    ends = time.monotonic() + 40
    while len(entries(folder)) < number and time.monotonic() < ends:
        page.wait_for_timeout(200)  # and not a sleep, in which no route would be walked
    page.wait_for_timeout(1000)
    assert len(entries(folder)) == number
    return entries(folder)


def keep_pages(page: Page, home: str) -> None:
    """Open the visit, and wait until the phone has kept all pages and answers for them."""
    page.goto(home)
    ends = time.monotonic() + 60
    while time.monotonic() < ends:
        answers = page.evaluate("Boolean(navigator.serviceWorker.controller)")
        if answers and page.evaluate(PAGES_KEPT) == len(PAGES):
            return
        page.wait_for_timeout(200)
    raise AssertionError("the pages were not kept")


def log_picking(page: Page, home: str, kg: str, planting: str = "Courgettes") -> None:
    page.goto(f"{home}/log/picked")
    page.get_by_label(planting, exact=True).check()
    page.get_by_label(re.compile("^Weight")).fill(kg)
    page.get_by_role("button", name="Log it").click()


def waits(page: Page, number: int) -> None:
    noun = "entry waits" if number == 1 else "entries wait"
    expect(page.locator("#outbox")).to_contain_text(f"{number} {noun}")


def test_every_page_opens_without_network_and_entries_come_home_once(
    home: str, folder: Path, app: BrowserContext
) -> None:
    page, before = app.new_page(), len(entries(folder))
    keep_pages(page, home)
    app.set_offline(True)
    for address in PAGES:
        page.goto(f"{home}{address}")
        expect(page.locator("h1").first).to_be_visible()
    page.goto(home)
    expect(page.locator(".task").first).to_be_visible()
    expect(page.locator("#offline")).to_contain_text("kept on this phone on")
    log_picking(page, home, "0.7")
    waits(page, 1)
    log_picking(page, home, "0.2", "Cucumbers")
    waits(page, 2)
    page.close()
    page = app.new_page()
    page.goto(home)  # opened anew, still without network
    waits(page, 2)
    assert len(entries(folder)) == before
    app.set_offline(False)
    page.get_by_role("button", name="Send now").click()
    expect(page.locator("#outbox")).to_be_hidden()
    second, first = come(page, folder, before + 2)[:2]
    assert "0.7 kg" in first.says and "0.2 kg" in second.says and first.at <= second.at
    page.reload()
    page.goto(f"{home}/take-away.html")  # the same store: nothing is left to send
    expect(page.locator("#waiting")).to_be_hidden()
    come(page, folder, before + 2)


def test_a_tick_without_network_is_shown_and_comes_home(
    home: str, folder: Path, app: BrowserContext
) -> None:
    page, before = app.new_page(), len(entries(folder))
    keep_pages(page, home)
    app.set_offline(True)
    page.goto(home)
    row = page.locator(".task:not([data-done])").last
    row.locator("summary").click()
    row.get_by_role("button", name="Not done").click()
    expect(row.locator("[data-waits]")).to_contain_text("Waits on this phone")
    expect(row.locator("button.tick")).to_be_disabled()
    app.set_offline(False)
    page.reload()
    expect(page.locator("#outbox")).to_be_hidden()
    assert come(page, folder, before + 1)[0].how == "not done"


def test_a_network_cut_while_saving_loses_nothing_and_writes_nothing_twice(
    home: str, folder: Path, phone: BrowserContext
) -> None:
    """Cut before home heard, then cut after it heard and before the phone was told."""
    page, before, heard = phone.new_page(), len(entries(folder)), False

    def cut(route: Route) -> None:
        if heard:
            route.fetch()
        route.abort()

    phone.route("**/take-in", cut)
    log_picking(page, home, "0.3")
    expect(page.locator("#outbox")).to_contain_text("Home does not answer")  # the first try is over
    waits(page, 1)
    assert len(entries(folder)) == before
    heard = True
    page.get_by_role("button", name="Send now").click()
    come(page, folder, before + 1)
    waits(page, 1)
    phone.unroute("**/take-in")
    page.reload()
    expect(page.locator("#outbox")).to_be_hidden()
    come(page, folder, before + 1)


def test_a_server_killed_and_started_again_gets_what_waited(
    folder: Path, phone: BrowserContext
) -> None:
    server = Server(folder, DAY)
    home, page, before = server.start(), phone.new_page(), len(entries(folder))
    newest(home, 0)
    page.goto(f"{home}/log/picked")
    server.kill()
    page.get_by_label("Courgettes", exact=True).check()
    page.get_by_label(re.compile("^Weight")).fill("0.4")
    page.get_by_role("button", name="Log it").click()
    waits(page, 1)
    expect(page.locator("#offline")).to_be_visible()
    server.start()
    expect(page.locator("#outbox")).to_be_hidden(timeout=40_000)  # by itself
    assert "0.4 kg" in come(page, folder, before + 1)[0].says
    server.end()


def test_the_hour_of_a_phone_with_a_wrong_clock_is_set_right(
    home: str, folder: Path, phone: BrowserContext
) -> None:
    page, before = phone.new_page(), len(entries(folder))
    here = clock.now().astimezone(ZoneInfo("America/Denver"))
    wrong = timedelta(hours=3 if here.hour < 12 else -3)  # so that it stays the same day
    page.goto(f"{home}/log/picked")
    page.clock.set_system_time(clock.now() + wrong)
    page.get_by_label("Courgettes", exact=True).check()
    page.get_by_label(re.compile("^Weight")).fill("0.1")
    page.get_by_role("button", name="Log it").click()
    expect(page.locator(".settles")).to_contain_text("0.1 kg")
    at = come(page, folder, before + 1)[0].at
    told = datetime.combine(here.date(), at.time())
    assert abs(told - here.replace(tzinfo=None)) < timedelta(minutes=5)


def test_what_home_refuses_is_shown_and_can_be_taken_back(
    home: str, folder: Path, phone: BrowserContext
) -> None:
    page, before = phone.new_page(), len(entries(folder))
    phone.route("**/take-in", lambda route: route.abort())
    log_picking(page, home, "5000")
    expect(page.locator("#outbox")).to_contain_text("Home does not answer")
    log_picking(page, home, "0.6")
    expect(page.locator("#outbox")).to_contain_text("Home does not answer")
    waits(page, 2)
    phone.unroute("**/take-in")
    page.get_by_role("button", name="Send now").click()
    strip = page.locator("#outbox")
    expect(strip).to_contain_text("1 was refused")
    strip.locator("summary").click()
    expect(strip.locator("li")).to_have_count(1)
    expect(strip.locator("li")).to_contain_text("refused:")
    assert "0.6 kg" in come(page, folder, before + 1)[0].says
    strip.get_by_role("button", name=re.compile("^Undo")).click()
    expect(strip).to_be_hidden()


def test_a_form_that_cannot_be_says_so_at_once(
    home: str, folder: Path, phone: BrowserContext
) -> None:
    page, before = phone.new_page(), len(entries(folder))
    log_picking(page, home, "5000")
    expect(page.locator("main .warning[role=alert]:visible")).to_contain_text("Not logged yet")
    expect(page.get_by_label(re.compile("^Weight"))).to_have_value("5000")
    page.get_by_label(re.compile("^Weight")).fill("0.5")
    page.get_by_role("button", name="Log it").click()
    expect(page.locator(".settles")).to_contain_text("0.5 kg")
    come(page, folder, before + 1)


@pytest.fixture(scope="module")
def housed(folder: Path) -> Iterator[Server]:
    server = Server(folder, DAY, "--lan", "--name", "plot.test")
    newest(server.start(), 0)
    yield server
    server.end()


def pair(browser_page: Page, code: str, name: str) -> None:
    browser_page.get_by_label(re.compile("^Code")).fill(code)
    browser_page.get_by_label(re.compile("^What this phone")).fill(name)
    browser_page.get_by_role("button", name="Pair").click()


def test_another_phone_is_paired_logs_and_is_shut_out(
    housed: Server, folder: Path, browser: Browser, phone: BrowserContext
) -> None:
    machine, before = phone.new_page(), len(entries(folder))
    machine.goto(f"http://localhost:{housed.port}/phones")
    machine.get_by_role("button", name="New code").click()
    expect(machine.locator("svg.qr")).to_be_visible()
    told = machine.get_by_text(re.compile("^Code [0-9]")).inner_text()
    code = " ".join(told.split()[1:3]).rstrip(",")
    with opened(browser, extra_http_headers={"x-forwarded-for": "192.168.1.7"}) as other:
        page, home = other.new_page(), f"http://plot.test:{housed.port}"
        page.goto(home)
        pair(page, "0000 0000", "Anna")
        expect(page.locator("[role=alert]")).to_contain_text("Not paired")
        pair(page, code, "Anna")
        expect(page.locator(".task").first).to_be_visible()
        log_picking(page, home, "0.8")
        expect(page.locator(".settles")).to_contain_text("0.8 kg")
        page.goto(f"{home}/take")
        expect(page.get_by_text("Not at this address")).to_be_visible()
        expect(page.get_by_text("You have it here")).to_be_hidden()
        machine.reload()
        machine.get_by_role("button", name="Take leave away: Anna").click()
        expect(machine.locator(".settles")).to_contain_text("Taken away: Anna")
        log = page.goto(f"{home}/log")
        assert log is not None and log.status == 401
        expect(page.get_by_role("heading")).to_have_text("Pair this phone")
    assert "0.8 kg" in come(machine, folder, before + 1)[0].says


def test_on_this_machine_the_page_says_that_it_can_be_installed(
    home: str, app: BrowserContext
) -> None:
    page = app.new_page()
    page.goto(f"{home}/take")
    expect(page.get_by_text("You have it here")).to_be_visible()
    expect(page.get_by_text("Not at this address")).to_be_hidden()
    told = page.evaluate("fetch('/manifest.webmanifest').then(answer => answer.json())")
    for icon in told["icons"]:
        answer = page.request.get(f"{home}{icon['src']}")
        size = int.from_bytes(answer.body()[16:20], "big")  # of a PNG: in its first chunk
        assert answer.status == 200 and f"{size}x{size}" == icon["sizes"]


def test_under_a_certificate_of_its_own_a_phone_is_paired_and_its_session_is_for_https(
    folder: Path, browser: Browser
) -> None:
    tls = ["--cert", str(KEYS / "house.pem"), "--key", str(KEYS / "house.key")]
    server = Server(folder, DAY, "--lan", "--name", "plot.test", *tls)
    server.start()
    with opened(browser, ignore_https_errors=True) as machine:
        page = machine.new_page()
        page.goto(f"https://localhost:{server.port}/phones")
        page.get_by_role("button", name="New code").click()
        told = page.get_by_text(re.compile("^Code [0-9]")).inner_text()
    far = {"x-forwarded-for": "203.0.114.9"}
    with opened(browser, ignore_https_errors=True, extra_http_headers=far) as other:
        page = other.new_page()
        page.goto(f"https://plot.test:{server.port}/")
        pair(page, " ".join(told.split()[1:3]).rstrip(","), "Ben")
        expect(page.locator(".task, #fresh").first).to_be_visible(timeout=60_000)
        (cookie,) = other.cookies()
        assert cookie["name"] == "__Host-lattermath"
        assert cookie["secure"] and cookie["httpOnly"] and cookie["sameSite"] == "Lax"
    server.end()
