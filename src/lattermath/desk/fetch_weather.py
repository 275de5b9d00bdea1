"""Fetches the forecast where the grower has turned that on; without it nobody is ever asked.

What came is an entry like any weather file, so a plan made offline rests on the newest there is,
and an old plan can be made again. Within three hours of an answer nobody is asked; after a failure,
or an answer that says nothing new, a plan does not ask again for a quarter of an hour.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

from lattermath.desk import clock
from lattermath.desk.ask_service import Patience, ask
from lattermath.desk.kept_work import kept_folder
from lattermath.desk.plot_edits import bring_up, read_file
from lattermath.desk.weather_entries import take_in
from lattermath.desk.wiring import Folder, folder_at, open_journal
from lattermath.record.journal import Journal
from lattermath.record.read_back import effective, forecast_asked, plot_as_of
from lattermath.vocabulary.calendar import said_with_hour
from lattermath.vocabulary.errors import Fault, InputError, LattermathError, WeatherFileError
from lattermath.vocabulary.events import WeatherTaken
from lattermath.weather.service import FETCHED, answer, question

FRESH = timedelta(hours=3)  # judgement: services compute their models a few times a day
REST = timedelta(minutes=15)  # judgement
ASKED = Patience(tries=3, seconds=20.0)
BEFORE_A_PLAN = Patience(tries=1, seconds=4.0)  # judgement: nobody waits longer for a sheet
_TURNED_ON = "[forecast]"


@dataclass(frozen=True, slots=True)
class Fetched:
    """Whether something new was written down, and what to say."""

    new: bool
    says: tuple[str, ...]


def fetch(path: Path | str, patience: Patience = ASKED) -> Fetched:
    """Ask for the forecast and the days just past, and write them down.

    Not before the last answer is three hours old. InputError where it is not turned on;
    WeatherFileError where no answer came or it cannot be read: nothing is then written.
    """
    folder = folder_at(path)
    now = clock.now()
    with open_journal(folder) as journal:
        if (file := read_file(folder, now)) is not None:
            bring_up(journal, file, now)
        asked = forecast_asked(journal.events(), date.max)
        place = plot_as_of(journal.events(), date.max).place
        last = _last(journal)
    if asked is None:
        raise InputError(_not_turned_on())
    zone = ZoneInfo(place.time_zone)
    if last is not None and timedelta(0) <= now - last < FRESH:
        when = said_with_hour(last.astimezone(zone))
        return Fetched(False, (f"The forecast was fetched {when}: fresh enough, not asked.",))
    query = question(place.latitude, place.longitude, place.time_zone, asked.days, asked.past_days)
    data = ask(f"{asked.service}?{query}", patience)
    here = (place.latitude, place.longitude)
    read = answer(data, here, place.time_zone, now.astimezone(zone).date())
    with open_journal(folder) as journal:
        taken = take_in(journal, read, place.time_zone, now)
    new = taken.event is not None and taken.event.recorded_at >= now
    return Fetched(new, taken.says)


def keep_fresh(path: Path | str) -> tuple[str, ...]:
    """Before a plan of today: fetch where that is turned on and due; a failure is only said.

    Empty where all is well, where it is not turned on, and where there is no plot.
    """
    folder = Folder(Path(path))
    if not folder.journal.exists() or not _turned_on(folder) or _resting(folder):
        return ()
    try:
        if not fetch(path, BEFORE_A_PLAN).new:
            _rest(folder)
    except WeatherFileError as fault:
        _rest(folder)
        return (*(str(one) for one in fault.faults), *_since(folder))
    except LattermathError:
        return ()  # the plan itself says what is wrong with the plot
    return ()


def _turned_on(folder: Folder) -> bool:
    try:
        return _TURNED_ON in folder.plot_file.read_text(encoding="utf-8", errors="replace")
    except OSError:
        return False


def _since(folder: Folder) -> tuple[str, ...]:
    """Of when the forecast is that the plan will rest on instead."""
    with open_journal(folder) as journal:
        last = _last(journal)
        zone = ZoneInfo(plot_as_of(journal.events(), date.max).place.time_zone)
    if last is None:
        return ("No forecast has been fetched yet.",)
    return (f"The plan rests on the forecast of {said_with_hour(last.astimezone(zone))}.",)


def _last(journal: Journal) -> datetime | None:
    """When the newest answer was written down."""
    when = [
        event.recorded_at
        for event in effective(journal.events())
        if isinstance(event.payload, WeatherTaken) and event.payload.file == FETCHED
    ]
    return max(when, default=None)


def _mark(folder: Folder) -> Path:
    key = hashlib.sha256(str(folder.path.resolve()).encode()).hexdigest()[:16]
    return kept_folder() / f"forecast-rests-{key}"


def _resting(folder: Folder) -> bool:
    try:
        failed = datetime.fromisoformat(_mark(folder).read_text("ascii"))
    except (OSError, ValueError):
        return False
    return timedelta(0) <= clock.now() - failed < REST


def _rest(folder: Folder) -> None:
    mark = _mark(folder)
    try:
        mark.parent.mkdir(parents=True, exist_ok=True)
        mark.write_text(clock.now().isoformat(), "ascii")
    except OSError:
        return  # then the next plan tries again


def _not_turned_on() -> Fault:
    remedy = (
        'Write service = "https://..." under [forecast] in plot.toml. It is then told where the '
        "plot lies, to about a kilometre."
    )
    return Fault("no weather service is turned on", "plot.toml: forecast", "", remedy)
