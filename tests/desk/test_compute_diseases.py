"""Wet leaves, disease and counting through the same door as a user asks.

Worked values of checks-diseases 1 to 3 and 5 to 8 and of checks-treatments A1, A3, A5 and A7; the
kernels themselves are tried in tests/science and tests/published.
"""

from __future__ import annotations

import json
from typing import Any

import pytest

from lattermath.desk.compute import answer, listing
from lattermath.vocabulary.errors import Fault, InputError


def ask(kernel: str, /, **request: Any) -> Any:
    return json.loads(answer(kernel, json.dumps(request)))


def fault(kernel: str, /, **request: Any) -> Fault:
    with pytest.raises(InputError) as refusal:
        answer(kernel, json.dumps(request))
    (one,) = refusal.value.faults
    assert one.what and one.remedy
    return one


RH = [95, 96, 97, 97, 96, 95, 93, 90, 84, 75, 66, 60, 55, 52, 50, 52, 57, 64, 72, 80, 86, 89]
RH += [91, 93]


def test_wet_hours_of_the_worked_day() -> None:
    rain = [0.0] * 24
    rain[15] = 1.0
    whole = ask("wet-hours", rh_percent=RH)
    assert (whole["wet_hours"], whole["low"], whole["high"]) == (10, 10, 10)
    assert [(p["start"], p["hours"]) for p in whole["periods"]] == [(0, 8), (22, 2)]
    assert ask("wet-hours", rh_percent=RH, threshold=87)["wet_hours"] == 11
    assert ask("wet-hours", rh_percent=RH, rain_mm=rain)["wet_hours"] == 11
    assert ask("wet-hours", rh_percent=RH, watered_mm=rain)["wet_hours"] == 11
    two = ask("wet-hours", rh_percent=RH * 2)["periods"]
    assert [(p["start"], p["hours"]) for p in two] == [(0, 8), (22, 10), (46, 2)]


def test_missing_hours_are_unknown_and_not_dry() -> None:
    gap = [95, 95, None, None, 50, None]
    found = ask("wet-hours", rh_percent=gap)
    assert (found["wet_hours"], found["low"], found["high"]) == (None, 2, 5)
    assert (found["periods"][0]["hours"], found["periods"][0]["most_hours"]) == (2, 4)
    wet = ask("wet-hours", rh_percent=gap, rain_mm=[0, 0, 1, None, None, 0])
    assert (wet["wet_hours"], wet["low"], wet["high"]) == (None, 3, 6)
    assert fault("wet-hours", rh_percent=RH, rain_mm=[0]).where == "rain_mm"
    assert fault("wet-hours", rh_percent=[101]).where.startswith("rh_percent[0]")


TOM_CAST = {14: {5: 0}, 15: {9: 1}, 19: {8: 1, 10: 2}, 22: {2: 0, 4: 1, 22: 4}, 23: {7: 2}}
TOM_CAST |= {24: {14: 3}, 27: {9: 2}, 12: {20: 0}, 31: {18: 0}}
WALLIN = {10: {15: 0, 18: 1}, 11: {24: 3}, 14: {13: 1, 20: 3}, 20: {9: 0, 12: 1, 17: 3}}
WALLIN |= {22: {21: 4}, 5: {24: 0}, 28: {20: 0}}


@pytest.mark.parametrize(("method", "cells"), [("tom-cast", TOM_CAST), ("wallin", WALLIN)])
def test_severity_values(method: str, cells: dict[int, dict[int, int]]) -> None:
    rows = [(heat, hours, value) for heat, row in cells.items() for hours, value in row.items()]
    asked = [{"method": method, "mean_c": heat, "wet_hours": hours} for heat, hours, _ in rows]
    found = json.loads(answer("disease-severity-value", json.dumps(asked)))
    assert [one["value"] for one in found] == [value for _, _, value in rows]


def test_severity_of_no_wet_hour_and_of_an_unknown_one() -> None:
    dry = ask("disease-severity-value", method="tom-cast", mean_c=None, wet_hours=0)
    assert dry == {"value": 0}
    value = {"method": "tom-cast", "wet_hours": 9}
    assert fault("disease-severity-value", mean_c=None, **value).where == "mean_c"
    assert fault("disease-severity-value", method="tom-cast", mean_c=20, wet_hours=25).where == (
        "wet_hours"
    )
    assert ask("disease-severity-value", method="wallin", mean_c=20, wet_hours=25) == {"value": 4}


def test_late_blight_days() -> None:
    week = {
        "t_min": [11.2, 10.0, 9.9, 12.0, 12.0, 13.0, 10.5],
        "humid_hours": [12, 11, 14, 11, 10, 11, 11],
    }
    smith = ["half", "full", "none", "half", "near-miss", "near-miss", "full"]
    assert ask("late-blight-days", method="smith", **week)["days"] == smith
    hutton = ["none", "met", "none", "none", "met", "met", "met"]
    assert ask("late-blight-days", method="hutton", **week)["days"] == hutton
    variant = ask("late-blight-days", method="smith", ten_then_eleven=True, **week)["days"]
    assert [n for n, word in enumerate(variant) if word == "full"] == [1, 5, 6]


def test_a_missing_day_is_unknown_only_where_it_matters() -> None:
    gap = {"t_min": [12, 12, 9, 12], "humid_hours": [None, 12, None, 12]}
    smith = ask("late-blight-days", method="smith", **gap)["days"]
    assert smith == ["unknown", "unknown", "none", "half"]
    hutton = ask("late-blight-days", method="hutton", **gap)["days"]
    assert hutton == ["none", "unknown", "none", "none"]
    cold = {"t_min": [None, 12], "humid_hours": [12, 12]}
    assert ask("late-blight-days", method="hutton", **cold)["days"] == ["none", "unknown"]
    assert fault("late-blight-days", method="smith", t_min=[1], humid_hours=[]).where == (
        "humid_hours"
    )


@pytest.mark.parametrize(
    ("heat", "needed", "share"),
    [(20, 2.00, 1.0), (15, 2.45, 0.8165), (10, 5.20, 0.3849), (25, 2.60, 0.7698)],
)
def test_infection_of_downy_mildew(heat: float, needed: float, share: float) -> None:
    found = ask("infection", disease="cucurbit_downy_mildew", temperature_c=heat)
    assert found["wet_hours_needed"] == pytest.approx(needed, abs=0.005)
    assert found["response"] == pytest.approx(share, abs=5e-5)
    wet = {"disease": "cucurbit_downy_mildew", "temperature_c": heat}
    assert ask("infection", wet_hours=needed + 0.01, **wet)["response"] == found["response"]
    assert ask("infection", wet_hours=needed - 0.01, **wet)["response"] == 0


def test_infection_at_the_limits_and_what_trials_needed() -> None:
    for heat in (5, 30):
        found = ask("infection", disease="cucurbit_downy_mildew", temperature_c=heat)
        assert (found["response"], found["wet_hours_needed"]) == (0, None)
    trials = ask("infection", disease="downy mildew of cucurbits", temperature_c=15)
    assert trials["wet_hours_in_trials"] == 6
    assert ask("infection", disease="bean_rust", temperature_c=20)["wet_hours_in_trials"] is None


def test_powdery_mildew_needs_no_water() -> None:
    dry = ask("infection", disease="cucurbit_powdery_mildew", temperature_c=25, wet_hours=0)
    assert dry["response"] > 0.9 and dry["wet_hours_needed"] == 0
    hot = ask("infection", disease="cucurbit_powdery_mildew", temperature_c=39)
    assert (hot["response"], hot["wet_hours_needed"]) == (0, None)


@pytest.mark.parametrize("disease", ["bacterial_wilt_cucurbits", "lettuce_drop", "bean_rsut"])
def test_a_disease_without_parameters_is_an_error(disease: str) -> None:
    assert fault("infection", disease=disease, temperature_c=20).where == "disease"


def test_disease_progress() -> None:
    found = ask("disease-progress", times=[14, 21, 28], severities=[40, 80, 90])
    assert found == {"audpc": 1015, "relative_audpc": pytest.approx(0.725), "audps": 1470}
    second = ask("disease-progress", times=[0, 2, 5, 6], severities=[1, 2, 7, 7.5])
    assert second["audpc"] == pytest.approx(23.75)
    one = ask("disease-progress", times=[3], severities=[20])
    assert one == {"audpc": None, "relative_audpc": None, "audps": None}
    assert fault("disease-progress", times=[1, 1], severities=[2, 3]).where == "times[1]"
    assert fault("disease-progress", times=[2, 1], severities=[2, 3]).where == "times[1]"


def test_logistic_growth() -> None:
    found = ask("logistic-growth", start=0.01, rate=0.2, days=[7, 14, 21, 28, 35])
    assert found["severity"] == pytest.approx([0.0393, 0.1424, 0.4025, 0.7320, 0.9172], abs=6e-5)
    assert found["area"] == pytest.approx(12.406, abs=0.0005)
    assert fault("logistic-growth", start=1.2, rate=0.2, days=[1]).where == "start"


@pytest.mark.parametrize(
    ("request_", "percent"),
    [
        ({"method": "abbott", "treated_after": 20, "untreated_after": 100}, 80),
        ({"method": "schneider-orelli", "treated_after": 35, "untreated_after": 20}, 18.75),
        (
            {
                "method": "schneider-orelli",
                "treated_before": 100,
                "treated_after": 65,
                "untreated_before": 100,
                "untreated_after": 80,
            },
            18.75,
        ),
        ({"method": "abbott", "treated_after": 30, "untreated_after": 20}, -50),
        ({"method": "abbott", "treated_after": 5, "untreated_after": 0}, None),
    ],
)
def test_efficacy(request_: dict[str, Any], percent: float | None) -> None:
    found = ask("efficacy", **request_)
    assert found["percent"] == (None if percent is None else pytest.approx(percent))
    assert found["low"] is None and found["high"] is None


@pytest.mark.parametrize("method", ["henderson-tilton", "sun-shepard"])
def test_efficacy_from_an_uneven_start(method: str) -> None:
    rose = {"treated_before": 100, "untreated_before": 80, "untreated_after": 120}
    assert ask("efficacy", method=method, treated_after=25, **rose)["percent"] == pytest.approx(
        83.3333, abs=5e-5
    )
    fell = {"treated_before": 60, "untreated_before": 50, "untreated_after": 40}
    assert ask("efficacy", method=method, treated_after=12, **fell)["percent"] == pytest.approx(75)
    none = {**fell, "treated_before": 0}
    assert ask("efficacy", method=method, treated_after=12, **none)["percent"] is None
    missing = fault("efficacy", method=method, treated_after=12, untreated_after=40)
    assert missing.where == "treated_before"


def test_efficacy_of_repeated_counts_has_an_interval() -> None:
    counts = {"treated_after": [2, 5, 3, 4], "untreated_after": [20, 26, 18, 22]}
    found = ask("efficacy", method="abbott", **counts)
    assert found["low"] < found["percent"] < found["high"] <= 100
    before = {"treated_before": [20, 24, 18], "untreated_before": [20, 26, 18, 22]}
    wrong = fault("efficacy", method="henderson-tilton", paired=True, **counts, **before)
    assert wrong.where == "treated_after"
    dead = {"treated_after": [350], "untreated_after": [20]}
    assert fault("efficacy", method="schneider-orelli", **dead).where == "treated_after"


def test_sample_size() -> None:
    whitefly = {"precision": 0.25, "taylor": {"a": 2.912, "b": 1.2617}}
    found = [ask("sample-size", mean=m, **whitefly)["leaves"] for m in (0.5, 1, 5, 10)]
    assert found == pytest.approx([77.7, 46.6, 14.2, 8.5], abs=0.06)
    lines = ask("sample-size", mean=1, after_leaves=[10, 30, 100], **whitefly)
    assert lines["stop_totals"] == pytest.approx([80.4, 54.5, 35.5], abs=0.06)
    assert lines["stop_total"] == pytest.approx(46.6, abs=0.06)
    five = ask("sample-size", mean=5, **whitefly)
    assert five["stop_total"] == pytest.approx(5 * five["leaves"])
    common = ask("sample-size", mean=4, precision=0.25, k=2, after_leaves=[5, 20])
    assert common["leaves"] == pytest.approx(12)  # (4 + 16 / 2) / (4 * 0.25)^2
    assert common["stop_totals"] == [None, pytest.approx(1 / (0.0625 - 0.025))]
    assert fault("sample-size", mean=4, precision=0.25).where == "taylor"


@pytest.mark.parametrize(
    ("mean", "precision", "k", "whole"),
    [  # (m + m^2 / k) / (m D)^2 in whole hundredths, by hand
        (1, 0.25, 1 / 3, 64),  # (1 + 3) / 0.0625
        (4, 0.25, 2, 12),
        (2, 0.1, 2, 100),
        (4, 0.2, 2, 19),  # 18.75
        (5, 0.3, 1, 14),  # 13.33
    ],
)
def test_samples_are_whole_and_enough(mean: float, precision: float, k: float, whole: int) -> None:
    told = ask("sample-size", mean=mean, precision=precision, k=k)
    assert told["whole_leaves"] == whole and type(told["whole_leaves"]) is int
    assert whole - 1 < told["leaves"] <= whole  # never fewer than it takes
    for many in range(1, 400):  # n whole by construction: D = sqrt((1/m + 1/k) / n)
        exact = ask("sample-size", mean=mean, precision=((1 / mean + 1 / k) / many) ** 0.5, k=k)
        assert exact["leaves"] == exact["whole_leaves"] == many


def test_sequential_test() -> None:
    found = ask("sequential-test", low_mean=2, high_mean=4, k=4.6, alpha=0.1, beta=0.1)
    assert found["slope"] == pytest.approx(2.84181, abs=5e-6)
    assert found["upper_intercept"] == pytest.approx(5.12825, abs=6e-6)
    assert found["lower_intercept"] == pytest.approx(-5.12825, abs=6e-6)
    assert found["called_high_at_low_mean"] == pytest.approx(0.05, abs=0.03)
    assert found["mean_leaves_at_low_mean"] == pytest.approx(6.6, abs=0.4)
    plain = ask("sequential-test", low_mean=2, high_mean=4, k=None, alpha=0.1, beta=0.1)
    assert plain["slope"] == pytest.approx(2 / 0.693147, abs=1e-5)  # (m1 - m0) / ln(m1 / m0)
    same = {"low_mean": 4, "high_mean": 4, "alpha": 0.1, "beta": 0.1}
    assert fault("sequential-test", **same).where == "high_mean"
    sure = {"low_mean": 2, "high_mean": 4, "alpha": 0.5, "beta": 0.5}
    assert fault("sequential-test", **sure).where == "beta"


def test_presence_test() -> None:
    """Lines by Wald's formula by hand: ln(p1 (1 - p0) / (p0 (1 - p1))) = 1.349927."""
    asked = {"low_share": 0.1, "high_share": 0.3, "alpha": 0.1, "beta": 0.1}
    found = ask("presence-test", **asked)
    assert found["slope"] == pytest.approx(0.251314 / 1.349927, abs=1e-5)
    assert found["upper_intercept"] == pytest.approx(2.197225 / 1.349927, abs=1e-5)
    assert found["called_high_at_low_mean"] < 0.1 and found["called_low_at_high_mean"] < 0.1
    assert fault("presence-test", **{**asked, "high_share": 0.1}).where == "high_share"
    assert fault("presence-test", **{**asked, "alpha": 0.95}).where == "beta"


def test_leaves_to_find() -> None:
    """One leaf in twenty: 0.95^58 > 0.05 >= 0.95^59, and 0.95^10 is six in ten."""
    found = ask("leaves-to-find", infested=0.05, sureness=0.95)
    assert found == {"leaves": 59, "ten_show_none": pytest.approx(0.95**10)}
    assert fault("leaves-to-find", infested=1.5, sureness=0.9).where == "infested"


def test_negative_binomial() -> None:
    leaves = [70, 38, 17, 10, 9, 3, 2, 1]
    counts = [mites for mites, times in enumerate(leaves) for _ in range(times)]
    found = ask("negative-binomial", counts=counts)
    assert found["mean"] == pytest.approx(1.146667, abs=5e-7)
    assert found["variance"] == pytest.approx(2.273647, abs=5e-7)
    assert found["k"] == pytest.approx(1.024591, abs=5e-6)
    assert ask("negative-binomial", counts=[2, 2, 3, 2])["k"] is None
    assert fault("negative-binomial", counts=[2.5]).where == "counts[0]"


def test_the_fields_of_the_design_are_there() -> None:
    listed = json.loads(listing())
    fields = {
        "wet-hours": ("wet_hours", "low", "high", "periods"),
        "disease-severity-value": ("value",),
        "late-blight-days": ("days",),
        "infection": ("response", "wet_hours_needed"),
        "disease-progress": ("audpc", "relative_audpc", "audps"),
        "logistic-growth": ("severity", "area"),
        "efficacy": ("percent", "low", "high"),
        "sample-size": ("leaves", "stop_total"),
        "sequential-test": ("slope", "lower_intercept", "upper_intercept"),
        "negative-binomial": ("mean", "variance", "k"),
    }
    for kernel, wanted in fields.items():
        assert set(wanted) <= set(listed[kernel]["output"]["properties"])
