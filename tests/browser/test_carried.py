"""The take-away page opened as a file: home up, home down, a stranger's phone, and twice."""

from __future__ import annotations

import json
import re
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Route, expect
from tests.browser.test_installed import DAY, come, entries, pair
from tests.browser.watching import Server, newest, opened, watch

from lattermath.record.ids import uuid7


def carried(home: str, file: Path) -> str:
    """The page as a phone has it once it was saved, by its address."""
    with urllib.request.urlopen(f"{home}/take-away.html") as answer:
        file.write_bytes(answer.read())
    return file.as_uri()


def stay(page: Page, minutes: int) -> None:
    form = page.locator("#form-visit")
    form.locator("summary").click()
    form.get_by_label("Minutes").fill(str(minutes))
    form.get_by_role("button", name="Log it").click()


def press_send(page: Page) -> Page:
    """Press Send home, and give the page of home that opens beside."""
    with page.context.expect_page() as beside:
        page.get_by_role("button", name="Send home").click()
    return beside.value


def test_a_file_hands_over_on_a_page_of_home_after_one_press_and_once(
    home: str, folder: Path, phone: BrowserContext, tmp_path: Path
) -> None:
    seen, before = watch(phone.new_page()), len(entries(folder))
    page = seen.page
    page.goto(carried(home, tmp_path / "visit.html"))
    stay(page, 41)
    stay(page, 42)
    beside = press_send(page)
    shown = watch(beside)
    expect(beside.locator("[data-brought] li")).to_have_count(2)
    expect(beside.locator("[data-brought]")).to_contain_text("Stay: 41")
    expect(page.locator("[data-said]")).to_contain_text("press Take them in there")
    come(page, folder, before)  # nothing is written until it is pressed
    expect(page.locator("#waiting")).to_contain_text("2 entries wait")
    beside.get_by_role("button", name="Take them in").click()
    expect(beside.locator("[data-state]")).to_contain_text("2 taken in")
    expect(page.locator("[data-said]")).to_contain_text("Home says: 2 taken in")
    expect(page.locator("#waiting")).to_be_hidden()
    expect(page.locator("[data-list] .state").first).to_contain_text("home has it since")
    page.get_by_role("button", name="Send home").click()
    expect(page.locator("[data-said]")).to_contain_text("Nothing waits")
    come(page, folder, before + 2)
    assert not seen.complaints and not shown.complaints and not seen.left_the_machine()


def test_what_home_has_is_learnt_also_where_the_answer_was_lost(
    home: str, folder: Path, phone: BrowserContext, tmp_path: Path
) -> None:
    """Home heard, the page beside was closed at once; sent again, nothing is written twice."""
    page, before = phone.new_page(), len(entries(folder))
    page.goto(carried(home, tmp_path / "visit.html"))
    stay(page, 43)
    phone.route("**/arrived?*", lambda route: route.abort())  # not asked, so it waits
    page.evaluate("window.kept = lattermathEntries.parcel(lattermathEntries.waiting())")
    parcel = page.evaluate("window.kept")
    phone.unroute("**/arrived?*")
    beside = press_send(page)

    def deaf(route: Route) -> None:
        route.fetch()
        route.abort()

    phone.route("**/take-in", deaf)
    beside.get_by_role("button", name="Take them in").click()
    expect(beside.locator("[data-state]")).to_contain_text("Home does not answer")
    come(page, folder, before + 1)
    phone.unroute("**/take-in")
    beside.get_by_role("button", name="Take them in").click()
    expect(beside.locator("[data-state]")).to_contain_text("1 known already")
    beside.close()
    page.reload()
    expect(page.locator("#waiting")).to_be_hidden()
    page.goto(f"{home}/take")
    page.get_by_label("Paste the entries").fill(parcel)
    page.get_by_role("button", name="Take them in").click()
    expect(page.locator(".settles")).to_contain_text("1 known already")
    come(page, folder, before + 1)


def test_home_is_not_asked_for_what_never_left_the_phone(
    home: str, phone: BrowserContext, tmp_path: Path
) -> None:
    """Signal without reach of home is the common case: only what left may have arrived."""
    seen = watch(phone.new_page())
    page = seen.page
    page.goto(carried(home, tmp_path / "visit.html"))
    stay(page, 40)
    expect(page.locator("#waiting")).to_contain_text("1 entry waits")
    page.reload()
    expect(page.locator("#waiting")).to_contain_text("1 entry waits")
    page.wait_for_timeout(500)
    assert all(address.startswith("file:") for address in seen.asked)
    with page.expect_download():
        page.get_by_role("button", name="Save as a file").click()
    with page.expect_request("**/arrived?*"):
        page.reload()
    page.get_by_role("button", name="Undo").click()


def test_with_home_down_the_file_says_so_and_keeps_what_it_has(
    folder: Path, phone: BrowserContext, tmp_path: Path
) -> None:
    server = Server(folder, DAY)
    home, page, before = server.start(), phone.new_page(), len(entries(folder))
    newest(home, 0)
    address = carried(home, tmp_path / "visit.html")
    server.end()
    page.goto(address)
    stay(page, 44)
    page.get_by_role("button", name="Send home").click()
    expect(page.locator("[data-said]")).to_contain_text("Home does not answer at http://localhost")
    expect(page.locator("[data-said]")).to_contain_text("no address for a phone")
    assert len(phone.pages) == 1  # and no page of an error is opened
    page.reload()
    expect(page.locator("#waiting")).to_contain_text("1 entry waits")
    server.start()
    beside = press_send(page)
    beside.get_by_role("button", name="Take them in").click()
    expect(page.locator("#waiting")).to_be_hidden()
    come(page, folder, before + 1)
    server.end()


def test_a_saved_file_is_not_yet_home_until_home_says_so(
    home: str, folder: Path, phone: BrowserContext, tmp_path: Path
) -> None:
    page, before = phone.new_page(), len(entries(folder))
    page.goto(carried(home, tmp_path / "visit.html"))
    phone.set_offline(True)
    stay(page, 45)
    with page.expect_download() as saved:
        page.get_by_role("button", name="Save as a file").click()
    saved.value.save_as(tmp_path / "entries.json")
    state = page.locator("[data-list] .state").first
    expect(state).to_have_text(re.compile(r"^saved to a file at \d\d:\d\d, not yet home$"))
    page.reload()
    expect(page.locator("#waiting")).to_contain_text("1 entry waits")
    expect(page.get_by_role("button", name="Clear what home has")).to_be_hidden()
    page.get_by_role("button", name="Clear what is saved but not home").click()
    expect(page.locator("[data-sure]")).to_contain_text("if that is lost, they are gone")
    page.get_by_role("button", name="Keep them here").click()
    expect(page.locator("#waiting")).to_contain_text("1 entry waits")
    phone.set_offline(False)
    other = phone.new_page()
    other.goto(f"{home}/take")
    other.get_by_label("Or the file").set_input_files(tmp_path / "entries.json")
    other.get_by_role("button", name="Take them in").click()
    expect(other.locator(".settles")).to_contain_text("1 taken in")
    page.reload()  # in reach of home it asks
    expect(page.locator("#waiting")).to_be_hidden()
    expect(state).to_contain_text("home has it since")
    page.get_by_role("button", name="Clear what home has").click()
    expect(page.locator("[data-list] li")).to_have_count(0)
    phone.set_offline(True)
    stay(page, 46)
    with page.expect_download():
        page.get_by_role("button", name="Save as a file").click()
    page.get_by_role("button", name="Clear what is saved but not home").click()
    page.get_by_role("button", name="Clear them all the same").click()
    expect(page.locator("[data-list] li")).to_have_count(0)
    come(page, folder, before + 1)


def from_afar(route: Route) -> None:
    """As another machine asks: what it says of itself is put on where no page can see it."""
    route.continue_(headers={**route.request.headers, "x-forwarded-for": "192.168.1.7"})


@pytest.fixture(scope="module")
def housed(folder: Path) -> Iterator[Server]:
    server = Server(folder, DAY, "--lan", "--name", "plot.test")
    newest(server.start(), 0)
    yield server
    server.end()


def test_a_phone_that_is_not_paired_is_told_and_loses_nothing(
    housed: Server, folder: Path, browser: Browser, tmp_path: Path
) -> None:
    before, here = len(entries(folder)), f"http://localhost:{housed.port}"
    carried(here, tmp_path / "visit.html")
    file = tmp_path / "visit.html"
    text = file.read_text("utf-8")
    found = re.search(r'data-home="(http://[^"]+)"', text)
    assert found and "localhost" not in found[1], "a phone cannot reach localhost"
    file.write_text(text.replace(found[1], f"http://plot.test:{housed.port}"), "utf-8")
    with opened(browser) as machine, opened(browser, service_workers="block") as other:
        other.route(f"http://plot.test:{housed.port}/**", from_afar)
        page = other.new_page()
        page.goto(file.as_uri())
        stay(page, 47)
        beside = press_send(page)
        expect(beside.get_by_role("heading")).to_have_text("Pair this phone")
        expect(page.locator("[data-said]")).to_contain_text("pair this phone there", timeout=20_000)
        expect(page.locator("#waiting")).to_contain_text("1 entry waits")
        come(page, folder, before)
        maker = machine.new_page()
        maker.goto(f"{here}/phones")
        maker.get_by_role("button", name="New code").click()
        told = maker.get_by_text(re.compile("^Code [0-9]")).inner_text()
        pair(beside, " ".join(told.split()[1:3]).rstrip(","), "Cleo")
        expect(beside.locator("h1")).not_to_have_text("Pair this phone")
        page.get_by_role("button", name="Send home").click()  # the same page beside is used
        beside.get_by_role("button", name="Take them in").click()
        expect(page.locator("[data-said]")).to_contain_text("1 taken in")
        come(page, folder, before + 1)


def test_a_page_of_a_stranger_learns_nothing_and_writes_nothing(
    home: str, folder: Path, phone: BrowserContext
) -> None:
    """It opens the page of home, hands it a parcel, and asks and sends by itself."""
    before, page = len(entries(folder)), phone.new_page()
    entry = {"id": uuid7(2, bytes(10)), "at": "2011-07-30 19:00", "form": "visit", "task": ""}
    told = {"format": 1, "plot": "x", "journal": uuid7(1, bytes(10)), "clock": "2011-07-30T19:00Z"}
    parcel = {**told, "entries": [{**entry, "fields": {"minutes": ["5"]}}]}
    page.goto("data:text/html,<p>A page of anybody</p>")
    blocked = page.evaluate(
        "async ([home, text]) => { const told = [];"
        " for (const [to, how] of [['/arrived?journal=x&ids=y', {}], ['/token', {}],"
        "  ['/state', {}], ['/take-in', {method: 'POST', body: text}]])"
        "  { try { await fetch(home + to, how); told.push(to); } catch { } } return told; }",
        [home, json.dumps(parcel)],
    )
    assert blocked == []
    with phone.expect_page() as beside:
        page.evaluate(
            "([home, text]) => { const other = window.open(home + '/hand-over');"
            " setInterval(() => other.postMessage({lattermathParcel: text}, '*'), 100); }",
            [home, json.dumps(parcel)],
        )
    expect(beside.value.locator("[data-state]")).to_contain_text("of another plot")
    expect(beside.value.get_by_role("button", name="Take them in")).to_be_hidden()
    come(page, folder, before)


def test_done_otherwise_and_last_values_on_a_file(
    home: str, folder: Path, phone: BrowserContext, tmp_path: Path
) -> None:
    """The form of the job opens with its planting; one tap writes what was written last."""
    page, before = phone.new_page(), len(entries(folder))
    page.goto(carried(home, tmp_path / "visit.html"))
    row = page.locator('.task[data-other="picked"]').first
    task, planting = row.get_attribute("data-task"), row.get_attribute("data-fills")
    assert planting
    row.locator("summary").click()
    row.get_by_role("button", name="Done otherwise").click()
    form = page.locator("#form-picked")
    expect(form.locator("[data-for-task]")).to_be_visible()
    (place,) = json.loads(planting)["planting"]
    expect(form.locator(f'[name=planting][value="{place}"]')).to_be_checked()
    form.get_by_label(re.compile("^Weight")).fill("0.35")
    form.get_by_role("button", name="Log it").click()
    expect(row.locator(".logged")).to_contain_text("Done otherwise")
    form.locator("summary").click()
    again = form.get_by_role("group", name="As last time")
    again.get_by_role("button").first.click()  # this phone's own, before what home knew
    expect(form.get_by_label(re.compile("^Weight"))).to_have_value("0.35")
    expect(form.get_by_role("button", name="Log it")).to_be_focused()
    again.get_by_role("button", name=re.compile("Courgettes")).first.click()
    expect(form.get_by_label("Courgettes", exact=True)).to_be_checked()
    expect(page.locator("#form-none-seen [data-fill]")).to_have_count(0)
    beside = press_send(page)
    expect(beside.locator("[data-brought]")).to_contain_text("Instead of:")
    beside.get_by_role("button", name="Take them in").click()
    expect(page.locator("#waiting")).to_be_hidden()
    tick = come(page, folder, before + 2)[0]
    assert (tick.task, tick.how) == (task, "otherwise")


def test_an_entry_for_a_job_comes_back_to_the_job_with_its_undo(
    home: str, folder: Path, phone: BrowserContext
) -> None:
    page, before = phone.new_page(), len(entries(folder))
    page.goto(home)
    row = page.locator('.task:not([data-done])[data-form="picked"]').first
    task = row.get_attribute("data-task")
    row.locator("button.tick").click()
    page.get_by_role("group", name="As last time").get_by_role("link").first.click()
    expect(page.get_by_label(re.compile("^Weight"))).not_to_have_value("")
    page.get_by_role("button", name="Log it").click()
    page.wait_for_url(re.compile(rf"/\?said=[^#]+#task-{task}$"))
    said = page.locator(".settles", has_text="Logged")
    expect(said).to_be_in_viewport()
    come(page, folder, before + 2)
    said.get_by_role("button", name=re.compile("^Undo")).click()
    come(page, folder, before + 4)  # the picking and its tick are taken back together
    assert not any(one.task == task and one.may_undo for one in entries(folder))


def test_files_to_print_are_as_large_as_a_thumb(home: str, phone: BrowserContext) -> None:
    """44 px at least (WCAG 2.2, success criterion 2.5.5)."""
    page = phone.new_page()
    page.goto(f"{home}/paper")
    links = page.locator("ul.files a")
    assert links.count() > 5
    for one in links.all():
        box = one.bounding_box()
        assert box and box["height"] >= 44 and box["width"] >= 44
