"""The water that the roots of a planting could reach: behind us, as planned, if nothing is done."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.soil import BedSoil, between, watered
from lattermath.vocabulary.season_series import Gain, HowGained, Strip, Trace, Until, WaterCourse

FloatArray = NDArray[np.float64]

DAYS_BEHIND = 21  # judgement: as far back as a grower remembers what was poured
DAYS_AHEAD = 14  # judgement: beyond it somebody will have watered, or it will have rained
LEFT = "water left"
TENTHS = (0.1, 0.5, 0.9)


def water_course(soil: BedSoil, today: date, visit: date, litres: float) -> WaterCourse:
    """The water of one planting's ground. [mm over the ground it takes]

    litres : what this planting gets at the visit, as planned; nothing is poured after it.
    """
    days = min(DAYS_AHEAD, soil.n_coming)
    ahead = tuple(today + timedelta(days=n) for n in range(days + 1))
    pours = litres > 0 and (visit - today).days <= days
    kept = _left(_poured(soil, (visit - today).days, litres) if pours else soil, days)
    bare = np.median(_left(soil, days), axis=0)
    due = (soil.taw_mm - soil.raw_mm)[: days + 1]
    behind, limits, full = _behind(soil)
    low, middle, high = map(_list, np.quantile(kept, TENTHS, axis=0))
    strip = Strip(LEFT, ahead, middle, low, high, _list(bare) if pours else (), "mm")
    gains = list(_gains(soil, today))
    if pours:
        gains.append(Gain(visit, litres / soil.litres_a_mm, "planned"))
    return WaterCourse(
        planting=soil.use.planting,
        litres_a_mm=soil.litres_a_mm,
        so_far=_trace(today, behind),
        ahead=strip,
        due=_list(np.concatenate([limits, due[1:]])),
        full=_list(np.concatenate([full, soil.taw_mm[1 : days + 1]])),
        gains=tuple(gains),
        dry_by=until(today, _days_to(kept < due)),
        rough=soil.rough,
    )


def _poured(soil: BedSoil, days: int, litres: float) -> BedSoil:
    """The same ground where these litres are poured so many evenings on."""
    after = watered(between(soil, days, soil.n_coming), litres)
    before = soil.depletion_mm[:, :days]
    return replace(soil, depletion_mm=np.concatenate([before, after.depletion_mm], axis=1))


def _left(soil: BedSoil, days: int) -> FloatArray:
    return np.asarray((soil.taw_mm - soil.depletion_mm)[:, : days + 1])


def _behind(soil: BedSoil) -> tuple[FloatArray, FloatArray, FloatArray]:
    """What was left on each day up to today, by draw; then what had to be, and what could be."""
    left = soil.taw_mm[:1] - soil.depletion_mm[:, :1]
    due, full = (soil.taw_mm - soil.raw_mm)[:1], soil.taw_mm[:1]
    if soil.past is None:
        return left, due, full
    past = slice(-DAYS_BEHIND, None)
    most, easy = soil.past.taw_mm[past], soil.past.raw_mm[past]
    return (
        np.concatenate([most - soil.past.depletion_mm[:, past], left], axis=1),
        np.concatenate([most - easy, due]),
        np.concatenate([most, full]),
    )


def _gains(soil: BedSoil, today: date) -> list[Gain]:
    """Rain that reached the ground and water poured on it, on the days that are told."""
    if soil.past is None:
        return []
    found: list[Gain] = []
    kinds: tuple[tuple[HowGained, FloatArray], ...] = (
        ("rain", soil.past.rain_mm),
        ("poured", soil.past.poured_mm),
    )
    for how, amounts in kinds:
        told = amounts[-DAYS_BEHIND - 1 :]
        days = [today - timedelta(days=len(told) - 1 - n) for n in range(len(told))]
        found += [Gain(day, float(mm), how) for day, mm in zip(days, told, strict=True) if mm > 0]
    return sorted(found, key=lambda gain: gain.day)


def until(today: date, days: FloatArray) -> Until:
    """Days on as dates: 10th, 50th and 90th percentile; inf is later than any day looked at."""
    spread = np.quantile(days, TENTHS, method="higher")
    return Until(*(today + timedelta(days=int(n)) if np.isfinite(n) else None for n in spread))


def _days_to(dry: NDArray[np.bool_]) -> FloatArray:
    """Days from tonight until it has fallen below what is due, by draw; inf: not within them."""
    return np.where(dry.any(axis=1), dry.argmax(axis=1).astype(float), np.inf)


def _trace(today: date, left: FloatArray) -> Trace:
    low, middle, high = map(_list, np.quantile(left, TENTHS, axis=0))
    days = tuple(today - timedelta(days=n) for n in range(left.shape[1] - 1, -1, -1))
    return Trace(LEFT, days, middle, low, high, "mm")


def _list(row: FloatArray) -> tuple[float, ...]:
    return tuple(round(float(v), 2) for v in row)
