"""Sun times by the solar position algorithm of a solar energy library, run beside ours.

The library works on the UTC date of the label, up to two minutes wrong far from Greenwich
(checks-place part C, which says to use it with care): so only places near Greenwich are asked.
"""

from __future__ import annotations

import pandas as pd
import pytest
from pvlib import solarposition

from lattermath.science.sun import J2000_ORDINAL, sun_times


@pytest.mark.parametrize(
    ("lat", "lon"), [(51.4779, 0.0), (50.797, 4.359), (5.6, -0.2), (-6.0, 7.0)]
)
def test_rise_and_set_through_a_year(lat: float, lon: float) -> None:
    days = pd.date_range("2024-01-03", "2024-12-30", freq="19D", tz="UTC")
    theirs = solarposition.sun_rise_set_transit_spa(days, lat, lon)
    for day, row in zip(days, theirs.itertuples(), strict=True):
        ours = sun_times(day.date().toordinal() - J2000_ORDINAL, lat, lon)
        for hour, moment in ((ours.rise, row.sunrise), (ours.set, row.sunset)):
            told = (moment - day).total_seconds()
            assert float(hour) * 3600 == pytest.approx(told, abs=20)
