"""The seam for outside worlds: open a plot, log what happened, ask for a day, get the tasks.

Another program can play nature against the planner through this file alone;
`docs/outside-worlds.md` shows how. What the planner knows is what was logged and the weather up to
the day it is asked about; nothing of the world behind it is read. The season trial uses this.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path

from lattermath.desk.log_names import plot_now
from lattermath.desk.log_visit import log
from lattermath.desk.plan_facts import facts_of
from lattermath.desk.plan_visit import plan
from lattermath.desk.season_facts import SeasonFacts
from lattermath.desk.start import start
from lattermath.desk.take_weather import take
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.vocabulary.errors import Fault, PlanViolates
from lattermath.vocabulary.events import Event, Payload
from lattermath.vocabulary.plan import Plan, Task
from lattermath.vocabulary.plot import Plot


@dataclass(frozen=True, slots=True)
class Answer:
    """What the planner says to one day.

    plan   : the whole plan; None where the audit found that it breaks a limit, and so held it back.
    tasks  : what to do at the visit of that day, in its order; () on a day without a visit.
    faults : what the audit found; () for a plan that is given.
    """

    day: date
    plan: Plan | None
    tasks: tuple[Task, ...]
    faults: tuple[Fault, ...] = ()


@dataclass(frozen=True, slots=True)
class OutsidePlot:
    """A plot that another world plays. All it holds is its folder, so it can be opened again."""

    folder: Path

    @property
    def plot(self) -> Plot:
        """The plot as the record tells it now."""
        return plot_now(self.folder)

    def log(self, payload: Payload, at: datetime) -> Event:
        """Write down what happened, safe on disk before this returns.

        at : when; by the plot's clock if it has no time zone.

        InputError for what cannot have happened: a planting that is not there, a later hour than
        now by this machine's clock.
        """
        return log(self.folder, payload, at)

    def ask(self, day: date) -> Answer:
        """Ask the plan for a day, from everything logged up to the end of that day.

        The plan is made for one hour before arrival. InputError for a day more than a year ahead,
        WeatherFileError where nothing is known of the sky.
        """
        try:
            made = plan(self.folder, day)
        except PlanViolates as broken:
            return Answer(day, None, (), tuple(broken.faults))
        tonight = next((visit for visit in made.visits if visit.date == day), None)
        return Answer(day, made, () if tonight is None else tonight.tasks)

    def facts(self, day: date) -> SeasonFacts:
        """What a plan for that day would be made from."""
        folder = folder_at(self.folder)
        with open_journal(folder) as journal:
            return facts_of(folder, journal, day, None)


def open_plot(
    folder: Path, plot_file: str, at: datetime, weather: Sequence[Path] = ()
) -> OutsidePlot:
    """Start a plot in an empty folder.

    plot_file : text of a plot.toml, as `docs/plot-file.md` describes it.
    at        : when it is started, with its time zone.
    weather   : files in any form that `lattermath weather` reads. Days later than the one asked
                about may stand in them and are not read.

    PlotFileError with every fault of the text; WeatherFileError for a file of no known form.
    """
    (folder / "plot.toml").write_text(plot_file, "utf-8")
    start(folder, at)
    for file in weather:
        take(folder, file, at=at)
    return OutsidePlot(folder)
