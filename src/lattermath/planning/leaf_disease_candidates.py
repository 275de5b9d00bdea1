"""What may be used against a leaf disease, what it costs, and what the disease costs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from lattermath.belief.leaf_disease_effect import LeafEffect
from lattermath.knowledge.diseases import Disease
from lattermath.knowledge.methods import Method
from lattermath.knowledge.rows import Row
from lattermath.planning import courses
from lattermath.planning.course_task import Candidate
from lattermath.planning.leaf_disease_courses import STRIPS
from lattermath.planning.leaf_disease_pays import StillPays
from lattermath.planning.means import MEANS
from lattermath.science.leaf_loss import LeafLoss
from lattermath.vocabulary.events import Surface
from lattermath.vocabulary.label import ProductLabel
from lattermath.vocabulary.plot import Household

TOLERATED = ("early_blight_tomato",)  # the row itself asks for the tolerance of lost leaves
BOTH_SIDES: tuple[Surface, ...] = ("underside", "top")


def leaf_candidates(
    shelf: Sequence[ProductLabel],
    methods: Mapping[str, Method],
    effects: Mapping[str, LeafEffect],
    household: Household,
) -> tuple[Candidate, ...]:
    """Everything on the shelf with a figure against the disease, and taking leaves off by hand.

    Whether any of it is permitted is for the rulings.
    """
    sprays = [_spray(label, methods, household) for label in shelf if label.active in effects]
    hands = [_by_hand(methods[STRIPS])] if STRIPS in effects else []
    return (*sprays, *hands)


def loss_of(disease: Disease, ceases: Row) -> LeafLoss:
    """Yield lost by severity; everything at severity 1 where no figure exists.

    ceases : the row `when_control_stops_paying`.
    """
    figure = disease.loss_per_unit_severity
    tolerated = ceases.figure("defoliation_tolerance").value if disease.id in TOLERATED else 0.0
    return LeafLoss(1.0 if figure is None else figure.value, tolerated)


def still_pays(ceases: Row) -> StillPays:
    """The figures that say until when treatment can pay."""
    return StillPays(
        ceases.figure("lag_leaf_to_fruit_days"), ceases.figure("already_lost_severity")
    )


def _spray(label: ProductLabel, methods: Mapping[str, Method], household: Household) -> Candidate:
    """One product, on both sides of the leaf, with what it costs."""
    group = methods[label.active].group
    soft = "not classified" in group.lower() or group == "NC"
    return Candidate(
        key=label.key,
        method=label.active,
        product=label.key,
        name=label.name,
        effect=courses.no_effect(label.active),
        surfaces=BOTH_SIDES,
        coverage=courses.HAND_COVERAGE,
        minutes=courses.SPRAY_MINUTES_M2,
        minutes_once=courses.MIX_MINUTES,
        hazard=household.worth_of_treatment * (courses.SOFT_HAZARD if soft else 1.0),
    )


def _by_hand(method: Method) -> Candidate:
    """Taking off the worst leaves: a delay, at the cost of minutes."""
    return Candidate(
        key=STRIPS,
        method=STRIPS,
        product=None,
        name=method.name,
        effect=courses.no_effect(STRIPS),
        surfaces=BOTH_SIDES,
        coverage=courses.HAND_COVERAGE,
        minutes=MEANS[STRIPS].minutes,
        least_gap_days=MEANS[STRIPS].gap_days,
        most_uses=MEANS[STRIPS].uses,
    )
