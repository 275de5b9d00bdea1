"""How much could anybody have used? Ground of the trial's plots changed by one who saw it all.

Each season of `bench/trial.py --ground-only` is lived again and again by a keeper who knows the
weather, the plot and every chance to come: bed by bed, each day of a visit and each filling is
tried (young plants of a lot that are there by then, or seed from the tin), up to two changes a bed,
and what the household uses is kept where it grows (coordinate ascent from nothing, from the rule
of thumb's changes, and from the better of the two). No planner can know that much, so what comes
out is no aim: it says how much there was to gain at all. Search by coordinates may stop short of
the very best.

    python bench/trial_ceiling.py [--seasons N] [--seed S]

Ctrl-C prints the seasons that are whole.
"""

from __future__ import annotations

import argparse
import copy
import sys
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np

from lattermath.desk.outside_world import OutsidePlot
from lattermath.desk.season_trial import VISIT_DAYS, Calendar, harvest
from lattermath.desk.trial_choice import Change
from lattermath.desk.trial_ground import carry_out, planted, pulled, sown
from lattermath.desk.trial_harvest import used
from lattermath.desk.trial_plot import YEARS, TrialPlot, calendar, open_trial
from lattermath.desk.trial_replacing import FIXED_AGE
from lattermath.desk.trial_season import Season

SEED = 61_000  # the plots of the reported run on ground alone
SEASONS = 11
SOWN = ("bean_bush", "summer_squash", "cucumber_slicing")  # what the tin holds
MOST_CHANGES = 2  # judgement: of one bed, in nine weeks
COARSE = 2  # visits, in the first round of each bed
LEAST = 1e-9  # kg

Step = tuple[date, str]  # the visit, and a lot or a crop to sow
Schedule = dict[str, tuple[Step, ...]]  # by bed


class NobodyAsks:
    """Stands where a plot's folder would: what happens is not written down."""

    def log(self, *_: object) -> None:
        """Nothing."""


@dataclass(slots=True)
class Lived:
    """One season, to be lived over and over; `begun` is never touched."""

    begun: Season
    days: Calendar
    visits: list[date] = field(default_factory=list)
    known: dict[tuple[tuple[str, tuple[Step, ...]], ...], float] = field(default_factory=dict)

    def fresh(self) -> Season:
        """The season as it stood on the first day."""
        nature = self.begun.nature
        shared = (nature.tables, nature.sky, self.begun.setting, self.begun.seam)
        return copy.deepcopy(self.begun, {id(one): one for one in shared})

    def of(self, schedule: Schedule) -> float:
        """What the household uses of it under these changes. [kg]"""
        key = tuple(sorted((bed, steps) for bed, steps in schedule.items() if steps))
        if key not in self.known:
            self.known[key] = self.live(lambda season: _due(season, schedule))[0]
        return self.known[key]

    def live(self, changes_on: object) -> tuple[float, Schedule]:
        """Keep every visit; what was used, and what was changed."""
        season, done = self.fresh(), {}
        while season.today < self.days.ends:
            today = season.today
            if today.weekday() in VISIT_DAYS and season.nature.grower_comes():
                season.sow_lots(told=True)
                harvest(season, [one.key for one in season.standing()])
                if today < self.days.stops:
                    for change in changes_on(season):  # type: ignore[operator]
                        if carry_out(season, change) and change.task.kind != "pull":
                            step = (today, change.lot or change.crop)
                            done[change.bed] = (*done.get(change.bed, ()), step)
            season.nature.step_to(today + timedelta(days=1))
        return used(season)[0], done


def _due(season: Season, schedule: Schedule) -> Iterator[Change]:
    """Tonight's changes of a schedule; what stands in the bed goes, if there is anything to put."""
    for bed, steps in schedule.items():
        for day, what in steps:
            if day == season.today and (what in SOWN or season.nature.cups[what].plants):
                yield from (pulled(season, one.key) for one in season.standing() if one.bed == bed)
                yield sown(season, what, bed) if what in SOWN else planted(season, what, bed)


def best_of(lived: Lived, start: Schedule) -> Schedule:
    """Bed by bed, until a round over all beds gains nothing."""
    beds = [bed.key for bed in lived.begun.setting.plot.beds]
    best, at_best = dict(start), lived.of(start)
    while True:
        before = at_best
        for bed in beds:
            for tried in _other(lived, best, bed):
                if (now := lived.of(tried)) > at_best + LEAST:
                    best, at_best = tried, now
        if at_best <= before + LEAST:
            return best


def _other(lived: Lived, best: Schedule, bed: str) -> Iterator[Schedule]:
    """Other courses of one bed: one change of all, one less, one more, each a visit or two off."""
    lots = sorted({key for _, key, *_ in lived.begun.to_sow} | set(lived.begun.nature.cups))
    mine = best.get(bed, ())
    yield {**best, bed: ()}
    for n in range(len(mine)):
        rest = (*mine[:n], *mine[n + 1 :])
        yield {**best, bed: rest}
        at = lived.visits.index(mine[n][0])
        for near in lived.visits[max(at - COARSE, 0) : at + COARSE + 1]:
            yield {**best, bed: tuple(sorted((*rest, (near, mine[n][1]))))}
    for day in lived.visits[::COARSE]:
        for what in (*SOWN, *lots):
            if what in SOWN or _sown_by(lived, what, day):
                yield {**best, bed: ((day, what),)}
                if mine and len(mine) < MOST_CHANGES:
                    yield {**best, bed: tuple(sorted((*mine, (day, what))))}


def _sown_by(lived: Lived, lot: str, day: date) -> bool:
    due = {key: on for on, key, *_ in lived.begun.to_sow}
    return lot not in due or due[lot] < day


def season_of(number: int, seed: int) -> tuple[tuple[float, float, float], Schedule]:
    """Used if nothing is changed, by the rule of thumb, and at best [kg]; and the best changes."""
    year = YEARS[number % len(YEARS)]
    with TemporaryDirectory() as folder:
        what = TrialPlot(organisms=())
        begun = open_trial(OutsidePlot(Path(folder)), year, seed + number, what)
    begun.seam = NobodyAsks()  # type: ignore[assignment]
    days = calendar(year)
    lived = Lived(begun, days)
    nothing, _ = lived.live(lambda season: lived.visits.append(season.today) or ())
    by_rule, changes = lived.live(FIXED_AGE.changes)
    best = best_of(lived, changes)
    return (nothing, by_rule, lived.of(best)), best


def main() -> None:
    """Play, and print each season and the means with their 95 % of bootstraps."""
    words = argparse.ArgumentParser(description="What there was to gain on ground alone.")
    words.add_argument("--seasons", type=int, default=SEASONS)
    words.add_argument("--seed", type=int, default=SEED)
    asked = words.parse_args()
    rows: list[tuple[float, float, float]] = []
    try:
        for number in range(asked.seasons):
            row, changes = season_of(number, asked.seed)
            rows.append(row)
            nothing, rule, best = row
            year = YEARS[number % len(YEARS)]
            print(f"{year}  nothing {nothing:5.2f}  rule {rule:5.2f}  at best {best:5.2f} kg",
                  flush=True)  # fmt: skip
            for bed, steps in sorted(changes.items()):
                print(f"      {bed}: " + ", ".join(f"{what} {day:%d %b}" for day, what in steps))
    except KeyboardInterrupt:
        print("\nStopped; the seasons that are whole:", file=sys.stderr)
    if rows:
        tell(np.array(rows))


def tell(rows: np.ndarray) -> None:
    """Means, and by how much the best is beyond the rule."""
    rng = np.random.default_rng(1)
    again = rows[rng.integers(0, len(rows), (10_000, len(rows)))].mean(axis=1)
    for n, name in enumerate(("nothing", "rule of thumb", "at best")):
        low, high = np.quantile(again[:, n], (0.025, 0.975))
        print(f"{name:14s} {rows[:, n].mean():5.1f} ({low:.1f}, {high:.1f}) kg used")
    more = 100 * (again[:, 2] / again[:, 1] - 1)
    low, high = np.quantile(more, (0.025, 0.975))
    print(f"at best beyond the rule: {100 * (rows[:, 2].sum() / rows[:, 1].sum() - 1):.0f} % "
          f"({low:.0f}, {high:.0f})")  # fmt: skip


if __name__ == "__main__":
    main()
