"""What is heard once an evening must be what would be heard each time: on random plots."""

from dataclasses import fields, replace

import pytest
from tests.audit.random_plots import a_case
from tests.planning.label_cases import CAUTIONS

from lattermath.planning.label_limits import CLAUSES, OF_THE_DAY, may_treat
from lattermath.planning.treatment_request import (
    OF_THE_PLOT,
    OWN_OF_A_REQUEST,
    TreatmentRequest,
)

CASES = 400


@pytest.fixture(scope="module")
def requests() -> list[TreatmentRequest]:
    return [a_case(seed).request for seed in range(CASES)]


def test_they_ask_of_the_past_only_for_the_same_day(requests: list[TreatmentRequest]) -> None:
    """By hand: all else that was done is left out, and each clause must say the same."""
    past = [asked for asked in requests if set(asked.applied) - set(asked.same_evening)]
    assert len(past) > CASES / 4
    for asked in past:
        today = replace(asked, applied=asked.same_evening)
        for clause in OF_THE_DAY:
            assert list(clause(asked, CAUTIONS)) == list(clause(today, CAUTIONS)), clause


def test_what_was_said_is_said_again_in_its_place(requests: list[TreatmentRequest]) -> None:
    """A ruling that begins from what was said to the same evening is the ruling made anew."""
    for asked in requests:
        said = {clause: tuple(clause(replace(asked, applied=asked.same_evening), CAUTIONS))
                for clause in CLAUSES if clause in OF_THE_DAY}  # fmt: skip
        assert may_treat(asked, CAUTIONS, said) == may_treat(asked, CAUTIONS)


def test_a_request_is_known_by_all_that_is_its_own(requests: list[TreatmentRequest]) -> None:
    two = {"minutes": (1.0, 2.0), "dry_soil": (None, True), "water_first": (False, True),
           "generation_days": (None, 3.25)}  # fmt: skip
    for name, values in two.items():
        one, other = (replace(requests[0], **{name: value}) for value in values)  # type: ignore[arg-type]
        assert one.of_the_day != other.of_the_day, name
    every = {one.name for one in fields(TreatmentRequest)}
    assert OF_THE_PLOT | set(OWN_OF_A_REQUEST) == every and set(two) <= set(OWN_OF_A_REQUEST)
