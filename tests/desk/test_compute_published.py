"""Each kernel answers a published or independently computed value through the same door as a user.

Sources stand beside each check: the check lists of the trade folder (place A1 to A6, crops A1, A2
and A5, pests O1 to O3, O15) and data packaged with published libraries.
"""

from __future__ import annotations

import csv
import json
import math
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from lattermath.desk.compute import answer

DATA = Path(__file__).parents[1] / "published" / "data"


def ask(kernel: str, **request: Any) -> Any:
    return json.loads(answer(kernel, json.dumps(request)))


def near(printed: float, digits: int) -> Any:
    """Within half of the last printed digit."""
    return pytest.approx(printed, abs=0.5 * 10**-digits * 1.001)


@pytest.mark.parametrize(
    ("method", "column", "total"),
    [  # State extension service's own output, Ojai 2016 (check A2): accumulated to 30 June.
        ("single-sine", "single_sine", 905.54),
        ("single-triangle", "single_triangle", 856.65),
        ("double-sine", "double_sine", 906.74),
        ("double-triangle", "double_triangle", 858.23),
    ],
)
def test_degree_days_of_an_extension_service(method: str, column: str, total: float) -> None:
    with (DATA / "ojai_2016_degree_days.csv").open(encoding="utf-8") as file:
        rows = list(csv.DictReader(line for line in file if not line.startswith("#")))
    found = ask(
        "degree-days",
        t_min=[float(row["tmin"]) for row in rows],
        t_max=[float(row["tmax"]) for row in rows],
        lower=12,
        upper=33,
        method=method,
        cutoff="horizontal",
    )
    printed = [float(row[column]) for row in rows]
    whole = len(printed) - (1 if method.startswith("double") else 0)  # its last day needs a next
    assert found["degree_days"][:whole] == pytest.approx(printed[:whole], abs=0.006)
    assert found["total"] == pytest.approx(total, abs=0.5 if whole < len(printed) else 0.05)


def test_degree_days_by_numerical_integration() -> None:
    # Check O15: single sine, integrated numerically there.
    for low, high, lower, upper, printed in (
        (5, 25, 10, None, 6.090),
        (12, 28, 8.3, None, 11.700),
        (4, 14, 8.3, None, 1.957),
        (8, 34, 10.2, 33, 10.990),
    ):
        cut = {"upper": upper, "cutoff": "horizontal"} if upper else {}
        found = ask("degree-days", t_min=[low], t_max=[high], lower=lower, **cut)
        assert found["total"] == near(printed, 3)


@pytest.mark.parametrize(
    ("place", "day", "rise", "down", "dusk"),
    [  # Check A3: full ephemeris, UTC; 60 s allowed.
        ((51.4779, 0.0), "2024-03-20", "06:01:47", "18:13:49", "18:47:10"),
        ((51.4779, 0.0), "2024-06-20", "03:42:41", "20:20:44", "21:08:28"),
        ((50.7970, 4.3590), "2024-10-15", "06:06:10", "16:49:26", "17:22:35"),
    ],
)
def test_sun_times_of_an_ephemeris(
    place: tuple[float, float], day: str, rise: str, down: str, dusk: str
) -> None:
    found = ask("sun-times", latitude=place[0], longitude=place[1], date=day, time_zone="UTC")
    for name, printed in (("sunrise", rise), ("sunset", down), ("civil_dusk", dusk)):
        off = datetime.fromisoformat(found[name]) - datetime.fromisoformat(f"{day}T{printed}+00:00")
        assert abs(off.total_seconds()) <= 60


def test_sun_times_are_local_and_null_on_a_polar_day() -> None:
    chicago = ask(
        "sun-times", latitude=41.9, longitude=-87.6, date="2016-07-29", time_zone="America/Chicago"
    )
    assert chicago["sunset"].startswith("2016-07-29T20:") and chicago["sunset"].endswith("-05:00")
    polar = ask(
        "sun-times", latitude=70.0, longitude=20.0, date="2024-06-20", time_zone="Europe/Oslo"
    )
    assert polar["sunrise"] is None and polar["daylength_h"] == 24


def test_reference_et_example_18() -> None:
    # FAO-56 example 18 (check A1), Uccle, 6 July; printed digits.
    found = ask(
        "reference-et",
        date="2023-07-06",
        latitude=50.8,
        altitude_m=100,
        t_min=12.3,
        t_max=21.5,
        rh_max=84,
        rh_min=63,
        wind_m_s=10 / 3.6,
        wind_height_m=10,
        sunshine_h=9.25,
    )
    printed = {
        "et0_mm": (3.88, 2),
        "u2_m_s": (2.078, 3),
        "slope_kpa_c": (0.122, 3),
        "gamma_kpa_c": (0.0666, 4),
        "es_kpa": (1.997, 3),
        "ea_kpa": (1.409, 3),
        "ra_mj_m2": (41.09, 2),
        "daylight_h": (16.1, 1),
        "rs_mj_m2": (22.07, 2),
        "rso_mj_m2": (30.90, 2),
        "rns_mj_m2": (17.0, 1),
        "rnl_mj_m2": (3.71, 2),
        "rn_mj_m2": (13.28, 2),
    }
    for term, (value, digits) in printed.items():
        assert found[term] == near(value, digits), term


def test_reference_et_example_20_and_the_day_of_the_year() -> None:
    # FAO-56 example 20b (check A1): Hargreaves, 45 43 N, mid July, 5.03 recomputed there.
    place = {"latitude": 45 + 43 / 60, "t_min": 14.8, "t_max": 26.6, "method": "hargreaves"}
    by_day = ask("reference-et", day_of_year=196, **place)
    assert by_day["et0_mm"] == near(5.03, 2)
    assert ask("reference-et", date="2023-07-15", **place) == by_day
    assert by_day["rn_mj_m2"] is None


def test_crop_coefficient_between_its_stages() -> None:
    # FAO-56 eq. 66 by hand: Kc = 0.15 + (day - 25) / 25 * (1.19 - 0.15) in the development stage.
    curve = {"stages_days": [25, 25, 30, 20], "kc": [0.15, 1.19, 0.35]}
    assert ask("crop-coefficient", day=20, **curve)["kc"] == near(0.15, 6)
    assert ask("crop-coefficient", day=40, **curve)["kc"] == near(0.774, 6)
    assert ask("crop-coefficient", day=70, **curve)["kc"] == near(1.19, 6)
    assert ask("crop-coefficient", day=95, **curve)["kc"] == near(0.56, 6)


TOMATO = {
    "field_capacity": 0.32,
    "wilting_point": 0.12,
    "root_m": 0.8,
    "depletion_fraction": 0.4,
    "start_depletion_mm": 55,
}


def test_water_example_37() -> None:
    # FAO-56 example 37 (check A1): tomato on silt, five days without rain; printed digits.
    found = ask("water", et0_mm=[5] * 5, rain_mm=[0] * 5, kc=[1.2] * 5, **TOMATO)
    assert (found["taw_mm"], found["raw_mm"]) == (near(160, 0), near(64, 0))
    assert found["ks"] == [near(v, 2) for v in (1.00, 1.00, 0.97, 0.91, 0.85)]
    assert found["depletion_mm"] == [near(v, 1) for v in (61.0, 67.0, 72.8, 78.3, 83.4)]
    assert found["litres_per_m2_due"] == near(83.4, 1)


def test_water_by_the_crop_of_the_table_equals_its_own_coefficients() -> None:
    days = {"et0_mm": [5] * 4, "rain_mm": [0, 3, 0, 0], "irrigation_mm": [0, 0, 8, 0]}
    by_crop = ask("water", crop="tomato_determinate", stages=[2, 1, 1, 1], **days, **TOMATO)
    middle = ask("water", kc=[1.15] * 4, **days, **TOMATO)
    # FAO-56 table 12 has 0.6, 1.15 and 0.70 to 0.90 for tomato: the third day stands at the middle.
    assert by_crop["depletion_mm"][0] < middle["depletion_mm"][0]
    assert by_crop["taw_mm"] == middle["taw_mm"]


BRUSSELS = (
    "1976:325, 1977:331, 1978:314, 1979:317, 1980:305, 1981:312, 1982:335, 1983:303, 1984:362, "
    "1985:305, 1986:333, 1987:333, 1988:304, 1989:327, 1990:313, 1991:325, 1992:287, 1993:320, "
    "1994:336, 1995:308, 1996:318, 1997:301, 1998:320, 1999:317, 2000:350, 2001:313, 2002:340, "
    "2003:296, 2004:316, 2005:323"
)


def test_frost_chance_of_thirty_years() -> None:
    # Check A6: first frosts of a packaged Brussels record; normal fit computed there.
    first = []
    for pair in BRUSSELS.split(", "):
        year, day = map(int, pair.split(":"))
        common = date(2001, 1, 1) + timedelta(days=day - 1)
        first.append(f"{year}-{common:%m-%d}")
    found = ask("frost-chance", first_frost=first, on=["2006-11-01", "2006-11-15"])
    assert found["mean_day_of_year"] == near(319.63, 2)
    assert found["sd_days"] == near(16.09, 2)
    days = [date.fromisoformat(found[f"date_{p}"]).timetuple().tm_yday for p in (10, 50, 90)]
    assert days == [299, 320, 340]
    assert found["chance"][0] == near(0.182, 3)


def test_frost_that_never_comes_is_null_and_the_south_is_half_a_year_away() -> None:
    none = ask("frost-chance", first_frost=[None, None], on=["2020-11-01"])
    assert (none["mean_day_of_year"], none["date_50"], none["chance"]) == (None, None, [0.0])
    south = ask("frost-chance", first_frost=["2019-05-10", "2020-05-20"], on=["2021-05-15"])
    assert south["date_50"] == "2020-05-15"
    assert south["chance"][0] == near(0.5, 6)


@pytest.mark.parametrize(
    ("crop", "soil", "days", "stand"),
    [  # Harrington & Minges 1954 (crops A1): days exact at the nodes, stand within 5 points.
        ("cucumber_slicing", 20, 6, 99),
        ("tomato_determinate", 15, 14, 98),
        ("lettuce_leaf", 30, 3, 12),
        ("bean_bush", 10, None, 0),
    ],
)
def test_emergence_at_the_nodes(crop: str, soil: float, days: float | None, stand: float) -> None:
    found = ask("emergence", crop=crop, soil_temperature_c=soil)
    assert found["days"] == (days if days is None else pytest.approx(days))
    assert found["stand_percent"] == pytest.approx(stand, abs=5)


def test_root_fill_of_midsummer_cucumbers() -> None:
    # Trade fact P1: ready from day 12 to 14 until day 16 to 18 at 25 C; held to day 21, late.
    cups = {"crop": "cucumber_slicing", "cup_ml": 200, "temperature_c": 25}
    fresh, held = ask("root-fill", age_days=14, **cups), ask("root-fill", age_days=21, **cups)
    assert 12 <= fresh["ready_from_day"] <= 14 and 16 <= fresh["ready_to_day"] <= 18
    assert fresh["delay_days"] == 0 < held["delay_days"]
    assert held["coiled"] and not fresh["coiled"]
    assert ask("root-fill", age_days=14, **{**cups, "temperature_c": 5})["ready_from_day"] is None


@pytest.mark.parametrize(
    ("crop", "maturity", "last", "margin"),
    [  # Transplanting guide with first frost 1 October (crops A2): to the day.
        ("cucumber_slicing", 55, "2025-07-03", 35),
        ("summer_squash", 42, "2025-07-16", 35),
        ("pepper_sweet", 75, "2025-06-13", 35),
        ("winter_squash", 75, "2025-06-13", 35),
        ("broccoli", 90, "2025-06-23", 10),
        ("kale", 45, "2025-08-07", 10),
        ("lettuce_leaf", 30, "2025-08-22", 10),
    ],
)
def test_last_planting_of_a_guide(crop: str, maturity: float, last: str, margin: float) -> None:
    found = ask(
        "last-planting",
        crop=crop,
        establish="set-out",
        first_frost="2025-10-01",
        days_to_maturity=maturity,
    )
    assert found == {"date": last, "margin_days": margin}


def test_first_pick_of_cucumbers_set_out_on_the_first_of_august() -> None:
    # Trade facts P2 and P3: full size 13 to 17 August, first pick 26 August to 7 September.
    found = ask(
        "first-pick",
        crop="cucumber_slicing",
        set_out="2025-08-01",
        age_at_set_out_days=14,
        t_min=[18] * 90,
        t_max=[30] * 90,
    )
    assert "2025-08-13" <= found["full_size"] <= "2025-08-17"
    assert "2025-08-26" <= found["date"] <= "2025-09-07"
    assert found["low"] <= found["date"] <= found["high"]
    short = ask("first-pick", crop="cucumber_slicing", set_out="2025-08-01", t_min=[18], t_max=[30])
    assert short == {"date": None, "low": None, "high": None, "full_size": None}


def test_fruit_set_of_snap_bean_by_day_and_night() -> None:
    # Konsens, Ofir & Kigel 1991 (crops A12.1, abstract read): nights raised from 17 to 27 C cut
    # pods strongly, days raised from 22 to 32 C much less.
    mild, hot_night, hot_day, both = ask(
        "fruit-set", crop="bean_bush", t_min=[17, 27, 17, 27], t_max=[27, 27, 32, 32]
    )["set"]
    assert hot_night < 0.5 * mild
    assert abs(hot_day - mild) < abs(hot_day - both)


@pytest.mark.parametrize(("degrees", "days"), [(18, 39.2), (20, 32.5), (22, 27.8), (25, 22.8)])
def test_development_of_greenhouse_whitefly(degrees: float, days: float) -> None:
    # Osborne 1982 (pests O2): 380.7 degree-days above 8.3 C; 2 %.
    found = ask(
        "development", organism="greenhouse_whitefly", stage="egg-to-adult", temperature_c=degrees
    )
    assert found["days"] == pytest.approx(days, rel=0.02)
    assert found["rate_per_day"] == pytest.approx(1 / found["days"])
    assert found["low"] < found["days"] < found["high"]


def test_development_is_null_in_the_cold_and_a_range_equals_its_mean_where_straight() -> None:
    cold = ask("development", organism="greenhouse_whitefly", stage="egg", temperature_c=5)
    assert (cold["days"], cold["rate_per_day"]) == (None, 0)
    steady = ask("development", organism="greenhouse_whitefly", stage="egg", temperature_c=20)
    swing = ask("development", organism="greenhouse_whitefly", stage="egg", t_min=16, t_max=24)
    assert swing["days"] == pytest.approx(steady["days"], rel=1e-6)


def test_cohort_becomes_adult_when_the_degree_days_are_gathered() -> None:
    # Osborne 1982 again: at 25 C 380.7 / (25 - 8.3) = 22.8 days to the middle of the cohort.
    found = ask(
        "cohort",
        organism="greenhouse_whitefly",
        temperature_c=25,
        days=40,
        start={"egg": 100},
        mortality=False,
        reproduction=False,
    )
    assert found["adult_day_50"] == pytest.approx(380.7 / 16.7, rel=0.03)
    assert found["adult_day_10"] < found["adult_day_50"] < found["adult_day_90"]
    assert found["total"] == pytest.approx([100.0] * 41, rel=1e-4)
    assert len(found["stages"]["egg"]) == 41


def test_a_treatment_kills_its_share_once() -> None:
    steady = {
        "organism": "greenhouse_whitefly",
        "temperature_c": 25,
        "days": 3,
        "start": {"egg": 100},
        "mortality": False,
        "reproduction": False,
    }
    found = ask("cohort", treatments=[{"day": 1, "kill": {"egg": 0.75}}], **steady)
    assert found["total"] == pytest.approx([100, 100, 25, 25], rel=1e-4)


@pytest.mark.parametrize(
    ("host", "r_m"),
    [("eggplant", 0.168), ("cucumber", 0.153), ("tomato", 0.110)],
)
def test_growth_rate_of_silverleaf_whitefly(host: str, r_m: float) -> None:
    # Kakimoto 2007 (pests O3), all eggs mothers as there; 0.02 a day.
    found = ask(
        "growth-rate",
        organism="sweetpotato_whitefly",
        host=host,
        temperature_c=25,
        female_fraction=1,
    )
    assert found["r_m"] == pytest.approx(r_m, abs=0.02)
    # Identities: r = ln R0 / T and the doubling time ln 2 / r.
    assert found["r_m"] == pytest.approx(math.log(found["r0"]) / found["generation_days"])
    assert found["doubling_days"] == pytest.approx(math.log(2) / found["r_m"])


def test_growth_outdoors_is_slower_and_a_shrinking_one_never_doubles() -> None:
    warm = {"organism": "sweetpotato_whitefly", "host": "tomato", "temperature_c": 25}
    assert ask("growth-rate", field=True, **warm)["r_m"] < ask("growth-rate", **warm)["r_m"]
    cold = ask("growth-rate", organism="sweetpotato_whitefly", temperature_c=5)
    assert (cold["r_m"], cold["doubling_days"]) == (None, None)


def test_residue_halves_and_washes() -> None:
    # First-order decay in closed form; a wet day takes 60 % off what is left.
    dry = ask("residue", half_life_days=3, days=6)["fraction"]
    assert dry == pytest.approx([0.5 ** (day / 3) for day in range(7)])
    wet = ask("residue", half_life_days=3, days=2, rain_mm=[10, 0], wash_off_fraction=0.6)
    assert wet["fraction"][1] == pytest.approx(0.4 * 0.5 ** (1 / 3))


def test_clearance_is_the_later_of_two_clocks() -> None:
    # By the calendar: 4 days after Sun 3 Aug 20:00 is Thu 7 Aug 20:00.
    treated = {"at": "2025-08-03T20:00", "pre_harvest_days": 4, "re_entry_hours": 4}
    found = ask("clearance", treatments=[treated], now="2025-08-05T18:55")
    assert found["safe_from"] == "2025-08-07T20:00:00"
    assert len(found["barred_by"]) == 1
    # Clocks go back on 26 Oct 2025 in Berlin: the same hour on the wall comes an hour later.
    autumn = {"at": "2025-10-24T20:00+02:00", "pre_harvest_days": 3, "re_entry_hours": 4}
    back = ask(
        "clearance",
        treatments=[autumn],
        now="2025-10-25T12:00+02:00",
        time_zone="Europe/Berlin",
    )
    assert back["safe_from"] == "2025-10-27T20:00:00+01:00"
    # And forward on 30 Mar 2025: 24 hours a day end an hour after that time on the wall.
    spring = {"at": "2025-03-28T20:00+01:00", "pre_harvest_days": 3, "re_entry_hours": 4}
    on = ask(
        "clearance", treatments=[spring], now="2025-03-29T12:00+01:00", time_zone="Europe/Berlin"
    )
    assert on["safe_from"] == "2025-03-31T21:00:00+02:00"


def test_clearance_that_is_not_known_is_null() -> None:
    unknown = ask("clearance", treatments=[{"at": "2025-08-03T20:00"}], now="2025-09-05T18:55")
    assert unknown["safe_from"] is None and unknown["barred_by"]
    clear = ask("clearance", treatments=[], now="2025-09-05T18:55")
    assert clear == {"safe_from": "2025-09-05T18:55:00", "barred_by": []}


def test_reference_et_of_a_station_file() -> None:
    # Check A5: Munich airport 2013, rows printed in a packaged station file; 0.04 mm a day.
    for day, low, high, ea_hpa, rs_kj, wind, printed in (
        ("2013-05-15", 6.6, 24.2, 11.1, 20944, 2.2, 3.99),
        ("2013-06-18", 14.8, 32.7, 19.8, 27031, 2.2, 5.83),
        ("2013-09-25", 4.4, 22.0, 13.3, 14888, 1.8, 2.03),
    ):
        found = ask(
            "reference-et",
            date=day,
            latitude=48.35,
            altitude_m=444,
            t_min=low,
            t_max=high,
            vapour_pressure_kpa=ea_hpa / 10,
            solar_mj_m2=rs_kj / 1000,
            wind_m_s=wind,
            wind_height_m=10,
        )
        assert found["et0_mm"] == pytest.approx(printed, abs=0.04)
