"""`season`: what the pictures of the season say, and the pictures and their numbers as files."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from cyclopts import Parameter

from lattermath.doors import answering
from lattermath.doors.asking import HERE, OnDay, PlotFolder, UnitsAsked
from lattermath.vocabulary.errors import Fault, InputError

if TYPE_CHECKING:  # building its records would slow every --help
    from lattermath.sheets.chart import Chart


def season(
    *,
    plot: PlotFolder = HERE,
    on: OnDay = None,
    units: UnitsAsked = "metric",
    pictures: Annotated[
        Path | None, Parameter(help="Write each picture and its numbers into this folder.")
    ] = None,
) -> int:
    """The season in words: harvest, days, pests; with --pictures also as SVG and CSV files."""
    from lattermath.desk import plan_visit
    from lattermath.desk.season_events import season_events
    from lattermath.sheets.chart import chart_words
    from lattermath.sheets.season_charts import season_charts

    with answering.progress() as progress:
        made = plan_visit.plan(plot, on, progress=progress)
    charts = season_charts(made, season_events(plot, made.as_of.date()), units)
    answering.say(line for chart in charts for line in chart_words(chart))
    if pictures is not None:
        answering.say(f"Written: {name}" for name in _write(charts, pictures))
    return answering.DONE if charts else answering.NOTHING


def _write(charts: Sequence[Chart], folder: Path) -> Iterator[str]:
    """Write every chart's two files, and give their names; InputError where it cannot be done."""
    from lattermath.record.whole_file import write_whole
    from lattermath.sheets.chart import csv_text
    from lattermath.sheets.chart_drawing import svg

    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        fault = Fault("no such folder can be made", "--pictures", str(folder), "Name another.")
        raise InputError(fault) from error
    for chart in charts:
        for form, text in (("svg", svg(chart, alone=True)), ("csv", csv_text(chart))):
            file = folder / f"{chart.key}.{form}"
            write_whole(file, text)
            yield str(file)


COMMANDS: tuple[tuple[Callable[..., int], str, str], ...] = (
    (season, "season", "lattermath season --pictures pictures"),
)
