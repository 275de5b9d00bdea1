"""A count on one planting, and what it means for the one beside it that nobody looked over."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from tests.seasons.champion import PLACE, opened

from lattermath.desk.coming_over import lost, with_coming_over
from lattermath.desk.log_visit import log
from lattermath.desk.plan_visit import plan
from lattermath.knowledge.tables import load_tables
from lattermath.vocabulary.events import Event, Sighting
from lattermath.vocabulary.plan import CourseStep, Plan, Population, Presence, Span, Verdict

APHID, NONE = "green_peach_aphid", Span(0.0, 0.0, 0.0, "")
IDLE = "Nothing is treated before it is found. Look again at the next visit."
COUNTS = (22, 40, 8, 31)
FILE = PLACE + "".join(
    f"""
[[planting]]
key = "{crop}s"
name = "{crop.replace("_", " ").capitalize()}s"
crop = "{crop}"
plants = 6
set_out = 2011-06-01
"""
    for crop in ("sweet_pepper", "squash")
).replace("squashs", "squash").replace("Squashs", "Squash")


def made(folder: Path, *, counted: bool) -> Plan:
    opened(folder, FILE)
    if counted:
        seen = Sighting("sweet_peppers", "aphid", "count", counts=COUNTS)
        log(folder, seen, datetime(2011, 6, 25, 18, 40))
    return plan(folder, date(2011, 6, 26))


def asked(one: Plan, planting: str) -> set[str]:
    """The kinds of insects looked for on a planting at the first visit."""
    tasks = one.visits[0].tasks
    looks = [t for t in tasks if t.kind == "look" and t.planting == planting]
    return {"aphid" for t in looks for w in t.wanted if "aphid" in w.organism}


@pytest.mark.usefixtures("few_draws")
def test_a_count_beside_it_takes_no_look_from_a_planting_and_is_told_there(tmp_path: Path) -> None:
    """A sheet said "let run" of it, and halved its harvest for aphids that no look would find."""
    before, after = (made(tmp_path / name, counted=name == "after") for name in ("before", "after"))
    assert asked(before, "squash") and asked(after, "squash")
    verdict = next(v for v in after.verdicts if v.planting == "squash")
    told = [b.says for b in verdict.because if "may come over from Sweet peppers" in b.says]
    assert told and "nobody has looked for them here" in told[0]
    assert "; aphids may come over from Sweet peppers, not looked for" in verdict.says
    others = [*before.verdicts, *(v for v in after.verdicts if v.planting != "squash")]
    assert not any("come over" in b.says for v in others for b in v.because)


def verdict(left: float, *, course: tuple[CourseStep, ...] = (), looked: bool = False) -> Verdict:
    """Squash let run, of which aphids found on the peppers leave a share of what is picked late."""
    aphids = Population(
        *(APHID, ("peppers", "squash"), "", (), course, IDLE, NONE),
        where=(Presence("peppers", True, NONE), Presence("squash", False, NONE)),
    )  # fmt: skip
    day_by_day = np.r_[np.ones(5), np.full(5, left)]
    pests: Any = SimpleNamespace(populations=(aphids,), kept={(APHID, "squash"): day_by_day})
    at = datetime(2026, 7, 1, 18, 0)
    none = Event(7, "7", "sighting", 1, at, "UTC", at, Sighting("squash", APHID, "count", total=0))
    plot: Any = SimpleNamespace(planting=lambda key: SimpleNamespace(name=key))
    facts: Any = SimpleNamespace(
        tables=load_tables(), plot=plot, today_index=2, events=(none,) if looked else ()
    )
    kg = np.zeros((3, 12))
    kg[:, 7:9], kg[:, 4] = 1.0, 2.0  # half of it on days on which nothing is lost
    run = Verdict("squash", "let run", "leave", (), NONE, 0.0, 0.0, None, "let run")
    return with_coming_over(facts, run, SimpleNamespace(kg=kg), pests)  # type: ignore[arg-type]


def test_what_may_come_over_is_named_from_a_tenth_of_the_harvest_on() -> None:
    """Half of the harvest comes late, so that a tenth of it goes where a fifth of that does."""
    told = verdict(0.4)
    assert told.minds and told.says == (
        "let run; green peach aphid may come over from peppers, not looked for here"
    )
    (why,) = told.because
    assert "reckoned to take about 3 in 10 of its harvest" in why.says  # half of 0.6
    assert verdict(0.82).because == () and verdict(0.78).because != ()


def test_nothing_is_told_to_come_over_where_it_is_treated() -> None:
    step = CourseStep(date(2026, 7, 24), "soap", "Soap", ("squash",), "Soap")
    assert verdict(0.4, course=(step,)).because == ()


def test_what_the_last_look_missed_is_told_with_what_it_may_take_and_why_it_is_left() -> None:
    """Aphids cost eleven portions of the sprouts, and the front said no more than "let run"."""
    told = verdict(0.4, looked=True)
    assert told.minds and told.says == (
        "let run; green peach aphid, none at the last look, may still take about 3 in 10 of its "
        "harvest: nothing is treated before it is found"
    )
    (why,) = told.because
    assert "may still take about 3 in 10" in why.says and why.way_out == "look for it again"
    assert verdict(0.9, looked=True).because == ()


def test_a_harvest_that_is_none_loses_nothing() -> None:
    assert lost(np.zeros(4), np.full(4, 0.5)) == 0.0
    assert lost(np.array([1.0, 3.0]), np.array([1.0, 0.5])) == pytest.approx(0.375)
