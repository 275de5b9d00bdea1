"""May this planting be treated with this, at this hour? Limits only, never a preference.

Three voices forbid: the label in hand, the garden's own rules, and our own cautions where they
are stricter. Every clause speaks, so that a sheet can also show why yes.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from lattermath.planning import (
    garden_limits,
    hour_limits,
    in_a_row,
    limit_clauses,
    mixing,
    never_together,
    physical_limits,
    rotation,
    season_maximum,
    wet_limits,
)
from lattermath.planning.own_cautions import Cautions
from lattermath.planning.treatment_request import TreatmentRequest
from lattermath.vocabulary.errors import Fault, InputError
from lattermath.vocabulary.evening import (
    DRY_LEAVES,
    LIGHT_AIR,
    LOW_NOZZLE,
    NO_BEE,
    ONE_LEAF,
    WASHED_OFF,
    WATER_FIRST,
)
from lattermath.vocabulary.ruling import Because, Ruling, ruling

Clause = Callable[[TreatmentRequest, Cautions], Iterator[Because]]

# Each with whether it asks, of what was done before, only for other treatments of the planting on
# the same day.
SPEAK: tuple[tuple[Clause, bool], ...] = (
    (garden_limits.own_plants, True),
    (garden_limits.garden_rules, True),
    (limit_clauses.label_in_hand, True),
    (mixing.enough_to_mix, True),
    (limit_clauses.pre_harvest, False),
    (limit_clauses.re_entry, False),
    (limit_clauses.retreat, False),
    (season_maximum.season_maximum, False),
    (limit_clauses.sulfur_and_oil, False),
    (never_together.never_together, False),
    (hour_limits.overlap, True),
    (hour_limits.bloom, True),
    (hour_limits.evening_window, True),
    (hour_limits.heat, True),
    (wet_limits.rain, True),
    (hour_limits.wind, True),
    (wet_limits.wet_leaves, True),
    (hour_limits.no_forecast, True),
    (garden_limits.drift, True),
    (rotation.rotation, False),
    (physical_limits.physical, False),
    (in_a_row.in_a_row, False),
)
CLAUSES = tuple(clause for clause, _ in SPEAK)
OF_THE_DAY = frozenset(clause for clause, of_the_day in SPEAK if of_the_day)
Said = dict[Clause, tuple[Because, ...]]


def may_treat(request: TreatmentRequest, cautions: Cautions, said: Said | None = None) -> Ruling:
    """Rule on one treatment at one hour. Every clause speaks; any bar refuses.

    said : what the clauses of the day said to a request that differs only by what was done on
           other days or elsewhere; it is filled where it is empty.

    Raises InputError when the hour has no time zone: days on a label are local days.
    """
    if request.starts.tzinfo is None or request.minutes < 0:
        raise InputError(
            Fault(
                "a treatment needs a starting hour with its time zone, and minutes from 0",
                "treatment request",
                f"{request.starts.isoformat()}, {request.minutes:g} min",
            )
        )
    spoken: Said = {} if said is None else said
    reasons: list[Because] = []
    for clause in CLAUSES:
        if clause not in OF_THE_DAY:
            reasons += clause(request, cautions)
            continue
        if clause not in spoken:
            spoken[clause] = tuple(clause(request, cautions))
        reasons += spoken[clause]
    return ruling(reasons)


def conditions(ruled: Ruling) -> tuple[str, ...]:
    """What the grower must feel on the spot before starting; a task carries every one of them."""
    holding = [reason for reason in ruled.reasons if reason.holds]
    says = " / ".join(reason.says for reason in holding)
    felt = [
        word
        for word in (LIGHT_AIR, DRY_LEAVES, WATER_FIRST)
        if any(r.says.startswith(word) for r in holding)
    ]
    bees = any("rule:bees_hours_unreliable" in reason.rests_on for reason in holding)
    seen = (
        (NO_BEE, bees),
        (ONE_LEAF, "near the ceiling" in says),
        (LOW_NOZZLE, "dead calm" in says),
    )
    rain = (r.says for r in holding if r.says.endswith(WASHED_OFF))
    return (*felt, *(word for word, there in seen if there), *dict.fromkeys(rain))
