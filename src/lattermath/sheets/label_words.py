"""What the lines of a label are called where the shelf lists them."""

from __future__ import annotations

LABEL_LINES = {
    "pre_harvest_days": "days before picking",
    "retreat_days": "days between treatments",
    "season_max": "most treatments",
    "rate_ml_per_l": "ml or g in each litre",
    "max_l_per_m2": "most litres on a square metre",
    "plant_back_days": "days before another crop",
    "re_entry_hours": "hours to stay out",
    "max_temperature_c": "not above, in °C",
    "rain_free_hours": "hours without rain",
    "max_wind_m_s": "most wind, in m/s",
    "bloom": "in flower",
    "sulfur_oil_gap_days": "days between sulfur and oil",
    "consecutive_max": "most in a row before another mode of action",
}
