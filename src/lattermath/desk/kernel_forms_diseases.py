"""Forms of the kernels of wet leaves, infection and the course of disease."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Annotated, Any, Literal

import numpy as np
from pydantic import Field

from lattermath.desk.kernel_forms import (
    Answer,
    Asked,
    Celsius,
    Form,
    NotNegative,
    Number,
    Percent,
    Series,
    Share,
    Word,
    refuse,
    same_length,
    unknown_word,
)
from lattermath.science.development import thermal_response
from lattermath.science.disease_progress import progress_area
from lattermath.science.disease_severity_values import tom_cast, wallin
from lattermath.science.infection import infection, wet_hours_in_trials, wet_hours_needed
from lattermath.science.late_blight_days import hutton_days, smith_days
from lattermath.science.leaf_wetness import (
    WET_FROM_PERCENT,
    leaf_wetness,
    wet_hour_bounds,
    wet_periods,
)
from lattermath.science.logistic_growth import severity_area, severity_on

if TYPE_CHECKING:
    from lattermath.knowledge.diseases import Disease

MOST_HOURS = 24 * 366  # a year by the hour
DayHours = Annotated[Number, Field(ge=0, le=24)]


class WetHoursAsked(Asked):
    """Hours in a row: humidity, and rain and overhead watering where known; null is unknown.

    Without `rain_mm`, or without `watered_mm`, leaves are judged without it.
    """

    rh_percent: Annotated[list[Percent | None], Field(min_length=1, max_length=MOST_HOURS)]
    rain_mm: list[NotNegative | None] | None = None
    watered_mm: list[NotNegative | None] | None = None
    threshold: Percent = WET_FROM_PERCENT


class Period(Answer):
    """An unbroken run of wet hours.

    `start` counts hours from the first given, 0; `most_hours` is the length if unknown hours next
    to it were wet too; `from_before` and `goes_on` say that it touches the first or last hour.
    """

    start: int
    hours: int
    most_hours: int
    from_before: bool
    goes_on: bool


class WetHours(Answer):
    """Wet hours; null where unknown hours leave it open, then between `low` and `high`."""

    wet_hours: int | None
    low: int
    high: int
    periods: list[Period]


def _wet_hours(asked: WetHoursAsked) -> WetHours:
    for field in ("rain_mm", "watered_mm"):
        if (given := getattr(asked, field)) is not None:
            same_length("rh_percent", asked.rh_percent, field, given)
    rain, watered = (None if w is None else _known(w) for w in (asked.rain_mm, asked.watered_mm))
    wet = leaf_wetness(_known(asked.rh_percent), rain, watered, asked.threshold)
    low, high = wet_hour_bounds(wet)
    periods = [
        Period(
            start=one.begin_h,
            hours=one.hours,
            most_hours=one.most_h,
            from_before=one.from_before,
            goes_on=one.goes_on,
        )
        for one in wet_periods(wet)
    ]
    return WetHours(wet_hours=low if low == high else None, low=low, high=high, periods=periods)


def _known(series: Sequence[float | None]) -> np.ndarray[Any, np.dtype[np.float64]]:
    """A series with NaN where it is unknown."""
    return np.array([np.nan if v is None else v for v in series], dtype=np.float64)


class SeverityAsked(Asked):
    """Mean temperature while wet (null only without a wet hour), and the wet hours.

    tom-cast: wet hours of one day; wallin: length of one unbroken humid period.
    """

    method: Literal["tom-cast", "wallin"]
    mean_c: Celsius | None
    wet_hours: NotNegative


class SeverityValue(Answer):
    """Severity value, 0 to 4."""

    value: int


def _severity(asked: SeverityAsked) -> SeverityValue:
    if asked.mean_c is None and asked.wet_hours > 0:
        raise refuse(
            "the temperature of wet hours is wanted", "mean_c", None, "Give their mean in C."
        )
    if asked.method == "tom-cast" and asked.wet_hours > 24:
        raise refuse("a day has no more than 24 hours", "wet_hours", asked.wet_hours, "Give 0..24.")
    score = tom_cast if asked.method == "tom-cast" else wallin
    mean = np.nan if asked.mean_c is None else asked.mean_c
    return SeverityValue(value=int(score(mean, asked.wet_hours)))


class BlightDaysAsked(Asked):
    """Days in a row: minimum, and hours at 90 % humidity and above; null is unknown.

    `ten_then_eleven` takes a variant of the Smith period that asks 10 hours of its first day.
    """

    method: Literal["smith", "hutton"]
    t_min: Annotated[list[Celsius | None], Field(min_length=1)]
    humid_hours: Annotated[list[DayHours | None], Field(min_length=1)]
    ten_then_eleven: Annotated[bool, Field(strict=True)] = False


class BlightDays(Answer):
    """What ends on each day. The day before the first given counts as not humid."""

    days: list[Literal["full", "half", "near-miss", "met", "none", "unknown"]]


def _blight_days(asked: BlightDaysAsked) -> BlightDays:
    same_length("t_min", asked.t_min, "humid_hours", asked.humid_hours)
    cold, humid = _known(asked.t_min), _known(asked.humid_hours)
    if asked.method == "smith":
        return BlightDays(days=list(smith_days(cold, humid, None, asked.ten_then_eleven)))
    return BlightDays(days=list(hutton_days(cold, humid)))


class InfectionAsked(Asked):
    """A disease of the tables, the mean temperature, and the hours of one wet period if known."""

    disease: Word
    temperature_c: Celsius
    wet_hours: NotNegative | None = None


class Infection(Answer):
    """Response of infection, 1 in the best conditions; without wet_hours, of temperature alone.

    `wet_hours_needed` is 0 where no free water is needed and null where there is no infection.
    `wet_hours_in_trials` is what published trials needed, where the table has them: the model's
    curve is kinder to the fungus there.
    """

    response: float
    wet_hours_needed: float | None
    wet_hours_in_trials: float | None


def _infection(asked: InfectionAsked) -> Infection:
    disease, heat = _disease(asked.disease), asked.temperature_c
    if disease.infection:
        five = tuple(disease.infection[f].value for f in ("Tmin", "Topt", "Tmax", "Wmin", "Wmax"))
        response = (
            thermal_response(heat, *five[:3])
            if asked.wet_hours is None
            else infection(heat, asked.wet_hours, *five)
        )
        needed = float(wet_hours_needed(heat, *five))
    else:
        response = thermal_response(heat, *_cardinal_temperatures(disease))
        needed = 0.0 if response > 0 else np.inf
    return Infection(
        response=float(response),
        wet_hours_needed=needed,
        wet_hours_in_trials=_in_trials(disease, heat),
    )


def _disease(word: str) -> Disease:
    from lattermath.knowledge.tables import load_tables

    tables = load_tables()
    found = word if word in tables.diseases else tables.crosswalk.disease(word)
    if found is None or found not in tables.diseases:
        raise unknown_word("no such disease", "disease", word, tables.diseases)
    return tables.diseases[found]


def _cardinal_temperatures(disease: Disease) -> tuple[float, float, float]:
    """Limits and best temperature of a disease that needs no free water.

    The upper limit lies midway between the limit and the stop of the table, as on the sheet.
    """
    limits, stop = disease.temp_limits_c, disease.temp_stop_c
    best = disease.row.find("t_opt_infection_c") or disease.temp_opt_c
    if disease.free_water_needed is not False or limits is None or stop is None or best is None:
        remedy = "Its row has no figures of infection by temperature and wetness."
        raise refuse("the table cannot say when it infects", "disease", disease.id, remedy)
    low, high = limits.span
    return low, best.value, (high + stop.value) / 2


def _in_trials(disease: Disease, heat: float) -> float | None:
    stops = disease.temp_stop_c
    if not disease.wet_trials or stops is None:
        return None
    return float(wet_hours_in_trials(heat, disease.wet_trials, stops.value))


class ProgressAsked(Asked):
    """Readings of severity in per cent and their days, rising."""

    times: Series
    severities: Annotated[list[Percent], Field(min_length=1)]


class Progress(Answer):
    """Areas in per cent days, and the share of full disease all the time; null from one reading."""

    audpc: float | None
    relative_audpc: float | None
    audps: float | None


def _progress(asked: ProgressAsked) -> Progress:
    same_length("times", asked.times, "severities", asked.severities)
    for n, (before, after) in enumerate(zip(asked.times, asked.times[1:], strict=False), start=1):
        if after <= before:
            what = "this time stands twice" if after == before else "the times do not rise"
            raise refuse(what, f"times[{n}]", after, f"The time before it is {before:g}.")
    area = progress_area(asked.times, asked.severities)
    return Progress(audpc=area.audpc, relative_audpc=area.relative, audps=area.audps)


class GrowthAsked(Asked):
    """Share diseased at the start, apparent rate a day, and the days asked about."""

    start: Share
    rate: Number
    days: Annotated[list[NotNegative], Field(min_length=1)]


class Growth(Answer):
    """Share diseased on each day; area in proportion-days from day 0 to the last of them."""

    severity: list[float]
    area: float


def _growth(asked: GrowthAsked) -> Growth:
    return Growth(
        severity=severity_on(asked.start, asked.rate, asked.days).tolist(),
        area=severity_area(asked.start, asked.rate, max(asked.days)),
    )


FORMS: dict[str, Form[Any]] = {
    "wet-hours": Form(WetHoursAsked, WetHours, _wet_hours, "Hours in which leaves are wet."),
    "disease-severity-value": Form(
        SeverityAsked, SeverityValue, _severity, "Severity value of a day or a humid period."
    ),
    "late-blight-days": Form(
        BlightDaysAsked, BlightDays, _blight_days, "Days that favour late blight."
    ),
    "infection": Form(InfectionAsked, Infection, _infection, "Infection by warmth and wetness."),
    "disease-progress": Form(
        ProgressAsked, Progress, _progress, "Area under the disease progress curve."
    ),
    "logistic-growth": Form(GrowthAsked, Growth, _growth, "An epidemic left to itself."),
}
