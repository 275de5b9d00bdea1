"""How far the weather has let a disease in: running sums, each with its dry and its wet side."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.infection_weather import LEANS, Nights, infection_response
from lattermath.knowledge.diseases import Disease
from lattermath.science.disease_severity_values import (
    FIRST_SPRAY_AT,
    NEXT_SPRAY_AT,
    blight_advice,
    rain_favourable,
    tom_cast,
    wallin,
)
from lattermath.science.late_blight_days import hutton_days, smith_days

FloatArray = NDArray[np.float64]
Sure = Literal["yes", "likely", "no"]

DRY, MIDDLE, WET = 0, LEANS.index(0.0), len(LEANS) - 1
LAST_DAYS = 14  # judgement: about two latent periods; older infections would show by now
WALLIN_DAYS = 7
HUTTON_BACK = 10  # judgement: from a Hutton day to the first spots
ENOUGH_NIGHTS = 2  # judgement: one night seldom starts what a grower sees
LIKELY_NIGHTS = 4  # judgement: where nights are only reckoned, more of them
RECENT_VALUES = 6.0  # judgement: severity values of a fortnight below which no spell is running
MOSTLY_MEASURED = 0.5  # judgement: below it the hours of a spell are only reckoned
AHEAD = 3  # days of forecast hours looked at


@dataclass(frozen=True, slots=True)
class Risk:
    """What the weather says of one disease.

    sure    : yes on the dry side of what may be, likely in the middle, else no; late blight is
              likely too where hours are only reckoned, rain favours it (Hyre) and the wet side of
              the hours would have let it in.
    counted : low, middle and high of what is counted.
    what    : what it is that is counted.
    days    : places of the days that decide, where single days do; none where only the wet side
              knows of any.
    """

    disease: str
    sure: Sure
    counted: tuple[float, float, float]
    what: Literal["severity values", "nights", "blight days"]
    days: tuple[int, ...] = ()
    needed: float = 0.0
    besides: str = ""


def blight_risk(
    nights: Nights, t_min: FloatArray, t_max: FloatArray, rain: FloatArray, today: int
) -> Risk:
    """Late blight by Hutton, Smith and Wallin; t_min, t_max and rain of one run, (n_days,).

    Forecast hours count where they are given; elsewhere days to come do not.
    """
    told = [d for d in range(today + 1, today + 1 + AHEAD) if d < len(t_min) and nights.measured[d]]
    last = max([today, *told])
    first = max(last - HUTTON_BACK - AHEAD, 0)
    span = slice(first, last + 1)
    low, middle, high = (nights.humid_h[n, 0, span] for n in (DRY, MIDDLE, WET))
    sure = hutton_days(t_min[span], np.floor(low), np.ceil(high))
    likely = hutton_days(t_min[span], np.floor(middle))
    full = smith_days(t_min[span], np.floor(low), np.ceil(high)).count("full")
    values = wallin(nights.wet_mean_c[:, 0], np.floor(nights.humid_h[:, 0]))
    lately = slice(max(today - WALLIN_DAYS + 1, 0), today + 1)
    favourable = int(np.nansum(rain_favourable(t_min, t_max, rain)[lately]))
    week = values[:, lately].sum(1)
    met = tuple(first + n for n, word in enumerate(sure) if word == "met")
    may = tuple(first + n for n, word in enumerate(likely) if word == "met")
    advised = blight_advice(favourable, float(week[MIDDLE]))
    urges = advised in ("7-day", "5-day")
    counts = (float(len(met)), float(len(may)), float(sum(word != "none" for word in sure)))
    # Where hours are only reckoned, their middle may miss a wet spell whole: rain speaks for it.
    unread = nights.measured[span].mean() < MOSTLY_MEASURED and favourable > 0 and counts[2] > 0
    known: Sure = "yes" if met else "likely" if (may and urges) or unread else "no"
    return Risk(
        "late_blight",
        known,
        counts,
        "blight days",
        met or may,
        besides=_besides(full, float(week[MIDDLE]), advised),
    )


def _besides(full_smith: int, week: float, advised: str) -> str:
    """What Smith and Wallin say beside Hutton."""
    told = ["a full Smith period as well"] if full_smith else []
    if advised in ("7-day", "5-day"):
        days = advised.removesuffix("-day")
        told.append(
            f"Wallin's table asks for protection every {days} days ({week:.0f} values in a week)"
        )
    return ", ".join(told)


def severity_risk(disease: str, nights: Nights, begin: int, today: int, sprayed: bool) -> Risk:
    """Early blight and Septoria by the sum of severity values from one day on.

    begin   : the day of setting out, or after the last treatment that keeps it off.
    sprayed : a treatment stands before `begin`, so the next falls due at fewer.
    """
    values = tom_cast(nights.wet_mean_c[:, 0], np.round(nights.wet_h[:, 0]))
    total = values[:, begin : today + 1].sum(1)
    recent = values[:, max(today - LAST_DAYS + 1, 0) : today + 1].sum(1)
    needed = NEXT_SPRAY_AT if sprayed else FIRST_SPRAY_AT
    due = (total >= needed) & (recent >= RECENT_VALUES)
    sure: Sure = "yes" if due[DRY] else "likely" if due[MIDDLE] else "no"
    counted = (float(total[DRY]), float(total[MIDDLE]), float(total[WET]))
    return Risk(disease, sure, counted, "severity values", needed=needed)


def night_risk(disease: Disease, nights: Nights, today: int) -> Risk | None:
    """A disease of the generic model by the nights long enough for it; None: no figures."""
    response = infection_response(disease, nights)
    if response is None:
        return None
    lately = (response[:, 0, max(today - LAST_DAYS + 1, 0) : today + 1] > 0).sum(1)
    counted = (float(lately[DRY]), float(lately[MIDDLE]), float(lately[WET]))
    sure: Sure = "no"
    if counted[0] >= ENOUGH_NIGHTS:
        sure = "yes"
    elif counted[1] >= LIKELY_NIGHTS:
        sure = "likely"
    return Risk(disease.id, sure, counted, "nights", needed=float(ENOUGH_NIGHTS))
