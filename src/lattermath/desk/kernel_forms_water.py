"""Forms of the kernels of the root zone and of the first frost."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Annotated, Any

import numpy as np
from pydantic import Field

from lattermath.desk.kernel_forms import (
    Answer,
    Asked,
    Day,
    Form,
    NotNegative,
    Positive,
    Share,
    WaterSeries,
    Word,
    refuse,
    same_length,
)
from lattermath.desk.kernel_forms_words import crop_row
from lattermath.science import frost_odds
from lattermath.science.crop_coefficient import kc_on_day
from lattermath.science.root_zone import root_zone, total_available_water, water_due


class WaterAsked(Asked):
    """Daily series, mm; soil water as shares of volume; roots, m.

    `kc` by day, or `crop` with the lengths of its four stages (the table's where left out), its
    first day being `first_day` of the crop's season.
    """

    et0_mm: WaterSeries
    rain_mm: WaterSeries
    irrigation_mm: WaterSeries | None = None
    kc: WaterSeries | None = None
    crop: Word | None = None
    stages: Annotated[list[NotNegative], Field(min_length=4, max_length=4)] | None = None
    first_day: NotNegative = 1
    field_capacity: Share
    wilting_point: Share
    root_m: Positive
    depletion_fraction: Share
    start_depletion_mm: NotNegative | None = None


class Water(Answer):
    """Water the root zone holds, stress and depletion by day, and litres due after the last day."""

    taw_mm: float
    raw_mm: float
    ks: list[float]
    depletion_mm: list[float]
    litres_per_m2_due: float


def _water(asked: WaterAsked) -> Water:
    days = len(asked.et0_mm)
    same_length("et0_mm", asked.et0_mm, "rain_mm", asked.rain_mm)
    if asked.irrigation_mm is not None:
        same_length("et0_mm", asked.et0_mm, "irrigation_mm", asked.irrigation_mm)
    if asked.wilting_point >= asked.field_capacity:
        raise refuse(
            "the wilting point is not below field capacity",
            "wilting_point",
            asked.wilting_point,
            f"field_capacity is {asked.field_capacity:g}.",
        )
    taw = float(total_available_water(asked.field_capacity, asked.wilting_point, asked.root_m))
    start = asked.start_depletion_mm or 0.0
    if start > taw:
        remedy = f"The root zone holds {taw:g} mm."
        raise refuse("more is gone than there was", "start_depletion_mm", start, remedy)
    run = root_zone(
        asked.et0_mm,
        asked.rain_mm,
        _kc(asked, days),
        taw,
        asked.depletion_fraction,
        start,
        asked.irrigation_mm or 0.0,
    )
    raw = asked.depletion_fraction * taw
    return Water(
        taw_mm=taw,
        raw_mm=raw,
        ks=run.ks.tolist(),
        depletion_mm=run.depletion_mm.tolist(),
        litres_per_m2_due=float(water_due(run.depletion_mm[-1], raw)),
    )


def _kc(asked: WaterAsked, days: int) -> Sequence[float]:
    if (asked.kc is None) == (asked.crop is None):
        raise refuse("kc, or a crop and its stages, is wanted", "kc", asked.kc, "Give one of them.")
    if asked.kc is not None:
        same_length("et0_mm", asked.et0_mm, "kc", asked.kc)
        return asked.kc
    assert asked.crop is not None
    row = crop_row(asked.crop)
    stages = asked.stages or [figure.value for figure in row.stage_days]
    kc = (row.kc_ini.value, row.kc_mid.value, row.kc_end.value)
    curve: list[float] = kc_on_day(asked.first_day + np.arange(days), stages, kc).tolist()
    return curve


class FrostChanceAsked(Asked):
    """First frosts of the autumn, a date by year; null for a year that was watched and had none."""

    first_frost: Annotated[list[Day | None], Field(min_length=1)]
    on: list[Day] | None = None


class FrostChance(Answer):
    """The normal date of first frost, and dates by which it has come in 1, 5 and 9 of 10 years.

    Dates are given in the last year of the record; null where so many years have none. `chance`
    is that of a first frost on or before each date of `on`.
    """

    mean_day_of_year: float | None
    sd_days: float | None
    date_10: date | None
    date_50: date | None
    date_90: date | None
    chance: list[float | None]


def _frost_chance(asked: FrostChanceAsked) -> FrostChance:
    frosts = [day for day in asked.first_frost if day is not None]
    southern = bool(frosts) and sum(day.month for day in frosts) / len(frosts) < 7
    first = [
        frost_odds.season_day(day.month, day.day, southern) if day else np.inf
        for day in asked.first_frost
    ]
    fit = frost_odds.fit_frosts(first)
    year = max((day.year for day in frosts), default=2001)
    on = [frost_odds.season_day(day.month, day.day, southern) for day in asked.on or []]
    return FrostChance(
        mean_day_of_year=fit.mean_day + frost_odds.SEASON_START[southern] + 1,
        sd_days=fit.sd_days,
        date_10=_date(fit, 0.1, year, southern),
        date_50=_date(fit, 0.5, year, southern),
        date_90=_date(fit, 0.9, year, southern),
        chance=frost_odds.frost_chance(fit, on).tolist(),
    )


def _date(fit: frost_odds.FrostFit, chance: float, year: int, southern: bool) -> date | None:
    day = float(frost_odds.frost_day(fit, chance))
    if not np.isfinite(day):
        return None
    month, of_month = frost_odds.month_and_day(round(day), southern)
    opens = 2 if southern else 8  # the month in which the frost season of a year is opened
    return date(year if month >= opens else year + 1, month, of_month)


FORMS: dict[str, Form[Any]] = {
    "water": Form(WaterAsked, Water, _water, "FAO-56 root zone, day by day."),
    "frost-chance": Form(
        FrostChanceAsked, FrostChance, _frost_chance, "Odds of the first autumn frost."
    ),
}
