"""Forms of the kernels of sky and water demand."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Annotated, Any, Literal

import numpy as np
from pydantic import Field

from lattermath.desk.kernel_forms import (
    Answer,
    Asked,
    Celsius,
    Day,
    Form,
    Latitude,
    Longitude,
    NotNegative,
    Number,
    Percent,
    Positive,
    Series,
    Word,
    extreme,
    extremes,
    refuse,
    zone_named,
)
from lattermath.science import reference_et, sun
from lattermath.science.crop_coefficient import kc_on_day
from lattermath.science.degree_days import Cutoff, Method, degree_days

Altitude = Annotated[Number, Field(ge=-450, le=9000)]  # from the Dead Sea to the highest peak


class DegreeDaysAsked(Asked):
    """Daily extremes and thresholds, C."""

    t_min: Series
    t_max: Series
    lower: Number
    upper: Number | None = None
    method: Method = "single-sine"
    cutoff: Cutoff = "none"


class DegreeDays(Answer):
    """Degree-days of each day and their sum, C d."""

    degree_days: list[float]
    total: float


def _degree_days(asked: DegreeDaysAsked) -> DegreeDays:
    extremes(asked.t_min, asked.t_max)
    if asked.cutoff != "none" and asked.upper is None:
        raise refuse("a cutoff needs an upper threshold", "upper", None, "Give upper.")
    days = degree_days(
        asked.t_min, asked.t_max, asked.lower, asked.upper, asked.method, asked.cutoff
    )
    return DegreeDays(degree_days=days.tolist(), total=float(days.sum()))


class SunTimesAsked(Asked):
    """A place, degrees north and east, a local date and an IANA time zone."""

    latitude: Latitude
    longitude: Longitude
    date: Day
    time_zone: Word


class SunTimes(Answer):
    """Local times with their offset; null where the sun does not cross that angle that day."""

    sunrise: datetime | None
    sunset: datetime | None
    civil_dawn: datetime | None
    civil_dusk: datetime | None
    daylength_h: float


def _sun_times(asked: SunTimesAsked) -> SunTimes:
    zone = zone_named(asked.time_zone)
    days = asked.date.toordinal() - sun.J2000_ORDINAL
    edge = sun.sun_times(days, asked.latitude, asked.longitude)
    civil = sun.sun_times(days, asked.latitude, asked.longitude, sun.CIVIL_ZENITH)

    def local(hours: np.ndarray) -> datetime | None:
        if np.isnan(hours):
            return None
        midnight = datetime(asked.date.year, asked.date.month, asked.date.day, tzinfo=UTC)
        return (midnight + timedelta(seconds=round(float(hours) * 3600))).astimezone(zone)

    return SunTimes(
        sunrise=local(edge.rise),
        sunset=local(edge.set),
        civil_dawn=local(civil.rise),
        civil_dusk=local(civil.set),
        daylength_h=float(edge.hours_up),
    )


class ReferenceEtAsked(Asked):
    """One day. C, m, %, kPa, m/s, hours, MJ a square metre. Sea level where no altitude is given.

    What was not measured takes the next best source, as FAO-56 has it.
    """

    method: Literal["penman-monteith", "hargreaves"] = "penman-monteith"
    date: Day | None = None
    day_of_year: Annotated[int, Field(strict=True, ge=1, le=366)] | None = None
    latitude: Latitude
    altitude_m: Altitude | None = None
    t_min: Celsius
    t_max: Celsius
    t_mean: Celsius | None = None
    rh_min: Percent | None = None
    rh_max: Percent | None = None
    rh_mean: Percent | None = None
    t_dew: Celsius | None = None
    vapour_pressure_kpa: Annotated[NotNegative, Field(le=32)] | None = None
    wind_m_s: Annotated[NotNegative, Field(le=150)] | None = None
    wind_height_m: Annotated[Positive, Field(ge=0.25, le=200)] | None = None
    sunshine_h: NotNegative | None = None
    solar_mj_m2: NotNegative | None = None
    soil_heat_mj_m2: Number | None = None


class ReferenceEt(Answer):
    """Reference evapotranspiration and its terms; null for a term the method does not use."""

    et0_mm: float | None
    ra_mj_m2: float | None
    daylight_h: float | None
    rs_mj_m2: float | None = None
    rso_mj_m2: float | None = None
    rns_mj_m2: float | None = None
    rnl_mj_m2: float | None = None
    rn_mj_m2: float | None = None
    es_kpa: float | None = None
    ea_kpa: float | None = None
    slope_kpa_c: float | None = None
    gamma_kpa_c: float | None = None
    u2_m_s: float | None = None
    vapour_from: str | None = None
    radiation_from: str | None = None
    wind_from: str | None = None


_TERMS = [name for name in ReferenceEt.model_fields if not name.endswith("_from")]


def _reference_et(asked: ReferenceEtAsked) -> ReferenceEt:
    extreme(asked.t_min, asked.t_max)
    day = _day_of_year(asked)
    if asked.method == "hargreaves":
        et0 = reference_et.hargreaves(day, asked.latitude, asked.t_min, asked.t_max, asked.t_mean)
        return ReferenceEt(
            et0_mm=float(et0),
            ra_mj_m2=float(sun.extraterrestrial_radiation(day, asked.latitude)),
            daylight_h=float(sun.daylight_hours(day, asked.latitude)),
        )
    found = reference_et.penman_monteith(
        day, asked.latitude, asked.altitude_m or 0.0, asked.t_min, asked.t_max, _measured(asked)
    )
    return ReferenceEt(
        **{name: float(getattr(found, name)) for name in _TERMS},
        vapour_from=reference_et.VAPOUR_FROM[int(found.vapour_from)],
        radiation_from=reference_et.RADIATION_FROM[int(found.radiation_from)],
        wind_from=reference_et.WIND_FROM[int(found.wind_from)],
    )


def _measured(asked: ReferenceEtAsked) -> reference_et.Measured:
    return reference_et.Measured(
        t_mean=asked.t_mean,
        vapour_pressure_kpa=asked.vapour_pressure_kpa,
        t_dew=asked.t_dew,
        rh_max=asked.rh_max,
        rh_min=asked.rh_min,
        rh_mean=asked.rh_mean,
        wind_m_s=asked.wind_m_s,
        wind_height_m=2.0 if asked.wind_height_m is None else asked.wind_height_m,
        solar_mj_m2=asked.solar_mj_m2,
        sunshine_h=asked.sunshine_h,
        soil_heat_mj_m2=asked.soil_heat_mj_m2,
    )


def _day_of_year(asked: ReferenceEtAsked) -> int:
    dated = asked.date.timetuple().tm_yday if asked.date else None
    if dated is not None and asked.day_of_year not in (None, dated):
        raise refuse(
            "date and day of the year differ", "day_of_year", asked.day_of_year, "Give one."
        )
    day = dated if dated is not None else asked.day_of_year
    if day is None:
        raise refuse("a date or a day of the year is wanted", "date", None, "Give date.")
    return day


class CropCoefficientAsked(Asked):
    """Lengths of the four stages, days; coefficients of start, middle, end; day of the season."""

    stages_days: Annotated[list[NotNegative], Field(min_length=4, max_length=4)]
    kc: Annotated[list[NotNegative], Field(min_length=3, max_length=3)]
    day: NotNegative


class CropCoefficient(Answer):
    """The crop coefficient on that day."""

    kc: float


def _crop_coefficient(asked: CropCoefficientAsked) -> CropCoefficient:
    return CropCoefficient(kc=float(kc_on_day(asked.day, asked.stages_days, asked.kc)))


FORMS: dict[str, Form[Any]] = {
    "degree-days": Form(DegreeDaysAsked, DegreeDays, _degree_days, "Heat above a threshold."),
    "sun-times": Form(SunTimesAsked, SunTimes, _sun_times, "Rise, set and civil twilight."),
    "reference-et": Form(
        ReferenceEtAsked, ReferenceEt, _reference_et, "FAO-56 reference evapotranspiration."
    ),
    "crop-coefficient": Form(
        CropCoefficientAsked, CropCoefficient, _crop_coefficient, "FAO-56 crop coefficient."
    ),
}
