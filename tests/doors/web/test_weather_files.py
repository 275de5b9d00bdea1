"""Weather files sent over the set-up page: read as the command line reads them, and kept."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path

import pytest
from starlette.testclient import TestClient
from tests.doors.web.set_up_forms import at_pages, beside, blanks, started, text

from lattermath.desk.start import start
from lattermath.desk.take_weather import take
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.vocabulary.events import WeatherTaken

ORDER = (
    "STATION,NAME,DATE,TMAX,TMIN,PRCP\n"
    "XX000001,EXAMPLE,2026-07-22,75,57,0.10\nXX000001,EXAMPLE,2026-07-23,77,59,0.00\n"
)
DLY = "XX000012345{:04}{:02}{}" + "{}" * 31


def dly(element: str, values: dict[int, int]) -> str:
    """One line of GHCN-Daily's fixed form: July 2026, tenths, -9999 where there is none."""
    days = "".join(f"{values.get(day, -9999):5}   " for day in range(1, 32))
    return f"XX000012345202607{element}{days}\n"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return started(tmp_path)


@pytest.fixture
def client(folder: Path, monkeypatch: pytest.MonkeyPatch) -> TestClient:
    return at_pages(folder, monkeypatch)


def send_file(client: TestClient, name: str, data: bytes, **told: str) -> tuple[int, str]:
    filled = {**blanks(client, "weather"), **told}
    sent = {"sent": (name, data)} if name else {}
    answer = client.post("/set-up/weather", data=filled, files=sent or None)
    return answer.status_code, unescape(answer.text)


def taken(folder: Path) -> list[WeatherTaken]:
    with open_journal(folder_at(folder)) as journal:
        return [e.payload for e in journal.events() if isinstance(e.payload, WeatherTaken)]


def readings(folder: Path) -> list[object]:
    with open_journal(folder_at(folder)) as journal:
        return [
            row[:4]
            for event in journal.events()
            if isinstance(event.payload, WeatherTaken)
            for row in journal.readings(event.serial)
        ]


def test_a_sent_file_is_read_as_the_command_line_reads_it(
    client: TestClient, folder: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    data = (dly("TMAX", {22: 241, 23: 252}) + dly("TMIN", {22: 131, 23: 142})).encode()
    status, page = send_file(client, "C:\\files\\my station.dly", data)
    assert status == 200 and "Took in 2 days from my-station.dly" in page
    assert (folder / "my-station.dly").read_bytes() == data
    assert "my-station.dly: 2 days" in page and "22 July 2026" in re.sub("Jul ", "July ", page)
    other = started(tmp_path_factory.mktemp("other"))
    (other / "x.dly").write_bytes(data)
    take(other, "x.dly")
    assert readings(folder) == readings(other) and readings(folder)
    status, page = send_file(client, "my station.dly", data)
    assert "taken in before" in page and len(taken(folder)) == 1


def test_units_are_asked_once_and_the_file_need_not_be_sent_again(
    client: TestClient, folder: Path
) -> None:
    status, page = send_file(client, "order.csv", ORDER.encode())
    assert status == 422 and not taken(folder) and not (folder / "order.csv").exists()
    assert beside(page, "file_units").count("Choose below what it is written in") == 1
    held = re.search(r'name="held" value="(\w+)"', page)
    assert held and 'name="file_units" value="us"' in page
    status, page = send_file(client, "", b"", held=held[1], file_units="us")
    assert status == 200 and "Took in 2 days from order.csv" in page
    with open_journal(folder_at(folder)) as journal:
        (event,) = [e for e in journal.events() if isinstance(e.payload, WeatherTaken)]
        rows = journal.readings(event.serial)
    assert rows[0][1] == pytest.approx((57 - 32) / 1.8, abs=0.01)
    assert rows[0][3] == pytest.approx(2.54, abs=0.01)
    start(folder)  # the next start needs no answer again


def test_a_far_station_is_asked_about_and_taken_when_it_is_meant(
    client: TestClient, folder: Path
) -> None:
    far = b"# latitude: 40.4\n# longitude: -101.73\ndate,tmin_c,tmax_c\n2026-07-22,12,22\n"
    status, page = send_file(client, "far.csv", far)
    assert status == 422 and not taken(folder)
    assert "another climate" in beside(page, "sent") and "7,2" in beside(page, "sent")
    assert "far_weather" not in beside(page, "sent")  # nobody on a page writes the file
    held = re.search(r'name="held" value="(\w+)"', page)
    assert held
    status, page = send_file(client, "", b"", held=held[1], **{"sure.far": "yes"})
    assert status == 200 and len(taken(folder)) == 1
    assert "far_weather = true" in text(folder)


@pytest.mark.parametrize(
    ("name", "data", "says"),
    [
        ("notes.txt", b"dear diary\n", "no weather file of a known form"),
        ("photo.jpg", b"\xff\xd8\xff\xe0\x00\x10JFIF\x00", "not a text file"),
        ("empty.csv", b"", "the file is empty"),
    ],
)
def test_what_is_no_weather_file_is_refused_whole(
    client: TestClient, folder: Path, name: str, data: bytes, says: str
) -> None:
    blanks(client, "weather")  # the first page writes the key of the pages
    before = sorted(folder.iterdir())
    status, page = send_file(client, name, data)
    assert status == 422 and says in beside(page, "sent").lower()
    assert sorted(folder.iterdir()) == before and not taken(folder)


@pytest.mark.parametrize("name", ["plot.toml", "../../plot.toml", ".hidden", "lattermath.journal"])
def test_a_sent_file_never_stands_in_for_another(
    client: TestClient, folder: Path, name: str
) -> None:
    before = text(folder)
    status, _ = send_file(client, name, b"date,tmin_c,tmax_c\n2026-07-22,12,22\n")
    assert status == 200 and text(folder) == before
    (one,) = taken(folder)
    assert (folder / one.file).is_file() and one.file.endswith(".txt")
    status, _ = send_file(client, name, b"date,tmin_c,tmax_c\n2026-07-23,12,22\n")
    assert status == 200 and len({one.file for one in taken(folder)}) == 2
