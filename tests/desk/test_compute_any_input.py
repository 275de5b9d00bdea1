"""Whatever is sent, a kernel answers in plain JSON or refuses in the one shape; it never falls."""

from __future__ import annotations

import copy
import json
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lattermath.desk.compute import KERNELS, answer
from lattermath.vocabulary.errors import InputError

RIGHT: dict[str, dict[str, Any]] = {
    "degree-days": {"t_min": [7, 8], "t_max": [14, 30], "lower": 12, "upper": 25},
    "sun-times": {"latitude": 51, "longitude": 0, "date": "2024-03-20", "time_zone": "UTC"},
    "reference-et": {"date": "2024-07-06", "latitude": 50, "t_min": 12, "t_max": 21, "rh_mean": 70},
    "crop-coefficient": {"stages_days": [25, 25, 30, 20], "kc": [0.5, 1.1, 0.9], "day": 40},
    "water": {
        "et0_mm": [5, 5],
        "rain_mm": [0, 3],
        "kc": [1, 1],
        "field_capacity": 0.3,
        "wilting_point": 0.1,
        "root_m": 0.5,
        "depletion_fraction": 0.4,
    },
    "frost-chance": {"first_frost": ["2019-10-01", "2020-10-11", None], "on": ["2021-10-05"]},
    "emergence": {"crop": "cucumber_slicing", "soil_temperature_c": 20},
    "root-fill": {"crop": "kale", "cup_ml": 200, "temperature_c": 25, "age_days": 14},
    "last-planting": {"crop": "kale", "establish": "sown", "first_frost": "2025-10-01"},
    "first-pick": {"crop": "kale", "sown": "2025-08-01", "t_min": [17] * 9, "t_max": [29] * 9},
    "fruit-set": {"crop": "tomato_determinate", "t_min": [15, 25], "t_max": [26, 36]},
    "development": {"organism": "greenhouse_whitefly", "stage": "egg", "temperature_c": 25},
    "cohort": {
        "organism": "greenhouse_whitefly",
        "temperature_c": 25,
        "days": 5,
        "start": {"egg": 10, "adult": 3},
    },
    "growth-rate": {"organism": "melon_aphid", "temperature_c": 25},
    "wet-hours": {"rh_percent": [95, None, 80], "rain_mm": [0, None, 1], "threshold": 87},
    "disease-severity-value": {"method": "tom-cast", "mean_c": 22, "wet_hours": 9},
    "late-blight-days": {"method": "smith", "t_min": [11, 12], "humid_hours": [12, None]},
    "infection": {"disease": "late_blight", "temperature_c": 17, "wet_hours": 8},
    "disease-progress": {"times": [14, 21, 28], "severities": [40, 80, 90]},
    "logistic-growth": {"start": 0.01, "rate": 0.2, "days": [7, 14]},
    "efficacy": {
        "method": "henderson-tilton",
        "treated_before": [90, 110],
        "treated_after": [20, 30],
        "untreated_before": [70, 90],
        "untreated_after": [110, 130],
    },
    "sample-size": {"mean": 5, "precision": 0.25, "taylor": {"a": 2.9, "b": 1.26}},
    "sequential-test": {"low_mean": 2, "high_mean": 4, "k": 4.6, "alpha": 0.1, "beta": 0.1},
    "presence-test": {"low_share": 0.1, "high_share": 0.3, "alpha": 0.1, "beta": 0.1},
    "leaves-to-find": {"infested": 0.05, "sureness": 0.95},
    "negative-binomial": {"counts": [0, 3, 1, 9, 0, 2]},
    "residue": {"half_life_days": 3, "days": 4, "rain_mm": [1, 5], "wash_off_fraction": 0.5},
    "clearance": {
        "treatments": [{"at": "2025-08-03T20:00", "pre_harvest_days": 4}],
        "now": "2025-08-05T18:55",
    },
    "mix": {
        "parts": [
            {
                "plants": 4,
                "ground_m2_per_plant": 0.5,
                "surfaces": ["underside", "top"],
                "rate_per_l": 20,
                "max_l_per_m2": 0.1,
            }
        ],
    },
    "diagnose": {
        "crop": "kale",
        "region": "europe",
        "present": ["white_insect_cloud"],
        "absent": ["honeydew_sticky"],
    },
}

numbers = st.integers(-(10**6), 10**6) | st.floats(allow_nan=False, allow_infinity=False)
texts = st.sampled_from(
    ["", "x", "egg", "kale", "0001-01-01", "9999-12-31", "2024-02-29"]
) | st.text(max_size=8)
plain = st.none() | st.booleans() | numbers | texts
anything = st.recursive(
    plain,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(texts, inner, max_size=3),
    max_leaves=6,
)


def answered(kernel: str, request: object) -> None:
    try:
        told = answer(kernel, json.dumps(request))
    except InputError as refusal:
        assert all(fault.what and fault.where and fault.remedy for fault in refusal.faults)
    else:
        json.loads(told, parse_constant=pytest.fail)


@pytest.mark.parametrize("kernel", KERNELS)
def test_the_right_request_is_answered(kernel: str) -> None:
    assert json.loads(answer(kernel, json.dumps(RIGHT[kernel])))


@pytest.mark.parametrize("kernel", KERNELS)
@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_one_field_of_anything_is_answered_or_refused(kernel: str, data: st.DataObject) -> None:
    request = copy.deepcopy(RIGHT[kernel])
    field = data.draw(st.sampled_from(sorted(request)))
    kept = request[field]
    if isinstance(kept, list) and kept and data.draw(st.booleans()):
        request[field] = [*kept[:-1], data.draw(plain)]
    elif isinstance(kept, (int, float)) and data.draw(st.booleans()):
        request[field] = data.draw(numbers)
    else:
        request[field] = data.draw(anything)
    answered(kernel, request)


@pytest.mark.parametrize("kernel", KERNELS)
@settings(max_examples=15, deadline=None)
@given(request=anything)
def test_anything_at_all_is_answered_or_refused(kernel: str, request: object) -> None:
    answered(kernel, request)
