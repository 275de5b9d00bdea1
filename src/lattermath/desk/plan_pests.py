"""What lives on the plantings of a plan, and the courses against it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from lattermath.belief.crop_belief import CropBelief
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning.fates import Care
from lattermath.planning.looking import Watch
from lattermath.planning.own_cautions import Cautions
from lattermath.planning.treating import Spraying
from lattermath.vocabulary.plan import Population


@dataclass(frozen=True, slots=True)
class PestPlans:
    """Populations with their courses, and what each visit has to do about them."""

    populations: tuple[Population, ...] = ()
    sprayings: Mapping[date, tuple[Spraying, ...]] = field(default_factory=dict)
    watches: tuple[Watch, ...] = ()
    cares: Mapping[str, Care] = field(default_factory=dict)
    sick: frozenset[str] = frozenset()
    warnings: tuple[str, ...] = ()


def plan_pests(
    facts: SeasonFacts, beliefs: Mapping[str, CropBelief], cautions: Cautions
) -> PestPlans:
    """Work out every cluster that something was seen of."""
    return PestPlans()
