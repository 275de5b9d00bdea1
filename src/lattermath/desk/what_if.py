"""What if it were otherwise: the same futures planned twice, and the difference."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from lattermath.desk.kept_plan import Made, made_once
from lattermath.desk.lay_out import laid_out
from lattermath.desk.plan_change import (
    courses_changed,
    tasks_changed,
    verdicts_changed,
    water_changed,
    work_of,
)
from lattermath.desk.plan_facts import facts_of
from lattermath.desk.plot_edits import read_text
from lattermath.desk.season_facts import SeasonFacts
from lattermath.desk.supposing import supposed_facts
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.sheets.schema import as_data
from lattermath.vocabulary.plan import Plan, Span
from lattermath.vocabulary.supposition import Compared, Supposition, WhatIf

Progress = Callable[[str, float], None]
Draws = NDArray[np.float64]  # (n_draws,)
SAME_KG = 0.05  # what is less than this apart, 8 draws in 10, is told as the same


def what_if(
    path: Path | str,
    supposed: Supposition,
    on: date | None = None,
    progress: Progress | None = None,
) -> WhatIf:
    """Plan the coming visits as they are and as supposed, and give the difference.

    Both plans are audited, and neither goes into the record. What was edited in plot.toml becomes
    entries first, as for every plan; of the supposition nothing does. InputError for a supposition
    that cannot be read; PlanViolates where an audit withholds one of the plans.
    """
    tell = progress or (lambda _, __: None)
    folder = folder_at(path)
    with open_journal(folder) as journal:
        tell("reading the record", 0.0)
        facts = facts_of(folder, journal, on, None)
        other = facts
        if supposed.plot_file_text:
            instead = read_text(folder, supposed.plot_file_text, facts.now, "--file")
            other = facts_of(folder, journal, on, None, instead)
    return _compared(facts, supposed_facts(other, supposed), supposed, tell)


def _compared(
    facts: SeasonFacts, other: SeasonFacts, supposed: Supposition, tell: Progress
) -> WhatIf:
    def first(words: str, share: float) -> None:
        tell(words, share / 2)

    def second(words: str, share: float) -> None:
        tell(words, 0.5 + share / 2)

    was = made_once(facts, lambda: laid_out(facts, "", first))
    now = made_once(other, lambda: laid_out(other, "", second))
    before, after = as_data(was.plan), as_data(now.plan)
    names = _names(was.plan, now.plan)
    until = _last_day(before, after)
    visits, others = (_up_to(plan["visits"], until) for plan in (before, after))
    return WhatIf(
        supposed=supposed.says,
        as_of=facts.now.isoformat(),
        harvest=tuple(_harvest(was, now)),
        work=tuple(_work(facts, other, before, after)),
        verdicts=tuple(verdicts_changed(before, after)),
        tasks=(
            *water_changed(visits, others, dict(names), facts.plot.water.can_litres),
            *tasks_changed(visits, others, dict(names)),
        ),
        courses=tuple(courses_changed(before, after)),
        names=names,
    )


def _names(one: Plan, other: Plan) -> tuple[tuple[str, str], ...]:
    return tuple(sorted((dict(one.names) | dict(other.names)).items()))


def _last_day(before: Mapping[str, Any], after: Mapping[str, Any]) -> str:
    """The day up to which both plans lay visits out; "" where one has none."""
    lasts = [max((v["date"] for v in plan["visits"]), default="") for plan in (before, after)]
    return min(lasts) if all(lasts) else max(lasts)


def _up_to(visits: list[dict[str, Any]], until: str) -> list[dict[str, Any]]:
    return [visit for visit in visits if visit["date"] <= until] or visits[:1]


def _harvest(was: Made, now: Made) -> Iterator[Compared]:
    """The whole plot in kilograms and in portions of use, then each planting that differs."""
    yield _paired("all together", _kg(was.kg.values()), _kg(now.kg.values()), "kg")
    yield _paired("portions that are eaten", was.eaten, now.eaten, "portions")
    for key in dict.fromkeys([*was.kg, *now.kg]):
        kg = [_kg([made.kg[key]] if key in made.kg else []) for made in (was, now)]
        each = _paired("kg", kg[0], kg[1], "kg", key)
        if max(abs(each.difference.low), abs(each.difference.high)) >= SAME_KG:
            yield each


def _kg(each: Iterable[Draws]) -> Draws:
    return np.asarray(sum(each, np.zeros(1)), dtype=np.float64)


def _paired(what: str, was: Draws, now: Draws, unit: str, planting: str | None = None) -> Compared:
    """Both figures and their difference, each draw against itself."""
    was, now = np.broadcast_arrays(was, now)
    return Compared(what, _span(was, unit), _span(now, unit), _span(now - was, unit), planting)


def _span(values: Draws, unit: str) -> Span:
    low, median, high = (round(float(q), 2) for q in np.percentile(values, (10, 50, 90)))
    return Span(low, median, high, unit)


def _work(
    facts: SeasonFacts, other: SeasonFacts, before: Mapping[str, Any], after: Mapping[str, Any]
) -> Iterator[Compared]:
    """What the plans decide: no chance is in it, so both ends of each span are one."""
    was, now = work_of(before), work_of(after)
    pairs = (
        ("visits to the end of the season", len(facts.visits), len(other.visits), "visits"),
        ("minutes of work at a visit", was["minutes"], now["minutes"], "minutes"),
        ("treatments in the courses", was["treatments"], now["treatments"], "treatments"),
        ("of them from a pack", was["sprays"], now["sprays"], "treatments"),
    )
    for what, one, two, unit in pairs:
        yield Compared(what, _fixed(one, unit), _fixed(two, unit), _fixed(two - one, unit))


def _fixed(value: float, unit: str) -> Span:
    rounded = round(float(value), 1)
    return Span(rounded, rounded, rounded, unit)
