"""A first start in an empty folder, asked as a browser without scripts would."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from datetime import date, timedelta
from html import unescape
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from lattermath.desk.set_up import plot_text
from lattermath.desk.told_entries import record_of
from lattermath.doors.web.app import make_app

DAY = date(2026, 7, 26)
# The least that a person fills in: a place, the frost, a day's high and low, and one crop.
LEAST = {
    "where": "51.5, -0.6",
    "place.time_zone": "Europe/London",
    "place.usual_first_frost": "25 October",
    "units": "metric",
    "high.3": "26",
    "low.3": "14",
    "crop.0.crop": "courgettes",
    "crop.0.when": "early June",
    "crop.0.how": "set_out",
}


@pytest.fixture
def client(tmp_path: Path) -> Iterator[TestClient]:
    """A browser at the pages of an empty folder."""
    with TestClient(make_app(tmp_path, on=DAY), base_url="http://localhost:8714") as browser:
        yield browser


def seen(client: TestClient) -> str:
    """The mark of the file that the page was made for."""
    found = re.search(r'name="seen" value="(\w+)"', client.get("/set-up").text)
    assert found
    return found[1]


def send(client: TestClient, **told: str) -> tuple[int, str]:
    """Send the least form with some blanks otherwise; status, and the page as words."""
    filled = {**LEAST, "seen": seen(client), **{k.replace("__", "."): v for k, v in told.items()}}
    answer = client.post("/set-up", data=filled, follow_redirects=False)
    return answer.status_code, unescape(answer.text)


def beside(page: str, name: str) -> str:
    """The fault that stands beside a blank."""
    found = re.search(rf'id="{re.escape(name)}-slip">(.*?)</div>', page, re.DOTALL)
    return re.sub(r"<[^>]+>", "", found[1]) if found else ""


@pytest.mark.parametrize("address", ["/", "/log", "/shelf", "/season", "/state", "/nowhere"])
def test_every_page_of_an_empty_folder_leads_to_the_beginning(
    client: TestClient, address: str
) -> None:
    answer = client.get(address, follow_redirects=False)
    assert (answer.status_code, answer.headers["location"]) == (303, "/set-up")
    assert client.get("/api/plan").status_code == 422


def test_what_the_page_names_is_there_and_is_what_it_says(client: TestClient) -> None:
    """A manifest that leads to a page is complained of in the browser's console."""
    page = client.get("/set-up").text
    named = re.search(r'rel="manifest" href="([^"]+)"', page)
    assert named
    answer = client.get(named[1], follow_redirects=False)
    assert answer.status_code == 200 and answer.json()["start_url"] == "/"
    linked = re.findall(r'(?:href|src)="(/[^"#]+\.\w+)"', page)
    assert len(linked) > 5
    for address in linked:
        assert client.get(address, follow_redirects=False).status_code == 200, address


def test_the_form_is_short_and_runs_nothing_inline(client: TestClient, tmp_path: Path) -> None:
    answer = client.get("/set-up")
    page = answer.text
    assert answer.status_code == 200 and page.count("<h1") == 1
    assert "unsafe" not in answer.headers["content-security-policy"]
    assert not re.search(r"<script(?![^>]*\bsrc=)", page)
    assert not re.search(r"\s(style|on[a-z]+)=", page)
    form = page.partition("<h1")[2].partition("<details")[0]
    named = re.findall(r'<input[^>]* (?:id|name)="([^"]+)"', form)
    blanks = {name for name in named if name not in ("seen", "token")}
    assert len(blanks) == 3 + 1 + 14 + 3 * 4
    labels = set(re.findall(r'<label for="([^"]+)"', page))
    written = set(re.findall(r'<input class="write"[^>]* id="([^"]+)"', page))
    by_heads = set(re.findall(r'id="([^"]+)"[^>]*aria-labelledby="day-', page))
    assert written == labels | by_heads
    assert not any(tmp_path.iterdir()), "looking writes nothing"


def test_eight_blanks_make_a_first_sheet(client: TestClient, tmp_path: Path) -> None:
    assert send(client)[0] == 303
    read = tomllib.loads((tmp_path / "plot.toml").read_text("utf-8"))
    assert read == {
        "format": 1,
        "place": {
            "latitude": 51.5,
            "longitude": -0.6,
            "time_zone": "Europe/London",
            "usual_first_frost": "25 October",
        },
        "planting": [{"crop": "courgettes", "set_out": "early June"}],
        "week": [{"first": DAY, "highs_c": [26], "lows_c": [14]}],
    }
    planting = record_of(tmp_path).plot.plantings[0]
    assert (planting.set_out, planting.about_days) == (date(2026, 6, 5), 5)
    client.get("/")
    assert client.app.state.house.keeper.wait(120).plan is not None  # type: ignore[attr-defined]
    sheet = client.get("/").text
    assert "Rough" in sheet and "courgettes" in sheet.lower()


def test_the_form_sent_twice_starts_once(client: TestClient, tmp_path: Path) -> None:
    first = seen(client)
    for _ in range(2):
        answer = client.post("/set-up", data={**LEAST, "seen": first}, follow_redirects=False)
        assert (answer.status_code, answer.headers["location"]) == (303, "/")
    assert (tmp_path / "plot.toml").read_text("utf-8").count("[[planting]]") == 1


def test_all_that_is_wrong_stands_beside_its_blank_and_nothing_is_lost(
    client: TestClient, tmp_path: Path
) -> None:
    status, page = send(
        client,
        where="somewhere",
        place__time_zone="Europe/Lundon",
        place__usual_first_frost="in autumn",
        high__3="warm",
        crop__0__crop="courgete",
        crop__0__plants="3.5",
        crop__1__crop="chard",
        crop__1__when="mid-June",
        crop__2__when="May",
    )
    assert status == 422
    assert "latitude first" in beside(page, "where")
    assert "Did you mean Europe/London?" in beside(page, "place.time_zone")
    assert "6 October" in beside(page, "place.usual_first_frost")
    assert "warm" in beside(page, "high.3")
    assert "Did you mean courgette?" in beside(page, "crop.0.crop")
    assert "3.5" in beside(page, "crop.0.plants")
    assert "Choose one" in beside(page, "crop.1.how")
    assert "Which crop" in beside(page, "crop.2.crop")
    assert "8 things are to mend" in page
    for words in ("somewhere", "Europe/Lundon", "in autumn", "warm", "courgete", "3.5", "mid-June"):
        assert f'value="{words}"' in page
    assert not list(tmp_path.iterdir()), "nothing is half-written"


@pytest.mark.parametrize("left_out", ["where", "place.time_zone", "crop.0.crop", "high.3"])
def test_what_is_needed_is_asked_for(client: TestClient, left_out: str) -> None:
    told = {left_out.replace(".", "__"): ""}
    if left_out.startswith("crop"):
        told["crop__0__when"] = ""
    status, page = send(client, **told)
    assert status == 422 and beside(page, left_out)


def test_a_frost_that_nobody_knows_is_left_out(client: TestClient, tmp_path: Path) -> None:
    assert send(client, place__usual_first_frost="")[0] == 303
    assert "frost" not in (tmp_path / "plot.toml").read_text("utf-8")


@pytest.mark.parametrize(
    ("told", "name", "says", "sure"),
    [
        # Chicago's clocks are those of 90 degrees west: one minus is missing.
        (
            {"where": "41.9, 87.6", "place__time_zone": "America/Chicago"},
            "where", "90° west (15° to an hour); you typed 87.6° east", "sure.place",
        ),
        ({"place__usual_first_frost": "15 May"}, "place.usual_first_frost", "spring", "sure.place"),
        ({"high__3": "41", "low__3": "36"}, "low.3", "°C and °F", "sure.week"),
    ],
)  # fmt: skip
def test_a_slip_is_asked_about_and_never_mended_silently(
    client: TestClient, tmp_path: Path, told: dict[str, str], name: str, says: str, sure: str
) -> None:
    status, page = send(client, **told)
    assert status == 422 and says.lower() in beside(page, name).lower()
    assert f'name="{sure}"' in page and not (tmp_path / "plot.toml").exists()
    assert send(client, **told, **{sure.replace(".", "__"): "yes"})[0] == 303


def test_a_temperature_that_no_place_has_seen_is_not_taken_however_sure(
    client: TestClient,
) -> None:
    status, page = send(client, high__3="78", low__3="60", sure__week="yes")
    assert status == 422 and "No air on earth" in beside(page, "high.3")


def test_us_units(client: TestClient, tmp_path: Path) -> None:
    assert send(client, units="us", high__3="79", low__3="57")[0] == 303
    read = tomllib.loads((tmp_path / "plot.toml").read_text("utf-8"))
    assert read["units"] == "us" and read["week"][0]["highs_f"] == [79]
    client.get("/")
    assert client.app.state.house.keeper.wait(120).plan is not None  # type: ignore[attr-defined]
    sheet = client.get("/").text
    assert re.search(r"\d\s?°F", sheet) and not re.search(r"\d\s?°C", sheet), (
        "the pages speak it too"
    )


def test_days_left_empty_stay_unknown(client: TestClient, tmp_path: Path) -> None:
    assert send(client, high__1="24,5", low__1="", high__6="28", low__6="?")[0] == 303
    week = tomllib.loads((tmp_path / "plot.toml").read_text("utf-8"))["week"][0]
    assert week["first"] == DAY - timedelta(days=2)
    assert week["highs_c"] == [24.5, "?", 26, "?", "?", 28]
    assert week["lows_c"] == ["?", "?", 14, "?", "?", "?"]


def test_a_plot_file_that_is_there_is_started_with_as_it_stands(
    client: TestClient, tmp_path: Path
) -> None:
    own = (
        "# by hand\nformat = 1\n[place]\nlatitude = 51.5 # map\nlongitude = -0.6\n"
        'time_zone = "Europe/London"\n[[planting]]\ncrop = "leek"\n'
    )
    (tmp_path / "plot.toml").write_text(own, "utf-8")
    page = client.get("/set-up").text
    assert "Start with it" in page and 'name="where"' not in page
    answer = client.post("/set-up/start", data={"seen": seen(client)}, follow_redirects=False)
    assert answer.status_code == 303
    assert (tmp_path / "plot.toml").read_text("utf-8") == own
    assert record_of(tmp_path).plot.plantings[0].crop == "leek"


def test_a_plot_file_that_lacks_something_keeps_its_own_lines(
    client: TestClient, tmp_path: Path
) -> None:
    own = '# by hand\nformat = 1\n\n# my leeks\n[[planting]]\ncrop = "leek"  # autumn\n'
    (tmp_path / "plot.toml").write_text(own, "utf-8")
    page = client.get("/set-up").text
    assert "this is needed" in page
    assert send(client)[0] == 303
    text = (tmp_path / "plot.toml").read_text("utf-8")
    assert all(line in text.splitlines() for line in own.splitlines())
    assert [one.crop for one in record_of(tmp_path).plot.plantings] == ["leek", "summer_squash"]


def test_a_plot_file_whose_form_is_broken_is_left_alone(client: TestClient, tmp_path: Path) -> None:
    (tmp_path / "plot.toml").write_text("format = \n", "utf-8")
    page = client.get("/set-up").text
    assert "Its form is broken" in page and 'name="where"' not in page
    told = {**LEAST, "seen": plot_text(tmp_path).digest}
    answer = client.post("/set-up", data=told, follow_redirects=False)
    assert answer.status_code == 422 and "cannot be read" in answer.text
    assert (tmp_path / "plot.toml").read_text("utf-8") == "format = \n"


def test_a_file_that_changed_meanwhile_is_not_written_over(
    client: TestClient, tmp_path: Path
) -> None:
    before = seen(client)
    own = '# meanwhile\nformat = 1\n[[planting]]\ncrop = "leek"\n'
    (tmp_path / "plot.toml").write_text(own, "utf-8")
    answer = client.post("/set-up", data={**LEAST, "seen": before}, follow_redirects=False)
    assert answer.status_code == 422 and "was changed since" in answer.text
    assert (tmp_path / "plot.toml").read_text("utf-8") == own
    assert 'value="51.5, -0.6"' in answer.text, "what was typed stays"
