"""The daily record at the plot: several files merged, gaps filled and marked, cut as of a day."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.errors import Fault, WeatherFileError
from lattermath.weather import gaps
from lattermath.weather.calendar_days import same_day, year_days
from lattermath.weather.climatology import Usual, usual_weather
from lattermath.weather.days import Field, Reading, WeatherFile

Values = NDArray[np.float64]
Mask = NDArray[np.bool_]

FIELDS: tuple[Field, ...] = (
    "t_min",
    "t_max",
    "rain_mm",
    "rh_mean",
    "wind_m_s",
    "solar_mj_m2",
    "et0_mm",
)
# judgement: where rain was never measured; a temperate summer (Brussels 2.3 mm a day, place.md A7)
UNKNOWN_RAIN_MM = 2.0
LEAST_SEEN = 0.9  # judgement: a past season with more days missing is not used
_LONGEST_RECORD_DAYS = 366 * 300


@dataclass(frozen=True, slots=True)
class SeenDays:
    """What was measured or forecast, gaps as NaN: rows of FIELDS, shape (n_fields, n_days)."""

    first: date
    values: Values
    forecast: Mask  # (n_days,): temperature not measured but forecast
    rain_lag: NDArray[np.int64]  # days after which the rain became known (totals of several days)

    @property
    def n_days(self) -> int:
        """Days from the first to the last, gaps included."""
        return int(self.values.shape[1])


@dataclass(frozen=True, slots=True)
class DailyRecord:
    """One value a local day from `first` on, without holes; shape (n_days,).

    Temperatures in C, rain in mm. The `filled_*` masks tell which days were not measured. `rh`,
    `wind` (m/s at 2 m), `solar` (MJ/m2) and `et0` (mm) keep NaN where nothing was measured, and are
    None where it never was.
    """

    first: date
    t_min: Values
    t_max: Values
    rain: Values
    filled_min: Mask
    filled_max: Mask
    filled_rain: Mask
    digest: str
    says: tuple[str, ...]
    usual: Usual
    seen: SeenDays = field(repr=False)
    rh: Values | None = None
    wind: Values | None = None
    solar: Values | None = None
    et0: Values | None = None
    latitude: float | None = None
    longitude: float | None = None
    altitude_m: float | None = None

    @property
    def n_days(self) -> int:
        """Number of days."""
        return int(self.t_min.size)

    @property
    def last(self) -> date:
        """The last day; the day before `first` when the record is empty."""
        return self.first + timedelta(days=self.n_days - 1)

    @property
    def filled(self) -> Mask:
        """Days on which any of minimum, maximum and rain was not measured."""
        return self.filled_min | self.filled_max | self.filled_rain

    def at(self, day: date) -> int:
        """Place of a day in the arrays; may lie outside them."""
        return (day - self.first).days

    def until(self, as_of: date) -> DailyRecord:
        """The record as of the end of a day: nothing dated later is visible in any value.

        Gaps are filled afresh from what was there by then, and the usual weather is worked out
        from it; a total of several days that was read later is not yet known.
        """
        n = min(max(self.at(as_of) + 1, 0), self.n_days)
        values = self.seen.values[:, :n].copy()
        lag = self.seen.rain_lag[:n]
        values[FIELDS.index("rain_mm"), np.arange(n) + lag > self.at(as_of)] = np.nan
        seen = SeenDays(self.first, values, self.seen.forecast[:n], lag)
        return record_of(seen, (self.latitude, self.longitude, self.altitude_m))

    def years_for(
        self, as_of: date, last: date | None = None, least_seen: float = LEAST_SEEN
    ) -> tuple[int, ...]:
        """Past years whose own run of days from this date to `last` ended before `as_of`.

        A year counts when at least `least_seen` of those days were measured. `last` defaults to 150
        days on.
        """
        n_days = 150 if last is None else (last - as_of).days + 1
        if self.n_days == 0:
            return ()
        needed = [~self.filled_min, ~self.filled_max]
        if (~self.filled_rain).mean() > 0.5:
            needed.append(~self.filled_rain)
        found = []
        for year in range(self.first.year, as_of.year + 1):
            start = self.at(same_day(as_of, year))
            if start < 0 or start + n_days > min(self.at(as_of), self.n_days):
                continue
            if all(mask[start : start + n_days].mean() >= least_seen for mask in needed):
                found.append(year)
        return tuple(found)


def daily_record(files: Sequence[WeatherFile]) -> DailyRecord:
    """Merge weather files into one record; a later file wins where it has a value.

    A forecast stands only where nothing was measured, and counts as filled. Raises
    WeatherFileError when there is no reading at all, or the dates span more than three centuries.
    """
    days = [reading.day for file in files for reading in (file.readings[0], file.readings[-1])]
    if not days:
        raise WeatherFileError(
            Fault("there is no weather", "weather files", "", "Add a diary or a station file.")
        )
    first, n_days = min(days), (max(days) - min(days)).days + 1
    if n_days > _LONGEST_RECORD_DAYS:
        found = f"{first} to {max(days)}"
        raise WeatherFileError(
            Fault("the dates span centuries", "weather files", found, "Look for a wrong year.")
        )
    seen = np.full((len(FIELDS), n_days), np.nan)
    guess = np.full((len(FIELDS), n_days), np.nan)
    lag = np.zeros(n_days, dtype=np.int64)
    for file in files:
        _enter(file.readings, first, seen, guess, lag)
    unmeasured = np.isnan(seen)
    forecast = (unmeasured[:2] & ~np.isnan(guess[:2])).any(axis=0)
    merged = SeenDays(first, np.where(unmeasured, guess, seen), forecast, lag)
    located = [file for file in files if file.latitude is not None]
    where = (
        (located[-1].latitude, located[-1].longitude, located[-1].altitude_m)
        if located
        else (None, None, None)
    )
    return record_of(merged, where)


def _enter(
    readings: Sequence[Reading],
    first: date,
    seen: Values,
    guess: Values,
    lag: NDArray[np.int64],
) -> None:
    """Write one file's days over what is there, measured and forecast days apart."""
    start = first.toordinal()
    at = np.array([r.day.toordinal() - start for r in readings], dtype=np.int64)
    forecast = np.array([bool(r.marks) and r.is_forecast for r in readings], dtype=bool)
    for row, name in enumerate(FIELDS):
        values = np.array([getattr(r, name) for r in readings], dtype=np.float64)
        there = ~np.isnan(values)
        seen[row, at[there & ~forecast]] = values[there & ~forecast]
        guess[row, at[there & forecast]] = values[there & forecast]
        if name == "rain_mm":
            lag[at[there & ~forecast]] = 0
    for reading in readings:
        if reading.rain_known is not None:
            n = reading.day.toordinal() - start
            lag[n] = (reading.rain_known - reading.day).days


def record_of(
    seen: SeenDays, where: tuple[float | None, float | None, float | None] = (None, None, None)
) -> DailyRecord:
    """The record of these days, gaps filled from these days alone."""
    place = year_days(seen.first, seen.n_days)
    low, high, contradicted = _agreeing(seen.values[0], seen.values[1])
    rain = seen.values[2]
    usual = usual_weather(place, low, high, rain)
    t_min = gaps.fill_temperature(low, usual.t_min[place], usual.seasons)
    t_max = gaps.fill_temperature(high, usual.t_max[place], usual.seasons)
    filled_min = np.isnan(low) | seen.forecast
    filled_max = np.isnan(high) | seen.forecast
    gaps.keep_order(t_min, t_max, np.isnan(low), np.isnan(high))
    rh, wind, solar, et0 = (None if np.isnan(row).all() else row for row in seen.values[3:])
    return DailyRecord(
        seen.first,
        t_min,
        t_max,
        gaps.fill_rain(rain, usual.rain[place], UNKNOWN_RAIN_MM),
        filled_min,
        filled_max,
        np.isnan(rain),
        _digest(seen),
        _says(filled_min | filled_max, np.isnan(rain), usual, contradicted),
        usual,
        seen,
        rh,
        wind,
        solar,
        et0,
        *where,
    )


def _agreeing(low: Values, high: Values) -> tuple[Values, Values, int]:
    """Extremes without those of two files that contradict each other, and how many days did."""
    crossed = high < low
    wrong = high < low - 1e-6  # less is the rounding of a unit
    kept_low, kept_high = np.where(wrong, np.nan, low), np.where(crossed, low, high)
    return kept_low, np.where(wrong, np.nan, kept_high), int(wrong.sum())


def _digest(seen: SeenDays) -> str:
    digest = hashlib.sha256(seen.first.isoformat().encode())
    for part in (seen.values, seen.forecast, seen.rain_lag):
        digest.update(np.ascontiguousarray(part).tobytes())
    return digest.hexdigest()


def _says(no_temperature: Mask, no_rain: Mask, usual: Usual, contradicted: int) -> tuple[str, ...]:
    says = []
    if contradicted:
        says.append(
            f"{counted(contradicted, 'days')} on which one file's minimum lies above another's "
            "maximum: set aside."
        )
    if no_temperature.any():
        way = (
            "up to a week between their neighbours, longer ones by the usual weather of the season"
            if usual.seasons
            else "straight from one measured day to the next, for the record is short"
        )
        days = counted(int(no_temperature.sum()), "days")
        says.append(f"{days} without measured temperatures: filled {way}.")
    if no_rain.any():
        usual_rain = (
            f"{UNKNOWN_RAIN_MM:g} mm a day, a rough figure"
            if np.isnan(usual.rain).all()
            else "the usual rain of the season, evenly"
        )
        says.append(
            f"{counted(int(no_rain.sum()), 'days')} without measured rain: taken as {usual_rain}."
        )
    return tuple(says)
