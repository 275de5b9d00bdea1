"""The demonstration's ground and weather with nothing seen on it yet: quick to plan."""

from __future__ import annotations

import tomllib
from importlib.resources import as_file, files
from pathlib import Path
from zoneinfo import ZoneInfo

from lattermath.desk.demo import ZONE, write_story
from lattermath.desk.start import start
from lattermath.desk.take_weather import take
from lattermath.desk.wiring import Folder

SEEN = ("sighting", "treatment")


def demo_ground(folder: Path) -> Path:
    """Set it up in a new folder, with all entries but sightings and treatments."""
    shown = files("lattermath.demo")
    folder.mkdir(parents=True)
    (folder / "plot.toml").write_bytes((shown / "plot.toml").read_bytes())
    story = tomllib.loads((shown / "story.toml").read_text("utf-8"))
    story["entry"] = [told for told in story["entry"] if told["kind"] not in SEEN]
    begins = story["begins"].replace(tzinfo=ZoneInfo(ZONE))
    start(folder, begins)
    with as_file(shown / "champion.csv") as weather:
        take(folder, weather, at=begins)
    write_story(Folder(folder), story)
    return folder
