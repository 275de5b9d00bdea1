"""Waterings as wetness of leaves: over them, at the foot, and nobody said."""

from __future__ import annotations

from datetime import UTC, date, datetime

import numpy as np
import pytest
from tests.belief.cluster_cases import TABLES, dice

from lattermath.belief.infection_weather import infection_response, nights_of
from lattermath.belief.leaf_disease import LeafSky, believe_leaf_disease
from lattermath.belief.leaf_disease_sightings import LeafSeen, LeafStand
from lattermath.belief.watered_leaves import waterings_of, wet_by_watering
from lattermath.vocabulary.events import Event, Watering
from lattermath.vocabulary.plot import Planting

FIRST, DAYS = date(2026, 7, 1), 20
CUCUMBERS = Planting("cucumbers", "Cucumbers", "cucumber_slicing", 4, bed="b")


def sun(_day: date) -> tuple[float, float]:
    return 6.0, 20.0


def event(n: int, day: int, hour: int, **fields) -> Event:
    at = datetime(2026, 7, day, hour, tzinfo=UTC)
    return Event(n, f"e{n}", "watering", 2, at, "UTC", at, Watering(20.0, **fields))


def given(*events: Event, usual=None):
    return waterings_of(CUCUMBERS, usual, events, sun)


def nights(*events: Event, usual=None, hours: str | None = None):
    t_min, t_max, rain = (np.full((1, DAYS), v) for v in (14.0, 24.0, 0.0))
    known = np.full((DAYS, 24), np.nan)
    if hours:
        known[:] = [np.nan if c == "?" else float(c == "h") for c in hours]
    told = given(*events, usual=usual)
    watered = wet_by_watering(told, FIRST, DAYS, sun) if told else None
    return nights_of(t_min, t_max, rain, np.full(DAYS, 14.0), known, known.copy(), watered)


def test_the_entry_speaks_before_the_bed_and_the_foot_stays_dry() -> None:
    assert [g.way for g in given(event(1, 5, 19, bed="b"), usual="overhead")] == ["overhead"]
    assert not given(event(1, 5, 19, bed="b", way="foot"), usual="overhead")
    assert not given(event(1, 5, 19, bed="b"), usual="foot")
    assert [g.way for g in given(event(1, 5, 19, planting="cucumbers"))] == [None]
    assert not given(event(1, 5, 19, bed="c"), event(2, 5, 19, planting="beans"))
    assert [g.late for g in given(event(1, 5, 7, bed="b"), event(2, 5, 19, bed="b"))] == [
        False,
        True,
    ]


def test_an_evening_over_the_leaves_joins_the_night_across_midnight() -> None:
    """Dry air all hours, measured: what is wet is the watering's, on one night only."""
    plain, wet = nights(hours="-" * 24), nights(event(1, 8, 21, bed="b", way="overhead"),
                                                hours="-" * 24)  # fmt: skip
    assert (plain.wet_h == 0).all()
    night = wet.wet_h[:, 0, 8]  # the night that ends on the ninth
    assert night[0] < night[2] < night[4]
    assert night[2] == pytest.approx(10.5, abs=0.6)  # nine in the dark, then about an hour and half
    others = np.delete(wet.wet_h[:, 0], 8, axis=1)
    assert (others == 0).all()


def test_what_nobody_said_is_dry_on_one_side_and_wet_on_the_other() -> None:
    said = nights(event(1, 8, 21, bed="b", way="overhead"), hours="-" * 24).wet_h[:, 0, 8]
    unsaid = nights(event(1, 8, 21, bed="b"), hours="-" * 24).wet_h[:, 0, 8]
    assert unsaid[0] == 0 and unsaid[-1] == said[-1] and 0 < unsaid[2] < said[2]


def test_missing_hours_stay_unknown_beside_watering() -> None:
    wet = nights(event(1, 8, 21, bed="b", way="overhead"), hours="-" * 12 + "?" * 4 + "-" * 8)
    assert wet.wet_h[0, 0, 8] < wet.wet_h[-1, 0, 8]
    assert wet.wet_h[-1, 0, 7] == 4  # the hours nobody measured, wet on the wet side


def test_evenings_over_the_leaves_let_downy_mildew_in_and_mornings_do_not() -> None:
    row = TABLES.diseases["cucurbit_downy_mildew"]
    dry = "-" * 24
    evening = nights(*(event(n, n, 20, bed="b", way="overhead") for n in range(2, 15)), hours=dry)
    morning = nights(*(event(n, n, 7, bed="b", way="overhead") for n in range(2, 15)), hours=dry)
    foot = nights(*(event(n, n, 20, bed="b", way="foot") for n in range(2, 15)), hours=dry)
    let_in = [infection_response(row, one)[2, 0, 5:12].mean() for one in (evening, morning, foot)]
    assert let_in[0] > 0.5 and let_in[1] == 0 and let_in[2] == 0


def test_two_plantings_of_one_disease_go_by_their_own_nights() -> None:
    """Two rows alike in dry air, ill alike at first; one has water on its leaves each night."""
    n_days, today = 60, 40
    t_min, t_max, none = (np.full((3, n_days), v) for v in (14.0, 24.0, 0.0))
    dry = np.zeros((n_days, 24))
    wet = np.where((np.arange(24) >= 20) | (np.arange(24) < 7), 1.0, dry)
    day = np.full(n_days, 14.0)
    nights = tuple(nights_of(t_min, t_max, none, day, one, one.copy()) for one in (wet, dry))
    stands = [LeafStand(key, key, "cucumber_slicing", 4, 1.0, 3.0) for key in ("one", "other")]
    seen = [
        LeafSeen(today - 15, place, None, 2.0, None, 20, place + 1) for place in range(len(stands))
    ]
    sky = LeafSky(t_min, t_max, np.zeros(n_days), np.arange(60) % 3, today, nights)
    row = TABLES.diseases["cucurbit_downy_mildew"]
    belief = believe_leaf_disease(row, stands, sky, seen, [], [], dice)
    assert belief.response.shape[1] == 2
    ill = np.median(belief.state.mean(-1), axis=0)
    assert ill[0] > 2 * ill[1]
    assert (np.median(belief.ahead().mean(-1)[:, :, -1], axis=0)[0] > ill[0]).all()
