"""Severities on treated leaves beside those on untreated ones, with the error of eye and sample."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import numpy as np
from scipy.special import expit, logit

from lattermath.belief.leaf_disease_effect import LeafEffect
from lattermath.belief.leaf_disease_sightings import LEAF_ILL_AT, LeafSeen, said_law
from lattermath.belief.leaf_drift import A_DAY
from lattermath.knowledge.diseases import Disease
from lattermath.planning.treated_beside import AFTER_DAYS, SOON_DAYS, Comparing
from lattermath.science.disease_control import (
    Severity,
    grown_compared,
    left_compared,
    most_unseen,
)
from lattermath.science.efficacy import NOT_KNOWN, Efficacy
from lattermath.vocabulary.class_ends import SEVERITY_LEVELS

SHOWS_DAYS = 7  # judgement: so long after a latent period a look still speaks of a treatment
MOST_OF_A_CLASS = 0.9  # judgement: the last class has no end; few plantings are ill on more
LEAST_SHARE, MOST_SHARE = 1e-4, 1 - 1e-4


@dataclass(frozen=True, slots=True)
class LeafLooked:
    """One severity on one planting; `what` is the surface, only the same are compared."""

    day: date
    planting: str
    crop: str
    what: tuple[str, ...]
    severity: Severity
    n_leaves: int
    serial: int


def severity_of(seen: LeafSeen) -> Severity | None:
    """What was said, with the belief's own error of it; None: that it was seen says no share."""
    if seen.found_none:
        return Severity(0.0, 0.0, most_unseen(seen.leaves, LEAF_ILL_AT))
    if seen.percent is not None:
        share, within = seen.percent / 100, 0.0
    elif seen.level is not None:  # anywhere within its class
        low, high = SEVERITY_LEVELS[seen.level]
        ends = [float(logit(min(max(end, LEAST_SHARE), MOST_OF_A_CLASS))) for end in (low, high)]
        share = float(expit(sum(ends) / 2))
        within = (ends[1] - ends[0]) ** 2 / 12
    else:
        return None
    share = min(max(share, LEAST_SHARE), MOST_SHARE)
    spread = float(said_law(np.array(share), seen.leaves)[2])
    return Severity(share, spread**2 + within)


def shows_from(disease: Disease, effect: LeafEffect) -> int:
    """Days after a treatment from which leaves show what it did. [d]

    What takes colonies away shows at once. What only keeps infections off shows once those of its
    day would be spots; what comes before was in the leaf already.
    """
    if any(any(spread) for spread in effect.cure) or disease.latent_days is None:
        return SOON_DAYS
    return max(SOON_DAYS, round(disease.latent_days.value))


def comparing(disease: Disease, effect: LeafEffect) -> Comparing[LeafLooked]:
    """How severities beside each other are compared, by the formula that they allow."""
    soon = shows_from(disease, effect)
    return Comparing(_both, _after, soon, max(AFTER_DAYS, soon + SHOWS_DAYS), newest=True)


def _both(tb: LeafLooked, ta: LeafLooked, cb: LeafLooked, ca: LeafLooked) -> Efficacy:
    if min(tb.severity.share, cb.severity.share, ca.severity.share) <= 0:
        return Efficacy(NOT_KNOWN)
    apart = A_DAY * ((ta.day - tb.day).days + (ca.day - cb.day).days)
    return grown_compared(tb.severity, ta.severity, cb.severity, ca.severity, apart)


def _after(ta: LeafLooked, ca: LeafLooked) -> Efficacy:
    """Both of one crop on one evening; that they began alike is taken, as Abbott does."""
    return left_compared(ta.severity, ca.severity)
