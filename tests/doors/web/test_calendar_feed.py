"""A calendar program at its own address: read by a library that is not ours, and shut in there."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import UTC, timedelta
from email.utils import parsedate_to_datetime
from html import unescape

import icalendar
import pytest
from starlette.testclient import TestClient
from tests.doors.web.test_phones import HOME, House, opened

from lattermath.desk.demo import Shown
from lattermath.desk.paired_phones import admit, calendar_of, known, paired, revoke
from lattermath.doors import command

PAGES = ("/", "/visits.ics", "/record", "/whole-record.zip", "/shelf", "/paper", "/take-away.html")


@pytest.fixture(scope="module")
def served(shown: Shown) -> Iterator[House]:
    with opened(shown) as house:
        yield house


@pytest.fixture
def house(served: House) -> House:
    revoke(served.folder, "all")
    return served


def calendar(house: House, number: int = 40) -> TestClient:
    """A calendar program: no cookie, no token, no header of a browser."""
    return TestClient(
        house.app, base_url=HOME, client=(f"192.168.1.{number}", 5000), follow_redirects=False,
        headers={"accept": "text/calendar", "user-agent": "calendar"},
    )  # fmt: skip


def address_of(page: str) -> str:
    found = re.search(r'readonly value="([^"]+)"', page)
    assert found, "the address is told"
    return unescape(found[1]).removeprefix(HOME)


def made(house: House, name: str = "Anna's calendar") -> str:
    token = house.machine().get("/token").json()["token"]
    answer = house.machine().post("/calendars", data={"token": token, "name": name})
    assert answer.status_code == 200, answer.text[:300]
    return address_of(answer.text)


def test_a_calendar_program_subscribes_and_reads_the_visits(house: House) -> None:
    answer = calendar(house).get(made(house))
    assert answer.status_code == 200
    assert answer.headers["content-type"].startswith("text/calendar")
    read = icalendar.Calendar.from_ical(answer.content)
    plan = house.app.state.house.keeper.wait(120).plan
    begins = {getattr(e["dtstart"].dt, "date", lambda: None)() for e in read.walk("VEVENT")}
    assert plan.visits[0].date in begins
    # RFC 7986, 5.7: REFRESH-INTERVAL;VALUE=DURATION:PT1H
    assert b"REFRESH-INTERVAL;VALUE=DURATION:PT1H\r\n" in answer.content
    assert b"X-PUBLISHED-TTL:PT1H\r\n" in answer.content
    assert read["refresh-interval"].dt == timedelta(hours=1)
    again = calendar(house).get(made(house, "Ben"))
    assert again.content == answer.content


def test_what_has_not_changed_is_not_sent_again(house: House) -> None:
    program, address = calendar(house), made(house)
    first = program.get(address)
    tag, day = first.headers["etag"], first.headers["last-modified"]
    plan = house.app.state.house.keeper.wait(120).plan
    assert parsedate_to_datetime(day) == plan.as_of.astimezone(UTC).replace(microsecond=0)
    for asked in (
        {"if-none-match": tag},
        {"if-none-match": f'"x", W/{tag}'},
        {"if-modified-since": day},
        {"if-none-match": tag, "if-modified-since": "Sat, 01 Jan 2000 00:00:00 GMT"},
    ):
        answer = program.get(address, headers=asked)
        assert (answer.status_code, answer.content) == (304, b""), asked
        assert answer.headers["etag"] == tag
    for asked in (
        {"if-none-match": '"other"', "if-modified-since": day},  # a tag outranks a date
        {"if-modified-since": "Sat, 01 Jan 2000 00:00:00 GMT"},
        {"if-modified-since": "yesterday"},
    ):
        assert program.get(address, headers=asked).content == first.content, asked
    assert "no-store" not in first.headers["cache-control"]


def test_nothing_else_is_readable_with_it(house: House) -> None:
    address = made(house)
    secret = address.split("/")[2]
    program = calendar(house)
    assert known(house.folder, secret) is None and calendar_of(house.folder, secret) is not None
    for page in PAGES:
        assert program.get(page).status_code == 401, page
        assert program.get(page, headers={"cookie": f"lattermath={secret}"}).status_code == 401, (
            page
        )
        if page != "/visits.ics":  # that is the calendar itself
            assert program.get(f"/calendar/{secret}{page}").status_code in (401, 404), page
    bearer = {"authorization": f"Bearer {secret}"}
    assert program.get("/api/plan", headers=bearer).status_code == 401
    for method in ("post", "put", "delete", "patch"):
        assert getattr(program, method)(address).status_code == 404
    phone = admit(house.folder, "Phone")
    assert program.get(f"/calendar/{phone}/visits.ics").status_code == 404


def test_an_address_taken_away_answers_no_more(house: House) -> None:
    address, other, program = made(house), made(house, "Ben"), calendar(house)
    page = house.machine().get("/paper").text
    keys = re.findall(r'name="calendar" value="(\w+)"', page)
    assert len(keys) == 2 and address.split("/")[2] not in page, "told once"
    anna = next(one.key for one in paired(house.folder) if one.name == "Anna's calendar")
    token = house.machine().get("/token").json()["token"]
    told = {"token": token, "calendar": anna}
    assert "Taken away" in house.machine().post("/calendars/revoke", data=told).text
    assert program.get(address).status_code == 404
    assert program.get(other).status_code == 200
    assert house.machine().get(address).status_code == 404, "nor on the machine itself"
    phone = house.paired("Cleo")
    key = next(one.key for one in paired(house.folder) if one.name == "Cleo")
    house.machine().post("/calendars/revoke", data={"token": token, "calendar": key})
    assert phone.get("/record").status_code == 200, "a phone's leave is not taken there"


def test_whoever_asks_too_often_waits(house: House) -> None:
    address, program = made(house), calendar(house, 41)
    answers = [program.get(address, headers={"if-none-match": "*"}) for _ in range(30)]
    assert answers[0].status_code == 304
    slowed = [one for one in answers if one.status_code == 429]
    assert slowed and int(slowed[0].headers["retry-after"]) > 0
    guessed = [calendar(house, 42).get(f"/calendar/{'x' * 43}/visits.ics") for _ in range(60)]
    assert {one.status_code for one in guessed} == {404, 429}


def test_a_phone_makes_one_for_itself_and_a_stranger_none(house: House) -> None:
    phone = house.paired()
    token = phone.get("/token").json()["token"]
    page = phone.post("/calendars", data={"token": token, "name": "mine"})
    assert page.status_code == 200
    assert calendar(house).get(address_of(page.text)).status_code == 200
    assert house.phone().post("/calendars", data={"name": "x"}).status_code == 401
    assert phone.post("/calendars", data={"name": "x"}).status_code == 403, "no token, no address"


def test_the_command_line_makes_lists_and_takes_away(
    house: House, capsys: pytest.CaptureFixture[str]
) -> None:
    plot = ["--plot", str(house.folder)]
    assert command.run(["phones", "--calendar", "Kitchen", *plot]) == 0
    address = capsys.readouterr().out.split()[0]
    assert calendar(house).get(address).status_code == 200
    assert command.run(["phones", *plot]) == 0
    assert "Kitchen" in capsys.readouterr().out
    assert command.run(["phones", "--revoke", "Kitchen", *plot]) == 0
    assert calendar(house).get(address).status_code == 404


def test_a_folder_of_an_older_kind_lets_nobody_new_in(house: House) -> None:
    """A file whose kind is not known is nobody's leave."""
    secret = admit(house.folder, "Phone")
    (file,) = (house.folder / "phones").glob("*.json")
    file.write_text(file.read_text("utf-8").replace('"phone"', '"gardener"'), "utf-8")
    assert known(house.folder, secret) is None and calendar_of(house.folder, secret) is None
