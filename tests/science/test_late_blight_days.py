"""Smith and Hutton: unknown only where what is missing decides; tried by filling it in."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lattermath.science.late_blight_days import hutton_days, smith_days

nan = np.nan
days = st.lists(
    st.tuples(st.sampled_from([9.0, 12.0, nan]), st.sampled_from([5.0, 10.0, 11.0, 24.0, nan])),
    min_size=1,
    max_size=5,
)


def fillings(told: list[tuple[float, float]]):
    nights = [[9.9, 10.0] if np.isnan(night) else [night] for night, _ in told]
    hours = [[0.0, 6.0, 10.0, 11.0] if np.isnan(h) else [h] for _, h in told]
    for night in product(*nights):
        for humid in product(*hours):
            yield night, humid


@pytest.mark.parametrize("kind", [smith_days, hutton_days])
@given(told=days)
def test_unknown_is_said_exactly_where_it_matters(kind, told) -> None:
    found = kind([night for night, _ in told], [hours for _, hours in told])
    whole = [kind(night, humid) for night, humid in fillings(told)]
    for day, word in enumerate(found):
        possible = {one[day] for one in whole}
        assert word == (possible.pop() if len(possible) == 1 else "unknown")


def test_bounds_of_hours_say_more_than_nothing() -> None:
    assert smith_days([12, 12], [11, 11], [11, 13]) == ["half", "full"]
    assert smith_days([12, 12], [11, 9], [11, 13]) == ["half", "unknown"]
    assert hutton_days([12, 12], [6, 7], [8, 13]) == ["none", "met"]


def test_wrong_series_are_refused() -> None:
    with pytest.raises(ValueError, match="as many days"):
        smith_days([12, 12], [11])
    with pytest.raises(ValueError, match="between 0 and 24"):
        hutton_days([12], [25])
    with pytest.raises(ValueError, match="between 0 and 24"):
        hutton_days([12], [8], [7])
