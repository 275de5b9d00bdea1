"""How much less of a leaf is ill than without a treatment, from severities beside untreated ones.

Leaf that is spotted stays spotted, and a disease spreads from what is there: what is compared is by
how much it grew, on the scale on which an untreated epidemic grows evenly.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from scipy.special import logit, ndtri

from lattermath.science.efficacy import (
    NONE_SEEN,
    SURE,
    Efficacy,
    abbott,
    henderson_tilton,
)

NINETY_FIVE = float(ndtri((1 + SURE) / 2))


@dataclass(frozen=True, slots=True)
class Severity:
    """A severity that was read, with its error.

    share    : of the leaf that is ill; 0 where none was found. [0 to 1]
    variance : of its logit, by the eye and by the leaves that were taken.
    most     : share that none found still allows; used where `share` is 0. [0 to 1]
    """

    share: float
    variance: float
    most: float = 0.0

    @property
    def odds(self) -> float:
        """Ill leaf for each healthy leaf."""
        return self.share / (1 - self.share)


def most_unseen(leaves: int, ill_at: float) -> float:
    """Severity that none found on so many leaves still allows. [0 to 1]

    ill_at : severity at which 1 - 1/e of all leaves carry a spot. [0 to 1]

    Poisson, one-sided, 97.5 in 100, as of counts (`efficacy.NONE_SEEN`).
    """
    return min(NONE_SEEN * ill_at / leaves, 0.5)


def grown_compared(
    treated_before: Severity,
    treated_after: Severity,
    untreated_before: Severity,
    untreated_after: Severity,
    wandering: float = 0.0,
) -> Efficacy:
    """How much less is ill than if it had grown as on untreated plants, interval of 95 in 100. [%]

    wandering : variance of the logit by which two plantings part of themselves between the looks.

        100 (1 - oTa oCb / (oTb oCa)),  o = y / (1 - y)

    NaN where one of the first three is none. The logit of a severity rises evenly in an epidemic
    that is left alone (Vanderplank; the same in the growth models of the APS pages on temporal
    epidemiology, read), so odds take the place of Henderson and Tilton's counts (derived); with
    little leaf ill the two agree.
    Holds for: diseases that spread from leaf to leaf, both plantings in the same weather.
    """
    known = (treated_before, untreated_before, untreated_after)
    percent = henderson_tilton(*(s.odds for s in (treated_before, treated_after, *known[1:])))
    return _with_interval(percent, treated_after, known, wandering)


def left_compared(treated: Severity, untreated: Severity, wandering: float = 0.0) -> Efficacy:
    """How much less is ill where both began alike, after Abbott, interval of 95 in 100. [%]

    wandering : as in `grown_compared`. NaN where none is ill untreated.
    """
    percent = abbott(treated.share, untreated.share)
    plain = tuple(_of_log(one) for one in (treated, untreated))
    return _with_interval(percent, plain[0], plain[1:], wandering)


def nothing_new(
    treated_before: Severity, untreated_before: Severity, untreated_after: Severity
) -> float:
    """What `grown_compared` gives where nothing at all came anew. [%]"""
    return henderson_tilton(
        treated_before.odds, treated_before.odds, untreated_before.odds, untreated_after.odds
    )


def _of_log(one: Severity) -> Severity:
    """The same with the variance of its log in place of its logit's."""
    return Severity(one.share, one.variance * (1 - one.share) ** 2, one.most)


def _with_interval(
    percent: float, after: Severity, others: tuple[Severity, ...], wandering: float
) -> Efficacy:
    """Normal interval of the log ratio; where none was found after, as large as that allows."""
    if math.isnan(percent):
        return Efficacy(percent)
    spread = sum(one.variance for one in others) + wandering
    if after.share > 0:
        ratio = 1 - percent / 100
        half = NINETY_FIVE * math.sqrt(spread + after.variance)
        return Efficacy(
            percent, 100 * (1 - ratio * math.exp(half)), 100 * (1 - ratio * math.exp(-half))
        )
    if not after.most > 0:
        return Efficacy(percent)
    beside = [logit(one.share) for one in others]
    if len(others) == 3:  # treated before, untreated before, untreated after
        log_ratio = float(logit(after.most) + beside[1] - beside[0] - beside[2])
    else:
        log_ratio = math.log(after.most / others[0].share)
    half = NINETY_FIVE * math.sqrt(spread)
    return Efficacy(percent, 100 * (1 - math.exp(log_ratio + half)), 100.0)
