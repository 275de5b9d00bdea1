"""Lay a forecast over the first days of every trace, with an error that grows by the day.

Each future keeps its own departure from the usual weather, shrunk to the size of the forecast's
error: so the futures spread about the forecast as forecasts err, and run on without a break.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from lattermath.weather.days import Reading
from lattermath.weather.generated_days import AMOUNT_SHAPE, WET_AMOUNT_MM, WET_DAY_MM
from lattermath.weather.traces import Traces, apart

Values = NDArray[np.float64]

# Forecast error by day ahead [K]; memory (place.md 11.3), to be learned from the user's own pairs.
_ERROR_DAYS = (1.0, 10.0)
_ERROR_MAX_K, _ERROR_MIN_K = (1.5, 3.5), (1.5, 3.0)
HORIZON_DAYS = 10  # place.md 11.3: no skill left from here on
_FULL_TRUST_DAYS = 5  # judgement
STALE_DAYS = 2  # judgement
# judgement: chance that a day forecast wet (dry) is wet, tomorrow; both drift to the usual chance
_WET_CHANCE, _DRY_CHANCE = 0.85, 0.10
_STRAY_WET_MM = 3.0  # judgement: rain on a day that was forecast dry


@dataclass(frozen=True, slots=True)
class Spliced:
    """The traces with the forecast laid over, and what to say of it."""

    traces: Traces
    days: int  # days from today on that rest on the forecast
    own: frozenset[int]  # those of them that the grower typed, 0 today
    caveat: str


def splice(traces: Traces, forecast: Sequence[Reading], rng: np.random.Generator) -> Spliced:
    """Traces whose first days follow the forecast. A forecast made after today is not used.

    The mean over the futures equals the forecast for five days, then drifts to the traces until the
    tenth. Rain: wet with the forecast's own chance, amounts gamma about its own mean.
    """
    first = traces.first
    n_days = traces.t_min.shape[1]
    issued = _issued(forecast)
    if issued is not None and issued > first + timedelta(days=1):
        return Spliced(traces, 0, frozenset(), "a forecast made later is left out")
    days = {(r.day - first).days: r for r in forecast if first <= r.day}
    lead = {n: _lead(n, first, r.issued or issued or first) for n, r in days.items()}
    usable = [n for n in sorted(days) if n < n_days and issued and lead[n] < HORIZON_DAYS]
    age = 0 if issued is None else max((first - issued).days, 0)
    stale = f"the forecast is {age} days old" if age >= STALE_DAYS else ""
    if not usable or issued is None:
        return Spliced(traces, 0, frozenset(), stale)
    low, high, rain = traces.t_min.copy(), traces.t_max.copy(), traces.rain.copy()
    for n in usable:
        reading = days[n]
        low[:, n] = _blend(low[:, n], reading.t_min, _ERROR_MIN_K, lead[n])
        high[:, n] = _blend(high[:, n], reading.t_max, _ERROR_MAX_K, lead[n])
        rain[:, n] = _rain(rain[:, n], reading, traces, lead[n], rng)
    low[:, usable], high[:, usable] = apart(low[:, usable], high[:, usable])
    laid = replace(traces, t_min=low, t_max=high, rain=rain)
    own = frozenset(n for n in usable if days[n].is_own)
    return Spliced(laid, usable[-1] + 1, own, stale)


def _issued(forecast: Sequence[Reading]) -> date | None:
    """The day the forecast was made: as marked, or its first day."""
    marked = [r.issued for r in forecast if r.issued is not None]
    return max(marked) if marked else min((r.day for r in forecast), default=None)


def _lead(n: int, first: date, issued: date) -> int:
    """Days ahead of its making that a forecast looks, at least 0."""
    return max((first - issued).days + n, 0)


def _trust(lead: int) -> float:
    """Weight of the forecast against the traces."""
    return float(np.clip((HORIZON_DAYS - lead) / (HORIZON_DAYS - _FULL_TRUST_DAYS), 0.0, 1.0))


def _blend(trace: Values, told: float | None, error: tuple[float, float], lead: int) -> Values:
    """One day of all futures about the forecast value, shape (n_futures,). [C]"""
    if told is None:
        return trace
    spread = float(np.std(trace))
    err = float(np.interp(lead, _ERROR_DAYS, error))
    departure = trace - trace.mean()
    scale = min(1.0, err / max(spread, 1e-9)) if spread > 0 else 0.0
    weight = _trust(lead)
    blended: Values = weight * (told + scale * departure) + (1 - weight) * trace
    return blended


def _rain(
    trace: Values, told: Reading, traces: Traces, lead: int, rng: np.random.Generator
) -> Values:
    """One day's rain of all futures, shape (n_futures,). [mm]"""
    uniform, pick = rng.random(trace.size), rng.random(trace.size)
    amount = rng.gamma(AMOUNT_SHAPE, 1.0, trace.size) / AMOUNT_SHAPE
    if told.rain_mm is None and told.rain_chance is None:
        return trace
    usual_chance = float((trace >= WET_DAY_MM).mean())
    chance = told.rain_chance
    if chance is None:
        sure = _WET_CHANCE if (told.rain_mm or 0.0) >= WET_DAY_MM else _DRY_CHANCE
        chance = usual_chance + (sure - usual_chance) * (1 - lead / HORIZON_DAYS)
    known = traces.wet_amount_mm
    typical = WET_AMOUNT_MM if np.isnan(known) else known
    if told.rain_mm is None:
        mean = typical
    elif told.rain_mm >= WET_DAY_MM:
        mean = told.rain_mm / max(chance, 0.1)
    else:
        mean = min(_STRAY_WET_MM, typical)
    wet = np.where(uniform < chance, np.maximum(amount * mean, WET_DAY_MM), 0.0)
    laid: Values = np.where(pick < _trust(lead), wet, trace)
    return laid
