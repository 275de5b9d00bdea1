"""An entry that is about something else: the wrong planting, or a slip of the pen.

What it says then has nothing to do with what is believed of the planting it stands under. Its law
is judgement: one such entry in three found none, as most looks do; of the others every number of
digits is as likely as another, every class as another, and severities lie about a tenth.
"""

from __future__ import annotations

import numpy as np
from scipy import special

from lattermath.belief.cluster_sightings import Seen
from lattermath.belief.leaf_disease_sightings import LeafSeen
from lattermath.vocabulary.class_ends import LEAF_LEVELS, MOST_ON_ONE, SEVERITY_LEVELS

NONE_FOUND = 1 / 3
SEVERITY, SEVERITY_SD = 0.1, 1.5  # middle, and spread on the logit scale


def slip_log_likelihood(seen: Seen) -> float:
    """Log-probability of what was written, if it is about something else."""
    if seen.found_none:
        return float(np.log(NONE_FOUND))
    some = np.log(1 - NONE_FOUND)
    if seen.total is None:
        return float(some - (np.log(len(LEAF_LEVELS)) if seen.level else 0.0))
    if seen.measure == "some":
        return float(some - np.log(seen.leaves))
    most = max(MOST_ON_ONE * seen.leaves, seen.total)
    harmonic = special.digamma(most + 1) + np.euler_gamma  # the sum of 1/n up to the most
    return float(some - np.log(seen.total) - np.log(harmonic))


def leaf_slip_log_likelihood(one: LeafSeen) -> float:
    """The same of a severity; without the constant that `likelihood_of` leaves out too."""
    if one.found_none:
        return float(np.log(NONE_FOUND))
    some, middle = np.log(1 - NONE_FOUND), special.logit(SEVERITY)
    if one.percent is not None:
        said = special.logit(np.clip(one.percent / 100, 1e-4, 1 - 1e-4))
        return float(some - np.log(SEVERITY_SD) - 0.5 * ((said - middle) / SEVERITY_SD) ** 2)
    if one.level is None:
        return float(some)
    low, high = (special.logit(np.clip(b, 1e-7, 1 - 1e-7)) for b in SEVERITY_LEVELS[one.level])
    within = special.ndtr((high - middle) / SEVERITY_SD) - special.ndtr(
        (low - middle) / SEVERITY_SD
    )
    return float(some + np.log(within))
