"""The demonstration: an invented plot on real weather, set up and planned afresh when it runs."""

from __future__ import annotations

import shutil
import tempfile
import tomllib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, datetime
from importlib.resources import as_file, files
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from lattermath.desk import clock
from lattermath.desk.entry_ids import new_id
from lattermath.desk.plan_visit import plan
from lattermath.desk.start import start
from lattermath.desk.take_weather import take
from lattermath.desk.wiring import Folder, open_journal
from lattermath.record.journal import Entry
from lattermath.vocabulary.errors import Fault, InputError
from lattermath.vocabulary.events import KINDS, Payload, Watering
from lattermath.vocabulary.plan import Plan

Progress = Callable[[str, float], None]
ZONE = "America/Denver"


@dataclass(frozen=True, slots=True)
class Shown:
    """Where the demonstration stands, its plan, and what to try next."""

    folder: Path
    plan: Plan
    says: tuple[str, ...]
    try_next: tuple[str, ...]


def demo(folder: Path | None, progress: Progress | None = None) -> Shown:
    """Set the invented plot up in a new folder, tell its story to the journal, and plan.

    InputError when the folder holds something else. A folder of an earlier demonstration is made
    anew.
    """
    tell = progress or (lambda _, __: None)
    place = _new_folder(folder)
    tell("setting the plot up", 0.05)
    story = tomllib.loads(_packaged("story.toml").read_text("utf-8"))
    begins = story["begins"].replace(tzinfo=ZoneInfo(ZONE))
    start(place, begins)
    with as_file(_packaged("champion.csv")) as weather:
        take(place, weather, at=begins)
    write_story(Folder(place), story)
    day: date = story["shown_on"]
    made = plan(place, day, progress=progress)
    return Shown(place, made, _says(place, day), _try_next(place, day, made))


def write_story(folder: Folder, story: dict[str, Any]) -> None:
    """Write the invented entries down, as `log` would have, in the order in which they happened."""
    entries = sorted(_entries(story), key=lambda entry: entry.happened_at)
    with open_journal(folder) as journal:
        journal.append(entries, clock.now(), new_id)


def _entries(story: dict[str, Any]) -> Iterator[Entry]:
    for told in story["entry"]:
        fields = {
            key: tuple(value) if isinstance(value, list) else value
            for key, value in told.items()
            if key not in ("at", "kind")
        }
        payload: Payload = KINDS[told["kind"]](**fields)
        yield Entry(told["at"].replace(tzinfo=ZoneInfo(ZONE)), ZONE, payload)
    for rounds in story["watering_round"]:
        for day in rounds["days"]:
            at = datetime.combine(date.fromisoformat(day), rounds["at"], ZoneInfo(ZONE))
            for bed, litres in rounds["beds"].items():
                yield Entry(at, ZONE, Watering(litres, bed))


def _packaged(name: str) -> Any:
    return files("lattermath.demo") / name


def _new_folder(folder: Path | None) -> Path:
    if folder is None:
        place = Path(tempfile.mkdtemp(prefix="lattermath-demo-"))
    else:
        place = folder
        _clear_earlier(place)
        place.mkdir(parents=True, exist_ok=True)
    place.joinpath("plot.toml").write_text(_packaged("plot.toml").read_text("utf-8"), "utf-8")
    return place


def _clear_earlier(place: Path) -> None:
    """Remove an earlier demonstration, and nothing else."""
    if not place.exists() or not any(place.iterdir()):
        return
    plot = place / "plot.toml"
    if not plot.exists() or not plot.read_text("utf-8").startswith("# The demonstration plot."):
        raise InputError(
            Fault("this folder holds something else", "demo", str(place), "Name a new folder.")
        )
    shutil.rmtree(place)


def _says(place: Path, day: date) -> tuple[str, ...]:
    return (
        "An invented garden, plot, holder, shelf and label limits; real weather of Champion, "
        "Nebraska (see champion.md).",
        f"It is planned as of {day.isoformat()}; nothing dated later is read.",
        f"The plot is in {place}.",
        "",
    )


def _try_next(place: Path, day: date, made: Plan) -> tuple[str, ...]:
    tasks = made.visits[0].tasks if made.visits else ()
    task = next((t.id for t in tasks if t.kind == "treat"), tasks[0].id if tasks else "rule:bloom")
    return (
        "",
        "Try next:",
        f"  lattermath why {task} --plot {place}",
        f"  lattermath log none aubergines whitefly --leaves 10 --at '{day} 18:40' --plot {place}",
        f"  lattermath plan --on {day} --back --plot {place}",
        f"  lattermath serve --on {day} --plot {place}    the same as pages, to log on",
        "  lattermath start --help    to set your own plot up",
    )
