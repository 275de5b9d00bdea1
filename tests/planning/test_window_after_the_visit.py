"""A visit that ends before the bees' window is told until when to stay, or when to come."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, time, timedelta

import pytest
from tests.planning.label_cases import CAUTIONS, TUESDAY, evening, request

from lattermath.audit.figures import WINDOW_OPENS
from lattermath.planning.hour_limits import evening_window
from lattermath.planning.treatment_request import Surroundings, TreatmentRequest
from lattermath.vocabulary.plot import GardenRules
from lattermath.vocabulary.ruling import Because

SUNSET = TUESDAY.replace(hour=20, minute=38)
OPENS = SUNSET - timedelta(seconds=WINDOW_OPENS)


def last_job(leave: datetime, minutes: float = 12.0, gate: time | None = None) -> TreatmentRequest:
    """A spray while there may be bloom, ending as the visit does."""
    hours = evening(TUESDAY, arrive=TUESDAY.replace(hour=18, minute=0), leave=leave)
    asked = request(
        starts=leave - timedelta(minutes=minutes),
        minutes=minutes,
        evening=hours,
        surroundings=Surroundings(True, True, ()),
    )
    return replace(asked, rules=GardenRules(gate_closes=gate))


def bar(asked: TreatmentRequest) -> Because:
    (told,) = [one for one in evening_window(asked, CAUTIONS) if "for the bees' sake" in one.says]
    return told


@pytest.mark.parametrize(("leave", "minutes"), [((19, 40), 12.0), ((20, 15), 12.0), ((19, 0), 30)])
def test_the_hour_told_would_be_allowed(leave: tuple[int, int], minutes: float) -> None:
    """Who stays until the hour named is allowed to spray as the last job; a minute less is not."""
    gone = TUESDAY.replace(hour=leave[0], minute=leave[1])
    told = bar(last_job(gone, minutes))
    assert not told.holds
    assert told.lapses is None, "it comes back at every visit of these hours"
    assert f"you are taken to leave at {gone:%H:%M}" in told.says
    until = OPENS + timedelta(minutes=minutes)
    come = TUESDAY.replace(hour=18, minute=0) + (until - gone)
    assert told.way_out == f"stay until {until:%H:%M}, or come at {come:%H:%M} for as long as usual"
    assert bar(last_job(until, minutes)).holds
    assert not bar(last_job(until - timedelta(minutes=1), minutes)).holds


def test_no_hour_is_told_that_the_gate_or_the_dark_forbids() -> None:
    gone = TUESDAY.replace(hour=19, minute=40)
    shut = bar(last_job(gone, gate=time(20, 0)))
    assert "gate closes at 20:00" in shut.way_out
    assert "stay until" not in shut.way_out
    long = bar(last_job(gone, minutes=90.0))
    assert "longer than the light" in long.way_out


def test_a_visit_that_reaches_the_window_is_told_to_spray_last() -> None:
    late = TUESDAY.replace(hour=21, minute=0)
    early = replace(last_job(late), starts=TUESDAY.replace(hour=18, minute=30))
    told = bar(early)
    assert not told.holds
    assert told.way_out == "make it the last job, within the evening window"
    assert told.lapses == OPENS


@pytest.mark.parametrize(("here", "near"), [(None, None), (False, None), (None, False)])
def test_bloom_that_nobody_looked_for_is_told_to_be_looked_for(
    here: bool | None, near: bool | None
) -> None:
    """The window is for the bees: once a look finds no flower, it is not asked for any more."""
    asked = last_job(TUESDAY.replace(hour=19, minute=40))
    unseen = replace(asked, surroundings=Surroundings(here, near, ()))
    told = bar(unseen)
    assert not told.holds and told.way_out.startswith("stay until ")
    assert "look for open flowers" in told.way_out
    assert ("on it and near it" in told.way_out) == (here is None)
    looked = replace(asked, surroundings=Surroundings(False, False, ()))
    assert not [one for one in evening_window(looked, CAUTIONS) if "bees" in one.says]


def test_what_waits_for_the_evening_anyway_sends_nobody_to_look_for_flowers() -> None:
    asked = last_job(TUESDAY.replace(hour=19, minute=40))
    assert asked.label is not None
    spinosad = replace(asked, label=replace(asked.label, active="spinosad"))
    unseen = replace(spinosad, surroundings=Surroundings(None, None, ()))
    assert "look for open flowers" not in bar(unseen).way_out
