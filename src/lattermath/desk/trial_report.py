"""What a season trial found: means with their intervals, and where the plan loses."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lattermath.desk.dice import dice
from lattermath.desk.season_trial import Outcome
from lattermath.vocabulary.counted import counted

FloatArray = NDArray[np.float64]

BOOTSTRAPS = 10_000
PLAN = "the plan"
BAR_KG = 0.5  # kilograms that one letter of the drawing stands for
QUANTITIES: dict[str, Callable[[Outcome], float]] = {
    "kg used": lambda one: one.used,
    "portions": lambda one: one.portions,
    "kg picked": lambda one: one.kg,
    "sprays": lambda one: one.sprays,
    "by hand": lambda one: one.handwork,
    "changes": lambda one: one.changes,
    "hours": lambda one: one.hours,
    "violations": lambda one: len(one.faults),
    "barred": lambda one: one.barred,
}


@dataclass(frozen=True, slots=True)
class Interval:
    """Mean over seasons, and its 95 % interval by bootstrap over seasons."""

    mean: float
    low: float
    high: float

    def __str__(self) -> str:
        return f"{self.mean:.1f} ({self.low:.1f}, {self.high:.1f})"


@dataclass(frozen=True, slots=True)
class Kept:
    """One policy: each quantity, a season."""

    policy: str
    quantities: dict[str, Interval]


@dataclass(frozen=True, slots=True)
class Beside:
    """The plan beside another policy, season by season.

    used       : kilograms used more than the other.
    percent    : the same in percent of the other's mean.
    portions   : portions used more, in percent of the other's mean.
    treatments : sprays and handwork, of the other's; None where it does none.
    sprays     : sprays alone, likewise.
    hours      : hours more.
    less_in    : seasons in which the household used less.
    """

    policy: str
    used: Interval
    percent: Interval
    portions: Interval
    sprays: float | None
    treatments: float | None
    hours: Interval
    less_in: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class TrialReport:
    """A whole trial; `seasons` is how many were played to the end under every policy."""

    seasons: int
    years: tuple[int, ...]
    kept: tuple[Kept, ...]
    beside: tuple[Beside, ...]
    loses: str
    faults: tuple[str, ...]
    outcomes: tuple[Outcome, ...]
    interrupted: bool = False


def report_of(outcomes: Sequence[Outcome], *, interrupted: bool = False) -> TrialReport:
    """Add up the seasons that every policy played to the end."""
    names = list(dict.fromkeys(one.policy for one in outcomes))
    seeds = list(dict.fromkeys(one.seed for one in outcomes))
    by_key = {(one.policy, one.seed): one for one in outcomes}
    whole = [seed for seed in seeds if all((name, seed) in by_key for name in names)]
    rows = {name: [by_key[name, seed] for seed in whole] for name in names}
    kept = tuple(
        Kept(name, {word: interval([of(one) for one in rows[name]])
                    for word, of in QUANTITIES.items()})
        for name in names
        if whole
    )  # fmt: skip
    plan = rows.get(PLAN, [])
    beside = tuple(_beside(plan, rows[name]) for name in names if name != PLAN and plan)
    used = tuple(one for name in names for one in rows[name])
    faults = tuple(f"{one.policy}, {one.year}: {fault}" for one in used for fault in one.faults)
    years = tuple(by_key[names[0], seed].year for seed in whole)
    return TrialReport(len(whole), years, kept, beside, _loses(beside, len(whole)), faults, used,
                       interrupted)  # fmt: skip


def interval(values: Sequence[float] | FloatArray) -> Interval:
    """Mean of some seasons and its interval; the same seasons give the same interval."""
    array = np.asarray(values, dtype=float)
    rng = dice(1, "trial")("bootstrap")
    drawn = array[rng.integers(0, len(array), (BOOTSTRAPS, len(array)))].mean(1)
    low, high = np.quantile(drawn, (0.025, 0.975))
    return Interval(float(array.mean()), float(low), float(high))


def lines_of(report: TrialReport) -> Iterator[str]:
    """The report as a table and a drawing, and one sentence on where the plan loses."""
    if not report.kept:
        yield "No season was played to the end."
        return
    years = f"{min(report.years)} to {max(report.years)}"
    yield f"{counted(report.seasons, 'seasons')}, weather of {years}; means a season, 95 % interval"
    yield ""
    yield _row("", [one.policy for one in report.kept])
    for word in QUANTITIES:
        yield _row(word, [one.quantities[word] for one in report.kept])
    yield ""
    yield from _drawing(report)
    yield ""
    beside = report.beside
    yield _row(f"{PLAN} to", [one.policy for one in beside])
    yield _row("kg used more", [one.used for one in beside])
    yield _row("percent", [one.percent for one in beside])
    yield _row("portions, %", [one.portions for one in beside])
    yield _row("sprays", [_share(one.sprays) for one in beside])
    yield _row("treatments", [_share(one.treatments) for one in beside])
    yield _row("hours more", [one.hours for one in beside])
    yield _row("less used in", [f"{len(one.less_in)} of {report.seasons}" for one in beside])
    yield ""
    yield report.loses
    yield from report.faults


def _drawing(report: TrialReport) -> Iterator[str]:
    """Kilograms used, as bars; the brackets are the interval."""
    yield f"kg used a season; each # is {BAR_KG:g} kg, [ and ] the interval"
    for one in report.kept:
        used = one.quantities["kg used"]
        bar = list("#" * round(used.mean / BAR_KG) + " " * 80)
        bar[round(used.low / BAR_KG)], bar[round(used.high / BAR_KG)] = "[", "]"
        yield f"{one.policy:15s}{''.join(bar).rstrip()}"


def _beside(plan: Sequence[Outcome], other: Sequence[Outcome]) -> Beside:
    apart = [a.used - b.used for a, b in zip(plan, other, strict=True)]
    more = [a.portions - b.portions for a, b in zip(plan, other, strict=True)]
    return Beside(
        other[0].policy,
        interval(apart),
        _percent(apart, [one.used for one in other]),
        _percent(more, [one.portions for one in other]),
        _of([one.sprays for one in plan], [one.sprays for one in other]),
        _of([one.sprays + one.handwork for one in plan],
            [one.sprays + one.handwork for one in other]),
        interval([a.hours - b.hours for a, b in zip(plan, other, strict=True)]),
        tuple(b.year for a, b in zip(plan, other, strict=True) if a.used < b.used - 0.005),
    )  # fmt: skip


def _percent(apart: Sequence[float], of: Sequence[float]) -> Interval:
    usual, found = float(np.mean(of)), interval(apart)
    share = 100 / usual if usual else 0.0
    return Interval(found.mean * share, found.low * share, found.high * share)


def _loses(beside: Sequence[Beside], seasons: int) -> str:
    """Where the plan does worse than another way, in one sentence."""
    said = []
    for one in beside:
        words = []
        if one.used.mean < 0:
            words.append(f"{-one.used.mean:.1f} kg less used")
        if one.less_in:
            years = ", ".join(str(year) for year in one.less_in)
            words.append(f"less used in {len(one.less_in)} of {seasons} seasons ({years})")
        if one.sprays is not None and one.sprays > 1:
            words.append(f"{one.sprays:.1f} times the sprays")
        if one.hours.low > 0:
            words.append(f"{one.hours.mean:.1f} h more work a season")
        if words:
            said.append(f"beside {one.policy}: {', '.join(words)}")
    return f"Where the plan loses: {'; '.join(said)}." if said else "The plan loses nowhere."


def _of(plan: Sequence[int], other: Sequence[int]) -> float | None:
    return sum(plan) / sum(other) if sum(other) else None


def _row(word: str, cells: Sequence[object]) -> str:
    return f"{word:15s}" + "".join(f"{cell!s:>22s}" for cell in cells)


def _share(share: float | None) -> str:
    return "-" if share is None else f"{100 * share:.0f} %"
