"""Reference water from the best there is, and plot facts as the soil takes them."""

from __future__ import annotations

import importlib.util
from datetime import UTC, date, datetime
from pathlib import Path

import numpy as np
import pytest

from lattermath.belief import soil_inputs
from lattermath.knowledge.tables import load_tables
from lattermath.science.reference_et import Measured, hargreaves
from lattermath.vocabulary.events import Event, Sighting, Watering
from lattermath.vocabulary.plot import Bed, Planting

DOY = np.arange(150, 250)
LOW, HIGH = np.full(100, 12.0), np.full(100, 21.0)


def test_temperature_alone_is_scaled_and_says_so():
    got = soil_inputs.reference_water(DOY, 50.8, 100, LOW, HIGH)
    np.testing.assert_allclose(got.et0_mm, 0.86 * hargreaves(DOY, 50.8, LOW, HIGH))
    assert "0.86" in got.says and "humid" in got.says
    inland = soil_inputs.reference_water(DOY, 40.4, 1029, LOW, HIGH + 8)
    assert inland.scale == 1.0
    drought = soil_inputs.reference_water(DOY, 40, 0, LOW, HIGH, rain_mm=np.full(100, 0.2))
    assert drought.scale == 1.0


def test_the_records_own_figure_wins_and_mends_the_rest():
    own = np.where(np.arange(100) < 80, 1.1 * hargreaves(DOY, 50.8, LOW, HIGH), np.nan)
    got = soil_inputs.reference_water(DOY, 50.8, 100, LOW, HIGH, et0_mm=own)
    np.testing.assert_array_equal(got.et0_mm[:80], own[:80])
    np.testing.assert_allclose(got.et0_mm[80:], 1.1 * hargreaves(DOY, 50.8, LOW, HIGH)[80:])
    whole = soil_inputs.reference_water(DOY, 50.8, 100, LOW, HIGH, et0_mm=np.full(100, 3.0))
    assert whole.says == "by the weather record"


def test_measured_radiation_beats_the_guess_on_its_own_days():
    sun = np.where(np.arange(100) < 10, 25.0, np.nan)
    got = soil_inputs.reference_water(DOY, 50.8, 100, LOW, HIGH, Measured(solar_mj_m2=sun))
    plain = soil_inputs.reference_water(DOY, 50.8, 100, LOW, HIGH)
    assert (got.et0_mm[:10] != plain.et0_mm[:10]).all()
    np.testing.assert_array_equal(got.et0_mm[10:], plain.et0_mm[10:])


@pytest.mark.parametrize(
    ("place", "latitude", "months"),
    [
        ("brussels", 50.8, (5, 6, 7, 8, 9)),
        ("champion", 40.4, (5, 6, 7, 8, 9)),
        ("cordoba", -31.4, (11, 12, 1, 2, 3)),
        ("tunis", 36.8, (5, 6, 7, 8, 9)),
    ],
)
def test_seasons_of_four_records_from_temperature_alone(place, latitude, months):
    # Records packaged with AquaCrop's open port, with their own ETo (read whole).
    spec = importlib.util.find_spec("aquacrop")
    if spec is None:
        pytest.skip("aquacrop is not installed")
    path = Path(spec.submodule_search_locations[0]) / "data" / f"{place}_climate.txt"
    table = np.loadtxt(path, skiprows=1)
    table = table[np.isin(table[:, 1], months)]
    doy = np.array([date(int(y), int(m), int(d)).timetuple().tm_yday for d, m, y in table[:, :3]])
    low = np.minimum(table[:, 3], table[:, 4])
    got = soil_inputs.reference_water(doy, latitude, None, low, table[:, 4], rain_mm=table[:, 5])
    assert got.et0_mm.sum() == pytest.approx(table[:, 6].sum(), rel=0.07)


def event(serial, payload, day=date(2024, 8, 5)):
    when = datetime(day.year, day.month, day.day, 18, 0, tzinfo=UTC)
    return Event(serial, f"e{serial}", "watering", 1, when, "Europe/London", when, payload)


def test_waterings_of_the_bed_are_shared_and_of_the_planting_are_not():
    basil = Planting("basil", "Basil", "basil", 6, bed="d")
    events = [
        event(3, Watering(10.0, bed="d")),
        event(4, Watering(5.0, planting="basil")),
        event(5, Watering(7.0, planting="beans")),
        event(6, Watering(7.0, bed="a")),
        event(7, Sighting("basil", "aphids", "count")),
    ]
    got = soil_inputs.poured_on(basil, 0.25, date(2024, 8, 1).toordinal(), events)
    assert [(p.column, p.litres, p.serial) for p in got] == [(4, 2.5, 3), (4, 5.0, 4)]


def test_tables_give_ground_and_use():
    known = load_tables()
    bed = Bed("d", "bed D", 0, 0, 4.0, 1.2, "loam", mulched=True)
    ground = soil_inputs.ground_of(bed, known.soils["loam"], 0.5)
    assert ground.area_m2 == pytest.approx(2.4) and ground.mulched
    assert (ground.field_capacity, ground.wilting_point) == (0.25, 0.12)
    crop = known.crops["cucumber_slicing"]
    use = soil_inputs.water_use_of(crop, Planting("c", "C", crop.id, 4), 12, 80, True)
    assert sum(use.stages_days) == pytest.approx(80)
    # Rows of FAO-56 for fresh cucumber: 0.6/1.00/0.75, roots 0.7 to 1.2 m, p 0.50.
    assert use.kc == (0.6, 1.0, 0.75)
    assert (use.root_m, use.depletion_fraction) == (0.7, 0.5)


def test_shares_of_a_bed_follow_plants_and_spacing():
    known = load_tables()
    squash = Planting("s", "S", "summer_squash", 2, bed="d")
    basil = Planting("b", "B", "basil", 6, bed="d")
    got = soil_inputs.shares_of_bed([squash, basil], known.crops)
    assert sum(got.values()) == pytest.approx(1) and got["s"] > got["b"]
