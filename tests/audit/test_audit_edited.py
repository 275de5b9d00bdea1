"""Random plots whose file was edited after the sprays: a new name, lowered label lines.

An edit changes nothing on the ground, so that every clearance must be what it was before, and the
audit, which reads the rows of the journal by itself, must agree and catch any that is earlier.
"""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from tests.audit.random_plots import Case, a_case, an_event, plan_of
from tests.planning.label_cases import CAUTIONS

from lattermath.audit.plan_audit import audit
from lattermath.planning.picking_clearance import clearance_of
from lattermath.record.codec import to_plain
from lattermath.record.read_back import treatments
from lattermath.vocabulary.events import Event, PlotRow, Treatment
from lattermath.vocabulary.label import LabelLine, ProductLabel
from lattermath.vocabulary.plan import Clearance
from lattermath.vocabulary.plot import Planting, Plot

TRIALS = 400
EARLY = "is cleared for picking too early"


@dataclass(frozen=True)
class Edited:
    """The plot before and after an edit, with all entries up to then, and who was renamed."""

    case: Case
    plot: Plot
    events: tuple[Event, ...]
    old: Planting
    new: Planting
    now: datetime  # up to three days after the last spray

    def clearance(
        self, plot: Plot, events: tuple[Event, ...], key: str, now: datetime
    ) -> Clearance:
        zone = ZoneInfo(plot.place.time_zone)
        done = treatments(events)
        return clearance_of(plot.planting(key), done, plot.shelf, now, zone, CAUTIONS)


def rows(plot: Plot, facts: list[tuple[str, str, Any]], at: datetime, serial: int) -> list[Event]:
    return [
        replace(
            an_event(serial + n, at, plot, PlotRow(section, key, fact and to_plain(fact))),  # type: ignore[arg-type]
            kind="plot row",
        )
        for n, (section, key, fact) in enumerate(facts)
    ]


def lowered(label: ProductLabel) -> ProductLabel:
    """Every wait of it shortened to nothing; what was not copied stays so."""
    zero = LabelLine("value", 0.0)

    def none(line: LabelLine[float]) -> LabelLine[float]:
        return zero if line.state == "value" else line

    crops = tuple(replace(c, pre_harvest_days=none(c.pre_harvest_days)) for c in label.crops)
    return replace(label, crops=crops, re_entry_hours=none(label.re_entry_hours))


def edited(seed: int, *, rename: bool, lower: bool) -> Edited:
    case, dice = a_case(seed), random.Random(f"edit {seed}")
    plot, zone = case.plot, ZoneInfo(case.plot.place.time_zone)
    arrive = case.evenings[0].arrive
    done = [e.happened_at for e in case.events if isinstance(e.payload, Treatment)]
    later = max(done, default=arrive) + timedelta(minutes=2 + 20 * (seed % 200))
    now = min(arrive, later.astimezone(zone), key=datetime.timestamp)
    begun = [("planting", p.key, replace(p, pulled=None)) for p in plot.plantings]
    begun += [("bed", bed.key, bed) for bed in plot.beds]
    begun += [("shelf", label.key, label) for label in plot.shelf]
    old = dice.choice(plot.standing())
    new = replace(old, key="another", name="Another") if rename else old
    plantings = tuple(new if p is old else p for p in plot.plantings)
    shelf = tuple(lowered(x) for x in plot.shelf) if lower else plot.shelf
    facts: list[tuple[str, str, Any]] = [("shelf", x.key, x) for x in shelf] if lower else []
    if rename:
        facts += [("planting", new.key, new), ("planting", old.key, None)]
    first = rows(plot, begun, now - timedelta(days=100), -1000)
    last = rows(plot, facts, now - timedelta(minutes=1), 1000)
    after = replace(plot, plantings=plantings, shelf=shelf)
    return Edited(case, after, (*first, *case.events, *last), old, new, now)


@pytest.mark.parametrize(("rename", "lower"), [(True, False), (False, True), (True, True)])
def test_an_edit_clears_nothing(rename: bool, lower: bool) -> None:
    tried: Counter[str] = Counter()
    for seed in range(TRIALS):
        one = edited(500_000 + seed, rename=rename, lower=lower)
        now = one.now
        before = tuple(e for e in one.events if e.serial < 1000)
        was = one.clearance(one.case.plot, before, one.old.key, now)
        is_now = one.clearance(one.plot, one.events, one.new.key, now)
        assert (is_now.clear_now, is_now.safe_from) == (was.clear_now, was.safe_from), seed
        picking = tuple(
            one.clearance(one.plot, one.events, p.key, now) for p in one.plot.standing()
        )
        plan = plan_of(one.case, picking=picking, as_of=now)
        assert not audit(plan, one.plot, one.events, one.case.evenings), seed
        if is_now.clear_now or is_now.safe_from is None:
            continue
        tried["barred for a time"] += 1
        early = replace(is_now, safe_from=is_now.safe_from - timedelta(minutes=1))
        faults = audit(replace(plan, picking=(early,)), one.plot, one.events, one.case.evenings)
        assert [f.what for f in faults] == [EARLY], seed
    assert tried["barred for a time"] > TRIALS / 20, tried
