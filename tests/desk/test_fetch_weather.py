"""The forecast fetched from a server on this machine that speaks the documented form.

The live service was never asked: what is shown here is that the question is the documented one,
that an answer of the documented form is read, and that nothing that a server or a network does
holds a plan up or spoils the record.
"""

from __future__ import annotations

import json
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any
from urllib.parse import parse_qs, urlsplit

import pytest

from lattermath.desk import ask_service, clock, plan_keeper
from lattermath.desk.ask_service import Patience, ask
from lattermath.desk.fetch_weather import fetch, keep_fresh
from lattermath.desk.plan_visit import plan
from lattermath.desk.start import start
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.doors.command import run
from lattermath.vocabulary.errors import InputError, PlotFileError, WeatherFileError
from lattermath.vocabulary.events import WeatherTaken

pytestmark = pytest.mark.usefixtures("few_draws")

PLOT = """
format = 1

[place]
name = "Plot"
latitude = 52.21873
longitude = 0.12418
time_zone = "Europe/London"
usual_first_frost = "10-25"
country = "GB"

[[planting]]
crop = "courgette"
plants = 3
set_out = 2026-06-01
"""
NOW = datetime(2026, 7, 25, 9, 0, tzinfo=UTC)
FIRST = date(2026, 7, 18)  # seven days back
QUICK = Patience(tries=3, seconds=5.0, pause_s=0.01)
Answer = tuple[int, bytes, dict[str, str]]


def reply(days: int = 14, warm: float = 20.0, **other: Any) -> dict[str, Any]:
    """An answer in the documented form: hours and days, local stamps, one offset (made up)."""
    hours = [f"{FIRST + timedelta(days=n)}T{h:02d}:00" for n in range(days) for h in range(24)]
    mean = [warm + n % 3 for n in range(days)]
    swing = [8 if 12 <= h < 18 else -8 if h < 6 else 0 for h in range(24)]
    wave = [of_day + of_hour for of_day in mean for of_hour in swing]
    return {
        "latitude": 52.22,
        "longitude": 0.12,
        "generationtime_ms": time.perf_counter(),
        "utc_offset_seconds": 3600,
        "timezone": "Europe/London",
        "timezone_abbreviation": "BST",
        "elevation": 12.0,
        "hourly_units": {
            "time": "iso8601",
            "temperature_2m": "°C",
            "relative_humidity_2m": "%",
            "precipitation": "mm",
            "wind_speed_10m": "km/h",
            "shortwave_radiation": "W/m²",
        },
        "hourly": {
            "time": hours,
            "temperature_2m": wave,
            "relative_humidity_2m": [70] * len(hours),
            "precipitation": [0.1] * len(hours),
            "wind_speed_10m": [9.0] * len(hours),
            "shortwave_radiation": [200.0] * len(hours),
        },
        "daily_units": {
            "time": "iso8601",
            "temperature_2m_max": "°C",
            "temperature_2m_min": "°C",
            "precipitation_sum": "mm",
            "precipitation_probability_max": "%",
            "et0_fao_evapotranspiration": "mm",
        },
        "daily": {
            "time": [str(FIRST + timedelta(days=n)) for n in range(days)],
            "temperature_2m_max": [of_day + 8 for of_day in mean],
            "temperature_2m_min": [of_day - 8 for of_day in mean],
            "precipitation_sum": [2.4] * days,
            "precipitation_probability_max": [None] * 7 + [30] * (days - 7),
            "et0_fao_evapotranspiration": [3.5] * days,
        },
        **other,
    }


@dataclass
class Service:
    """A server on this machine: what it was asked, and what it answers, the last for good."""

    address: str = ""
    asked: list[str] = field(default_factory=list)
    agents: list[str] = field(default_factory=list)
    answers: list[Answer | Callable[[BaseHTTPRequestHandler], None]] = field(default_factory=list)

    def says(self, *replies: Any) -> None:
        self.answers = [
            one
            if callable(one) or isinstance(one, tuple)
            else (200, json.dumps(one).encode(), {"Content-Type": "application/json"})
            for one in replies
        ]


@pytest.fixture
def service() -> Iterator[Service]:
    held = Service()

    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            held.asked.append(self.path)
            held.agents.append(self.headers.get("User-Agent", ""))
            told = held.answers.pop(0) if len(held.answers) > 1 else held.answers[0]
            if callable(told):
                told(self)
                return
            status, body, headers = told
            self.send_response(status)
            for name, value in {"Content-Length": str(len(body)), **headers}.items():
                self.send_header(name, value)
            self.end_headers()
            self.wfile.write(body)

        def log_message(self, *_: Any) -> None:
            return

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    server.daemon_threads = True
    held.address = f"http://127.0.0.1:{server.server_port}/v1/forecast"
    thread = threading.Thread(target=server.serve_forever, args=(0.02,), daemon=True)
    thread.start()
    yield held
    server.shutdown()
    server.server_close()
    thread.join()


@pytest.fixture
def at(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Callable[[datetime], None]:
    """Sets the clock; what is kept on the machine is kept in the test's own folder."""
    monkeypatch.setenv("LATTERMATH_CACHE", str(tmp_path / "kept"))

    def set_clock(now: datetime) -> None:
        monkeypatch.setattr(clock, "now", lambda: now)

    set_clock(NOW)
    return set_clock


@pytest.fixture
def folder(tmp_path: Path, service: Service, at: object) -> Path:
    made = tmp_path / "plot"
    made.mkdir()
    section = f'\n[forecast]\nservice = "{service.address}"\n'
    (made / "plot.toml").write_text(PLOT + section, "utf-8")
    start(made)
    return made


def taken(folder: Path) -> list[WeatherTaken]:
    with open_journal(folder_at(folder)) as journal:
        return [e.payload for e in journal.events() if isinstance(e.payload, WeatherTaken)]


def test_the_question_is_the_documented_one_and_tells_no_more_than_it_must(
    folder: Path, service: Service
) -> None:
    service.says(reply())
    fetch(folder)
    (path,) = service.asked
    query = {name: ",".join(value) for name, value in parse_qs(urlsplit(path).query).items()}
    assert urlsplit(path).path == "/v1/forecast"
    assert query == {
        "latitude": "52.22",  # a kilometre, not the plot
        "longitude": "0.12",
        "timezone": "Europe/London",
        "forecast_days": "7",
        "past_days": "7",
        "hourly": "temperature_2m,relative_humidity_2m,precipitation,wind_speed_10m,"
        "shortwave_radiation",
        "daily": "temperature_2m_max,temperature_2m_min,precipitation_sum,"
        "precipitation_probability_max,et0_fao_evapotranspiration",
    }
    assert service.agents[0].startswith("lattermath/")


def test_what_came_is_written_down_and_planned_by(folder: Path, service: Service) -> None:
    with pytest.raises(WeatherFileError):
        plan(folder)  # nothing is known of the sky
    service.says(reply())
    said = fetch(folder).says
    assert said[0].startswith("Took in 14 days from forecast fetched, 2026-07-18 to 2026-07-31")
    made = plan(folder)
    assert made.visits and "7 of them forecast" in made.warnings[0]
    assert "after 7 days of forecast" in made.warnings[0]
    assert len(taken(folder)) == 1


def test_no_day_of_it_counts_as_measured(folder: Path, service: Service) -> None:
    """Measured days of the grower stand, whichever was written down later."""
    week = "\n[[week]]\nfirst = 2026-07-22\nhighs_c = [31, 31, 31]\nlows_c = [17, 17, 17]\n"
    file = folder / "plot.toml"
    file.write_text(file.read_text("utf-8") + week, "utf-8")
    service.says(reply())
    fetch(folder)
    with open_journal(folder_at(folder)) as journal:
        record = fetch_weather_record(journal)
    assert record[date(2026, 7, 23)] == (17.0, 31.0, False)
    assert record[date(2026, 7, 20)] == (14.0, 30.0, True)


def fetch_weather_record(journal: Any) -> dict[date, tuple[float, float, bool]]:
    from lattermath.desk.sky import sky_of
    from lattermath.record.read_back import effective

    record = sky_of(journal, effective(journal.events()), NOW.date()).record
    return {
        record.first + timedelta(days=n): (
            float(record.t_min[n]),
            float(record.t_max[n]),
            bool(record.filled_max[n]),
        )
        for n in range(record.n_days)
    }


def test_within_three_hours_nobody_is_asked_again(
    folder: Path, service: Service, at: Callable[[datetime], None]
) -> None:
    service.says(reply())
    fetch(folder)
    at(NOW + timedelta(hours=2, minutes=59))
    assert "fresh enough" in fetch(folder).says[0] and len(service.asked) == 1
    at(NOW + timedelta(hours=3))
    service.says(reply(warm=22.0))
    assert fetch(folder).new and len(service.asked) == 2 and len(taken(folder)) == 2


def test_the_same_weather_is_not_written_twice_nor_asked_for_at_each_plan(
    folder: Path, service: Service, at: Callable[[datetime], None]
) -> None:
    service.says(reply(), reply())  # the service's own timing differs
    keep_fresh(folder)
    at(NOW + timedelta(hours=4))
    assert keep_fresh(folder) == () and len(taken(folder)) == 1
    assert keep_fresh(folder) == () and len(service.asked) == 2


def test_a_busy_server_is_asked_again_after_the_pause_it_asks_for(
    folder: Path, service: Service
) -> None:
    waited: list[float] = []
    service.says(
        (503, b"", {}), (429, b"", {"Retry-After": "2"}), (200, json.dumps(reply()).encode(), {})
    )
    body = ask(service.address, Patience(3, 30.0), waited.append)
    assert json.loads(body)["timezone"] == "Europe/London"
    assert waited == [1.0, 2.0]


def test_it_gives_up_after_the_last_try(folder: Path, service: Service) -> None:
    service.says((503, b"", {"Retry-After": "999999"}))
    waited: list[float] = []
    with pytest.raises(WeatherFileError) as refusal:
        ask(service.address, Patience(3, 30.0), waited.append)
    assert len(service.asked) == 3 and max(waited) <= 10.0
    (fault,) = refusal.value.faults
    assert "503" in fault.value and "goes on with what is known" in fault.remedy


def test_a_refusal_is_told_in_the_services_own_words_and_not_repeated(
    folder: Path, service: Service
) -> None:
    told = {"error": True, "reason": "Cannot initialize WeatherVariable from invalid String value"}
    service.says((400, json.dumps(told).encode(), {}))
    with pytest.raises(WeatherFileError) as refusal:
        fetch(folder, QUICK)
    assert len(service.asked) == 1 and "WeatherVariable" in refusal.value.faults[0].value


def test_nobody_is_followed_elsewhere(folder: Path, service: Service) -> None:
    service.says((302, b"", {"Location": f"{service.address}/elsewhere"}))
    with pytest.raises(WeatherFileError):
        fetch(folder, QUICK)
    assert [urlsplit(path).path for path in service.asked] == ["/v1/forecast"]


def trickling(handler: BaseHTTPRequestHandler) -> None:
    handler.send_response(200)
    handler.end_headers()
    for _ in range(100):
        try:
            handler.wfile.write(b" ")
            handler.wfile.flush()
        except OSError:
            return
        time.sleep(0.05)


def silent(handler: BaseHTTPRequestHandler) -> None:
    time.sleep(1.5)


def broken_off(handler: BaseHTTPRequestHandler) -> None:
    body = json.dumps(reply()).encode()
    handler.send_response(200)
    handler.send_header("Content-Length", str(len(body)))
    handler.end_headers()
    handler.wfile.write(body[: len(body) // 2])


def endless(handler: BaseHTTPRequestHandler) -> None:
    handler.send_response(200)
    handler.end_headers()
    try:
        for _ in range(200):
            handler.wfile.write(b" " * 65_536)
    except OSError:
        return


@pytest.mark.parametrize("way", [trickling, silent, broken_off, endless])
def test_a_bad_server_is_not_waited_for_and_nothing_is_written(
    folder: Path, service: Service, way: Callable[[BaseHTTPRequestHandler], None]
) -> None:
    service.says(way)
    begun = time.monotonic()
    with pytest.raises(WeatherFileError):
        fetch(folder, Patience(tries=2, seconds=0.6, pause_s=0.01))
    assert time.monotonic() - begun < 5.0  # loose: the machine is shared
    assert taken(folder) == []


@pytest.mark.parametrize(
    "bad",
    [
        b"<html>captive portal</html>",
        b"",
        b"[]",
        b'{"error":true,"reason":"try again"}',
        json.dumps(reply(latitude=12.0)).encode(),
        json.dumps(reply(longitude=-120.0)).encode(),
        json.dumps(reply(daily_units={})).encode(),
        json.dumps(reply()).replace("28.0", "NaN").encode(),
        b"\xff\xfe\x00",
        b'{"a":' * 5000,
    ],
)
def test_an_answer_that_is_none_is_refused_whole(
    folder: Path, service: Service, bad: bytes
) -> None:
    service.says((200, bad, {}))
    with pytest.raises(WeatherFileError):
        fetch(folder, QUICK)
    assert taken(folder) == []


def test_offline_is_normal(
    folder: Path,
    service: Service,
    at: Callable[[datetime], None],
    capsys: pytest.CaptureFixture[str],
) -> None:
    """The plan is made of the last forecast, says how old it is, and does not try at each plan."""
    service.says(reply())
    fetch(folder)
    at(NOW + timedelta(days=3))
    service.says((503, b"", {}))
    assert run(["plan", "--plot", str(folder)]) == 0
    told = capsys.readouterr()
    assert "no weather service can be reached" in told.err
    assert "The plan rests on the forecast of Sat 25 Jul 10:00." in told.err
    assert "forecast is 3 days old" in " ".join(told.out.split())
    tried = len(service.asked)
    assert run(["plan", "--plot", str(folder)]) == 0
    assert capsys.readouterr().err == "" and len(service.asked) == tried
    at(NOW + timedelta(days=3, minutes=16))
    service.says(reply(days=14))
    assert run(["plan", "--plot", str(folder)]) == 0
    assert len(service.asked) == tried + 1


def test_with_nobody_listening_the_plan_is_made_all_the_same(
    folder: Path, service: Service, capsys: pytest.CaptureFixture[str]
) -> None:
    file = folder / "plot.toml"
    text = file.read_text("utf-8").replace(service.address, "http://127.0.0.1:9/v1/forecast")
    week = "\n[[week]]\nfirst = 2026-07-22\nhighs_c = [25, 25, 25]\nlows_c = [13, 13, 13]\n"
    file.write_text(text + week, "utf-8")
    assert run(["plan", "--plot", str(folder)]) == 0
    told = capsys.readouterr()
    assert "No forecast has been fetched yet." in told.err and told.out.startswith("PLOT")


def test_nobody_is_asked_unless_it_is_turned_on_nor_for_another_day(
    folder: Path, service: Service, monkeypatch: pytest.MonkeyPatch
) -> None:
    service.says(reply())
    fetch(folder)
    asked: list[str] = []
    monkeypatch.setattr(ask_service.urllib.request, "build_opener", lambda *_: asked.append("x"))
    assert run(["plan", "--plot", str(folder), "--on", "2026-07-26"]) == 0
    (folder / "plot.toml").write_text(PLOT, "utf-8")
    monkeypatch.setattr(clock, "now", lambda: NOW + timedelta(hours=9))
    assert run(["plan", "--plot", str(folder)]) == 0
    with pytest.raises(InputError, match=r"\[forecast\]"):
        fetch(folder)
    assert asked == []


@pytest.mark.parametrize(
    "address",
    ["http://weather.example/v1", "ftp://a.example", "https://a.example/x?key=1", "file:///etc", 3],
)
def test_an_address_that_others_can_read_on_the_way_is_refused(
    tmp_path: Path, at: object, address: object
) -> None:
    section = f"\n[forecast]\nservice = {json.dumps(address)}\n"
    (tmp_path / "plot.toml").write_text(PLOT + section, "utf-8")
    with pytest.raises(PlotFileError) as refusal:
        start(tmp_path)
    assert refusal.value.faults[0].where == "plot.toml: forecast.service"


def test_the_pages_plan_of_today_asks_and_that_of_another_day_does_not(
    folder: Path, service: Service
) -> None:
    """What the planning process of `serve` runs, here in this process."""
    service.says(reply())
    assert plan_keeper._plan_of(folder, None).as_of == NOW and len(service.asked) == 1
    plan_keeper._plan_of(folder, NOW.date())
    assert len(service.asked) == 1 and len(taken(folder)) == 1


def test_the_pages_plan_without_a_network(folder: Path, service: Service) -> None:
    service.says((500, b"", {}))
    with pytest.raises(WeatherFileError, match="nothing is known of the weather"):
        plan_keeper._plan_of(folder, None)  # no day was ever told; the plan says what is missing
    assert len(service.asked) == 1
