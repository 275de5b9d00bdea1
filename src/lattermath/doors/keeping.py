"""`start`, `weather`, `fetch`, `demo`; and to look after: `export`, `import`, `backup`, `check`."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from lattermath.doors import answering
from lattermath.doors.asking import HERE, AsJson, PlotFolder, UnitsAsked
from lattermath.vocabulary.errors import Fault, InputError


def start(
    folder: Annotated[Path | None, Parameter(help="Folder that holds plot.toml.")] = None,
    /,
    *,
    plot: PlotFolder = HERE,
    as_json: AsJson = False,
) -> int:
    """Read plot.toml and open the journal beside it."""
    from lattermath.desk import start as desk_start

    if folder is not None and plot not in (HERE, folder):
        remedy = "Name it once, with --plot or without."
        found = f"{folder} and {plot}"
        raise InputError(Fault("two folders are named", "--plot", found, remedy))
    report = desk_start.start(plot if folder is None else folder)
    answering.answer(report.says, report, as_json)
    return answering.DONE


def weather(
    file: Annotated[Path, Parameter(help="A weather file.")],
    /,
    *,
    form: Annotated[
        str | None,
        Parameter(help="diary, ghcn-daily, open-meteo, meteostat or epw; found out if left out."),
    ] = None,
    plot: PlotFolder = HERE,
    units: Annotated[
        str | None, Parameter(help="Of a table that does not say: metric (C, mm) or us (F, inch).")
    ] = None,
    forecast: Annotated[
        bool, Parameter(negative=(), help="The days from today on are a forecast.")
    ] = False,
    as_json: AsJson = False,
) -> int:
    """Take a weather file in; what is doubtful is set aside and said."""
    from lattermath.desk import take_weather

    report = take_weather.take(plot, file, form=form, units=units, forecast=forecast)
    answering.answer(report.says, report, as_json)
    return answering.DONE


def fetch(*, plot: PlotFolder = HERE, as_json: AsJson = False) -> int:
    """Ask the weather service that plot.toml turns on for the forecast and the days just past."""
    from lattermath.desk import fetch_weather

    report = fetch_weather.fetch(plot)
    answering.answer(report.says, report, as_json)
    return answering.DONE


def export(
    to: Annotated[Path, Parameter(help="Folder for the files; it is made.")],
    /,
    *,
    plot: PlotFolder = HERE,
    as_json: AsJson = False,
) -> int:
    """Write the whole record as open JSON and CSV, with plot.toml and photos."""
    from lattermath.desk import keepers

    report = keepers.export(plot, to)
    answering.answer(report.says, report, as_json)
    return answering.DONE


def bring_in(
    source: Annotated[Path, Parameter(help="Folder that `export` wrote, or its journal.json.")],
    /,
    *,
    plot: PlotFolder = HERE,
    as_json: AsJson = False,
) -> int:
    """Take in what `export` wrote: as a new plot, or what this plot's journal lacks."""
    from lattermath.desk import bring_in as desk_bring_in

    report = desk_bring_in.bring_in(plot, source)
    answering.answer(report.says, report, as_json)
    return answering.DONE


def backup(
    to: Annotated[Path, Parameter(help="File or folder for the copy.")],
    /,
    *,
    plot: PlotFolder = HERE,
    as_json: AsJson = False,
) -> int:
    """Copy the journal whole, also while it is in use."""
    from lattermath.desk import keepers

    report = keepers.backup(plot, to)
    answering.answer(report.says, report, as_json)
    return answering.DONE


def check(*, plot: PlotFolder = HERE, as_json: AsJson = False) -> int:
    """Look over plot.toml, the journal and its chain; exit status 1 when something is wrong."""
    from lattermath.desk import keepers

    report = keepers.check(plot)
    lines = [*report.says, *(str(fault) for fault in report.faults)]
    answering.answer(lines, report, as_json)
    return answering.NOTHING if report.faults else answering.DONE


def demo(
    folder: Annotated[Path | None, Parameter(help="Where to set it up; a new folder.")] = None,
    /,
    *,
    units: UnitsAsked = "metric",
) -> int:
    """An invented plot on real weather: the sheet, the verdicts, the populations, the outlook."""
    from lattermath.desk import demo as desk_demo
    from lattermath.doors.planning_ahead import say_sheet, write_page

    with answering.progress() as progress:
        shown = desk_demo.demo(folder, progress)
    answering.say(shown.says)
    say_sheet(shown.plan, units, back=True)
    page = shown.folder / "sheet.html"
    write_page(shown.plan, page, units)
    answering.say([f"The sheet as a page: {page}", *shown.try_next])
    return answering.DONE


COMMANDS: tuple[tuple[Callable[..., int], str, str], ...] = (
    (start, "start", "lattermath start --plot my-plot"),
    (weather, "weather", "lattermath weather USW00012345.csv --form ghcn-daily"),
    (fetch, "fetch", "lattermath fetch"),
    (export, "export", "lattermath export open-record"),
    (bring_in, "import", "lattermath import open-record --plot new-plot"),
    (backup, "backup", "lattermath backup plot-copy.sqlite"),
    (check, "check", "lattermath check"),
    (demo, "demo", "lattermath demo my-demo"),
)
