"""Which plantings were watered over their leaves, what that lets in, and the reasons to stop."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta

from lattermath.desk.leaf_nights import LeafNights
from lattermath.desk.named_since import sick_by_planting
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning.dry_watering import WetEvenings, why_at_the_foot
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.ruling import Because

LAST_DAYS = 14
REAL_HOST = 0.3  # judgement: of a disease that is worth keeping leaves dry for


def reasons_to_keep_dry(facts: SeasonFacts, nights: LeafNights) -> Mapping[str, Because]:
    """Why each planting wants its water at the foot, by planting; only where it matters."""
    ill = sick_by_planting(facts)
    reasons = {
        planting.key: why_at_the_foot(
            wet_evenings(facts, planting, nights),
            ill.get(planting.key, ()),
            lets_in(facts, planting),
        )
        for planting in facts.plot.standing()
    }
    return {key: reason for key, reason in reasons.items() if reason is not None}


def wet_evenings(facts: SeasonFacts, planting: Planting, nights: LeafNights) -> WetEvenings:
    """What watering did to the leaves of a planting in the last fortnight."""
    since = facts.today - timedelta(days=LAST_DAYS)
    given = [one for one in nights.given.get(planting.key, ()) if one.day >= since]
    late = [one for one in given if one.late and one.way == "overhead"]
    wet = nights.on(planting.key).wet_h[:, 0]
    ends = [facts.day_index(one.day) + (one.hour >= 12) for one in late]
    hours = [(wet[0, end], wet[-1, end]) for end in ends if 0 <= end < wet.shape[1]]
    return WetEvenings(
        planting.name,
        tuple(dict.fromkeys(one.day for one in late)),
        (min(h[0] for h in hours), max(h[1] for h in hours)) if hours else (0.0, 0.0),
        tuple(dict.fromkeys(one.day for one in given if one.way is None)),
        tuple(one.serial for one in late),
    )


def lets_in(facts: SeasonFacts, planting: Planting) -> str:
    """The worst disease that wet leaves would let in on a planting, by name; "" for none."""
    found = []
    for disease in facts.tables.diseases.values():
        word = facts.tables.crosswalk.host(planting.crop, disease.hosts)
        loss = disease.loss_per_unit_severity
        if not disease.spread_by_wet_leaves or word is None or disease.id in planting.resists:
            continue
        if (suits := disease.hosts[word].value) >= REAL_HOST:
            found.append((-suits * (0.0 if loss is None else loss.value), disease.name))
    return min(found)[1] if found else ""
