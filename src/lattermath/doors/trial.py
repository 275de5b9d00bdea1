"""`trial`: does the plan help? Whole seasons in an invented nature, beside other ways."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated

from cyclopts import Parameter

from lattermath.doors import answering
from lattermath.doors.asking import AsJson


def trial(
    *,
    seasons: Annotated[int, Parameter(help="How many; each takes some minutes.")] = 2,
    seed: Annotated[int, Parameter(help="Another seed, other plots.")] = 41_000,
    ground_only: Annotated[
        bool,
        Parameter(negative=(), help="No insects: what replacing alone is worth, and much sooner."),
    ] = False,
    as_json: AsJson = False,
) -> int:
    """Does the plan help? Play seasons on an invented plot beside other ways of keeping it."""
    from lattermath.desk.trial import trial as play
    from lattermath.desk.trial_plot import TrialPlot
    from lattermath.desk.trial_report import lines_of

    with answering.progress() as progress:
        what = TrialPlot(organisms=()) if ground_only else None
        report = play(seasons, seed, progress, what=what)
    answering.answer(lines_of(report), report, as_json)
    if report.interrupted:
        return answering.INTERRUPTED
    return answering.DONE if report.seasons else answering.NOTHING


COMMANDS: tuple[tuple[Callable[..., int], str, str], ...] = (
    (trial, "trial", "lattermath trial --seasons 3"),
)
"""Every command, its name and an example."""
