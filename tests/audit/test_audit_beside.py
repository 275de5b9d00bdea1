"""Young plants put in beside their pest: the audit names it, and only where nothing is done."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from tests.audit.random_plots import an_event
from tests.audit.test_audit_catches import CLEAN, into
from tests.planning.label_cases import TUESDAY

from lattermath.audit.plan_audit import audit
from lattermath.vocabulary.events import Sighting, Treatment
from lattermath.vocabulary.plan import Amount, CourseStep, Task

WHAT = "plants young ones beside their pest"
LIVES = {"mite": frozenset({"bean_bush"}), "moth": frozenset({"kale"})}
SEEN = an_event(
    1, TUESDAY - timedelta(days=3), CLEAN.plot, Sighting("far", "mite", "count", total=40)
)


def whats(*tasks: Task, events=(SEEN,), lives=LIVES, course: tuple[CourseStep, ...] = ()):
    world = replace(CLEAN, more=tasks, events=tuple(events), course=course)
    faults = audit(world.plan(), world.plot, world.events, world.evenings, lives)
    return {fault.what for fault in faults}


def out(plants: int) -> Task:
    """So many of them are bagged an hour and a half before the spraying."""
    at = TUESDAY - timedelta(hours=1, minutes=30)
    return Task("out", "pull", "replace", "Out.", 5, planting="far", starts=at,
                amounts=(Amount("plants", plants, "plants"),))  # fmt: skip


def test_into_the_bed_of_its_pest_is_caught() -> None:
    assert WHAT in whats(into("B"))
    assert WHAT not in whats(into("A"))  # nine metres off


def test_a_metre_and_no_more_is_beside() -> None:
    for x_m, caught in ((3.9, True), (4.1, False)):
        a, b = CLEAN.plot.beds
        plot = replace(CLEAN.plot, beds=(a, replace(b, x_m=x_m)))
        world = replace(CLEAN, plot=plot, more=(into("A"),), events=(SEEN,))
        faults = audit(world.plan(), plot, world.events, world.evenings, LIVES)
        assert (WHAT in {fault.what for fault in faults}) is caught


def test_what_lives_on_other_crops_bars_nothing() -> None:
    moth = replace(SEEN, payload=Sighting("far", "moth", "count", total=40))
    assert WHAT not in whats(into("B"), events=(moth,))
    assert WHAT not in whats(into("B"), lives=None)


def test_what_was_missed_since_bars_nothing() -> None:
    none = an_event(
        2, TUESDAY - timedelta(days=1), CLEAN.plot, Sighting("far", "mite", "count", total=0)
    )
    assert WHAT not in whats(into("B"), events=(SEEN, none))


@pytest.mark.parametrize(("plants", "caught"), [(20, False), (10, True)])
def test_what_comes_out_whole_before_bars_nothing(plants: int, caught: bool) -> None:
    assert (WHAT in whats(out(plants), into("B"))) is caught


@pytest.mark.parametrize(("days", "caught"), [(3, False), (14, False), (15, True)])
def test_treated_within_a_fortnight_bars_nothing(days: int, caught: bool) -> None:
    done = an_event(
        2, TUESDAY - timedelta(days=days), CLEAN.plot, Treatment(("far",), "soap", "water")
    )
    assert (WHAT in whats(into("B"), events=(SEEN, done))) is caught


@pytest.mark.parametrize(("days", "caught"), [(-1, False), (0, False), (2, True)])
def test_a_course_bars_nothing_from_its_first_evening(days: int, caught: bool) -> None:
    step = CourseStep((TUESDAY + timedelta(days=days)).date(), "soap", None, ("far",), "Soap")
    assert (WHAT in whats(into("B"), course=(step,))) is caught


@pytest.mark.parametrize(("pulled", "caught"), [(None, False), (20, False), (10, True)])
def test_what_takes_the_place_of_its_host_is_beside_what_stays_of_it(
    pulled: int | None, caught: bool
) -> None:
    follows = replace(into("B"), planting="far")
    before = () if pulled is None else (out(pulled),)
    assert (WHAT in whats(*before, follows)) is caught
