"""What a potato plant gives in Scotland, by national statistics.

Sources (read): Economic Report on Scottish Agriculture 2016, table A4: 1,160.3 thousand tonnes of
potatoes in 2013, 1,031.1 in 2015 (provisional); Scottish Agricultural Census June 2023: 29,100
hectares in 2013; a farming paper on the census of 2015: 26,000 hectares. That is 39.8 tonnes a
hectare, or 0.97 kg a plant at the spacing of the table. Months of Leuchars recalled.
"""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest
from tests.published.cool_summers import LEUCHARS, from_day

from lattermath.belief.crop_growth import (
    GrowingSeason,
    SeasonWeather,
    bearing_kg,
    begun_on,
    draw_unknowns,
    picking_age,
)
from lattermath.knowledge.tables import load_tables
from lattermath.science.sun import daylight_hours, extraterrestrial_radiation

N_DRAWS = 2000


def test_a_plant_lifted_in_a_usual_scottish_year() -> None:
    tonnes_a_hectare = np.mean([1160.3 / 29.1, 1031.1 / 26.0])
    planted = date(2025, 4, 20)
    lows, highs = from_day(LEUCHARS, planted, 200)
    days = planted.timetuple().tm_yday + np.arange(len(lows))
    weather = SeasonWeather(
        first=planted,
        today=0,
        t_min=lows[None, :],
        t_max=highs[None, :],
        daylength_h=daylight_hours(days, 56.4),
        radiation_mj=0.5 * extraterrestrial_radiation(days, 56.4),
        future_of=np.zeros(N_DRAWS, dtype=np.intp),
    )
    season = GrowingSeason(load_tables(), weather)
    traits, climate = season.traits("potato"), season.climate("potato")
    unknowns = draw_unknowns(traits, N_DRAWS, np.random.default_rng(4))
    age = picking_age(traits, climate, unknowns, begun_on("sown", 0, N_DRAWS))
    plant_kg = bearing_kg(climate, unknowns, age, 1.0).sum(axis=1)
    published = tonnes_a_hectare / 10 * traits.spacing_m[0] * traits.spacing_m[1]
    assert published == pytest.approx(0.97, abs=0.01)
    assert np.mean(plant_kg) == pytest.approx(published, rel=0.25)
