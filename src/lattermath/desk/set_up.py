"""The plot file as pages write it: read, changed line by line, started; all of it or nothing."""

from __future__ import annotations

import hashlib
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache
from pathlib import Path
from typing import Any, Literal

from lattermath.desk import clock
from lattermath.desk.far_weather import ask_if_far
from lattermath.desk.plot_edits import place_of, read_text
from lattermath.desk.start import Started, start
from lattermath.desk.wiring import Folder, folder_at
from lattermath.record.plot_rewriting import Change, rewritten
from lattermath.record.whole_file import write_whole
from lattermath.vocabulary.errors import Fault, InputError, LattermathError, PlotFileError
from lattermath.vocabulary.place import Place
from lattermath.weather.readings import read_weather

BOM = "\ufeff"  # the mark that some editors put first


@dataclass(frozen=True, slots=True)
class PlotText:
    """A plot file as it stands: its text, what it says, and what is wrong with it.

    digest : by which a page that was opened earlier knows that the file changed since.
    """

    text: str
    document: Mapping[str, Any]
    digest: str
    faults: tuple[Fault, ...]
    broken: bool = False  # its form cannot be read at all

    @property
    def us(self) -> bool:
        """Whether it is written in US units."""
        return self.document.get("units") == "us"

    def rows(self, name: str) -> list[dict[str, Any]]:
        """The tables of one kind; none where they are not written as tables."""
        held = self.document.get(name, [])
        return [row for row in held if isinstance(row, dict)] if isinstance(held, list) else []

    def table(self, name: str) -> dict[str, Any]:
        """The one table of that name, empty where there is none."""
        held = self.document.get(name, {})
        return held if isinstance(held, dict) else {}


def is_started(path: Path | str) -> bool:
    """Whether a plot was started in this folder."""
    return folder_at(path).journal.exists()


def units_of(path: Path | str) -> Literal["metric", "us"]:
    """The units that the plot file is written in; metric where it says nothing or is not there."""
    file = folder_at(path).plot_file
    try:
        told = file.stat()
    except OSError:
        return "metric"
    return _units_in(file, told.st_mtime_ns, told.st_size)


@lru_cache(maxsize=8)
def _units_in(file: Path, _written: int, _size: int) -> Literal["metric", "us"]:
    """Read once for each state of the file: a page asks for it with every entry it shows."""
    try:
        with file.open("rb") as opened:
            return "us" if tomllib.load(opened).get("units") == "us" else "metric"
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError):
        return "metric"


def plot_text(path: Path | str, at: datetime | None = None) -> PlotText:
    """The plot file of a folder; an empty text where there is none. It is only read."""
    folder = folder_at(path)
    held = folder.plot_file.read_bytes() if folder.plot_file.exists() else b""
    digest = hashlib.sha256(held).hexdigest()[:16]
    try:
        text = held.decode("utf-8")
        document = tomllib.loads(text.removeprefix(BOM))
    except UnicodeDecodeError as fault:
        wrong = Fault(
            "the file is no UTF-8 text", "plot.toml", f"byte {fault.start}", "Save it so."
        )
        return PlotText("", {}, digest, (wrong,), True)
    except tomllib.TOMLDecodeError as fault:
        wrong = Fault("the file cannot be read", "plot.toml", str(fault), "Mend that line in it.")
        return PlotText("", {}, digest, (wrong,), True)
    if not text.removeprefix(BOM).strip():
        return PlotText(text, {}, digest, ())
    try:
        read_text(folder, text.removeprefix(BOM), at or clock.now())
    except PlotFileError as refused:
        return PlotText(text, document, digest, refused.faults)
    return PlotText(text, document, digest, ())


@dataclass(frozen=True, slots=True)
class Tried:
    """What the file would say after some changes, and what would be wrong with it."""

    document: Mapping[str, Any]
    faults: tuple[Fault, ...]

    def rows(self, *names: str) -> list[dict[str, Any]]:
        """The tables of one kind."""
        held: Any = self.document
        for name in names:
            held = held.get(name, {}) if isinstance(held, Mapping) else {}
        return [row for row in held if isinstance(row, dict)] if isinstance(held, list) else []


def tried(
    path: Path | str, held: PlotText, changes: Sequence[Change], at: datetime | None = None
) -> Tried:
    """Make the changes on paper only. PlotFileError where they cannot be made in the text."""
    text = rewritten(held.text.removeprefix(BOM), changes)
    document = tomllib.loads(text)
    try:
        read_text(folder_at(path), text, at or clock.now())
    except PlotFileError as refused:
        return Tried(document, refused.faults)
    return Tried(document, ())


def write(
    path: Path | str, changes: Sequence[Change], seen: str, at: datetime | None = None
) -> Started:
    """Make the changes in plot.toml, and bring the journal up to it; all of it or nothing.

    seen : the digest of the file that the changes are meant for.

    Raises PlotFileError with every fault of the changed file, InputError where the file was
    changed since it was read, WeatherFileError where a weather file that it names does not hold.
    """
    folder = folder_at(path)
    held = plot_text(folder.path, at)
    if held.digest != seen:
        what = "plot.toml was changed since this page was opened"
        raise InputError(Fault(what, "plot.toml", "", "Look at it below, and press again."))
    if held.broken:
        raise PlotFileError(held.faults)
    mark = BOM if held.text.startswith(BOM) else ""
    text = rewritten(held.text.removeprefix(BOM), changes)
    file = read_text(folder, text, at or clock.now())
    _check_weather(folder, text, held, place_of(file))
    before = folder.plot_file.read_bytes() if folder.plot_file.exists() else None
    write_whole(folder.plot_file, mark + text)
    try:
        return start(folder.path, at)
    except LattermathError:
        _put_back(folder.plot_file, before)
        raise


def _check_weather(folder: Folder, text: str, held: PlotText, place: Place) -> None:
    """Read every weather file that is named for the first time, so that a bad one stops us here."""
    known = held.document.get("weather", [])
    for name in tomllib.loads(text).get("weather", []):
        if name in known:
            continue
        if Path(name).name != name or not (folder.path / name).is_file():
            remedy = "Put the file into the plot's folder, and write its name."
            raise InputError(Fault("there is no such file", "weather", name, remedy))
        ask_if_far(read_weather(folder.path / name, time_zone=place.time_zone), place)


def _put_back(file: Path, before: bytes | None) -> None:
    if before is None:
        file.unlink(missing_ok=True)
    else:
        write_whole(file, before)
