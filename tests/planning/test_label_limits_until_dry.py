"""Heat and cold from a spraying's own start until it is dry. Hours by hand, labels invented."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from tests.planning.label_cases import CAUTIONS, NONE, TUESDAY, evening, product, request, value

from lattermath.planning.label_limits import may_treat
from lattermath.planning.treatment_request import TreatmentRequest
from lattermath.vocabulary.evening import AirAt

HOURS = 12


def course(low: float, high: float, **at: float) -> tuple[AirAt, ...]:
    """The air from 18:30 on, by the quarter hour; `at` names hours like h2230 that are hotter."""
    arrive = TUESDAY.replace(hour=18, minute=30)
    found = []
    for step in range(HOURS * 4 + 1):
        when = arrive + timedelta(minutes=15 * step)
        odd = at.get(f"h{when:%H%M}")
        found.append(AirAt(when, low if odd is None else odd, high if odd is None else odd))
    return tuple(found)


def asked(active: str, air: tuple[AirAt, ...], **label: object) -> TreatmentRequest:
    """Sprayed 20:10 to 20:25; the figures of the last job are fine throughout."""
    made = request(product(active, **label))
    return replace(made, evening=evening(TUESDAY, air=air))


def says(asked: TreatmentRequest) -> list[str]:
    return [bar.says for bar in may_treat(asked, CAUTIONS).bars]


@pytest.mark.parametrize(
    ("hour", "allowed"),
    [("h1945", True), ("h2000", False), ("h2200", False), ("h0015", False), ("h0045", True)],
)
def test_soap_counts_from_its_first_drop_for_four_hours(hour: str, allowed: bool) -> None:
    """Wet from 20:10 to 00:25; a quarter hour of which any part is met counts whole."""
    bars = says(asked("soap", course(16.0, 24.0, **{hour: 32.1})))
    assert (not bars) is allowed
    assert allowed or bars[0].startswith("up to «32.1 C» until dry")


@pytest.mark.parametrize(("hour", "allowed"), [("h2215", False), ("h2300", True)])
def test_a_labels_ceiling_until_its_own_spray_is_dry(hour: str, allowed: bool) -> None:
    """Spinosad dries in two hours: until 22:25."""
    air = course(16.0, 24.0, **{hour: 25.1})
    made = asked("spinosad", air, max_temperature_c=value(25.0), bloom=value("evening only"))
    assert (not says(made)) is allowed


def test_oil_by_the_coolest_hour_until_it_is_dry() -> None:
    assert not says(asked("mineral_oil", course(10.0, 24.0), sulfur_oil_gap_days=NONE))
    (bar,) = says(asked("mineral_oil", course(12.0, 24.0, h0000=9.9)))
    assert bar.startswith("down to «9.9 C»")


def test_hours_that_do_not_reach_so_far_refuse() -> None:
    """Nobody knows how hot it is before 18:30, nor after the last hour that is known."""
    whole = course(16.0, 24.0)
    assert says(asked("soap", whole[:20])) and not says(asked("soap", whole[:30]))
    assert "nobody knows how hot" in says(asked("soap", whole[8:]))[0]


@pytest.mark.parametrize(
    ("active", "hose", "ban", "way"),
    [
        ("soap", True, False, "a cooler evening, or a strong water jet early"),
        ("soap", True, True, "a cooler evening"),
        ("soap", False, False, "a cooler evening"),
        ("mineral_oil", True, False, "a cooler evening"),  # it may be for mildew
    ],
)
def test_the_way_out_of_heat_is_one_that_can_be_gone(
    active: str, hose: bool, ban: bool, way: str
) -> None:
    made = asked(active, course(16.0, 33.0))
    (bar,) = may_treat(replace(made, hose=hose, hose_ban=ban), CAUTIONS).bars
    assert bar.way_out == way


def test_no_hour_of_the_same_evening_helps_against_two_hot_days() -> None:
    made = request(product("sulfur"), evening=evening(TUESDAY, hottest_next_two_days_c=36.0))
    (bar,) = may_treat(made, CAUTIONS).bars
    assert bar.way_out == "an evening before two cooler days"
