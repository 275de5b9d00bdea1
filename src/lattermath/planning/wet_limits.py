"""What water on leaves forbids: rain to come, and leaves that are wet with dew, rain or watering.

Rain that nobody knows refuses; wet leaves, which the grower feels on the spot, become a condition.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from lattermath.planning.hour_limits import meeting, until_alone
from lattermath.planning.own_cautions import Cautions
from lattermath.planning.treatment_request import TreatmentRequest, later
from lattermath.vocabulary.evening import DRY_LEAVES, WASHED_OFF, Evening
from lattermath.vocabulary.label import ProductLabel
from lattermath.vocabulary.ruling import Because


def rain(r: TreatmentRequest, c: Cautions) -> Iterator[Because]:
    """No rain expected before it is dry (contact) or safe from wash-off (deposit)."""
    for label in meeting(r):
        if c.off_the_leaves(label.active, label.form):
            continue
        printed = label.rain_free_hours.value
        hours = max(printed or 0.0, dry_free_hours(label, c))
        chance = rain_chance(r.evening, hours)
        holds = chance is not None and chance < c.rain_expected
        words = "nobody knows" if chance is None else f"a chance of {chance:.0%}"
        yield Because(
            f"rain within {hours:g} h: {words}",
            holds=holds,
            who="label" if printed is not None and printed >= hours else "our caution",
            rests_on=("rule:rain", f"label:{label.key}/rain_free_hours"),
            lapses=None if holds else until_alone(r, label),
            way_out="" if holds else "wait for a drier evening; rain would waste it",
        )
        yield from _wash_off(r.evening, label, c)


def dry_free_hours(label: ProductLabel, c: Cautions) -> float:
    """Hours without rain that our rule asks: drying for contact, at least 2 h for deposits."""
    if label.active in c.contact_only or c.burns_in_heat(label.active):
        return c.dry_hours(label.active)
    return max(c.deposit_refuse_hours, c.facts(label.active).dry_hours or 0.0)


def _wash_off(evening: Evening, label: ProductLabel, c: Cautions) -> Iterator[Because]:
    contact = label.active in c.contact_only or c.burns_in_heat(label.active)
    later_on = rain_chance(evening, c.deposit_caution_hours)
    if not contact and later_on is not None and later_on >= c.rain_expected:
        yield Because(
            f"rain within {c.deposit_caution_hours:g} h {WASHED_OFF}",
            who="our caution",
            rests_on=("rule:rain",),
        )


def rain_chance(evening: Evening, hours: float) -> float | None:
    """Chance of rain within `hours`, between the 2 h and 12 h figures; None: unknown.

    The first shower is taken as equally likely in every hour between; past 12 h the chance of
    staying dry goes on at the same rate. Judgement.
    """
    two, twelve = evening.rain_chance_2h, evening.rain_chance_12h
    if hours <= 2 or two is None:
        return two
    if twelve is None:
        return None
    twelve = max(two, twelve)
    if hours <= 12:
        return two + (twelve - two) * (hours - 2) / 10
    return float(1 - (1 - twelve) ** (hours / 12))


def wet_leaves(r: TreatmentRequest, c: Cautions) -> Iterator[Because]:
    """Not on leaves wet with dew, rain or watering; unknown is a condition to feel on the spot."""
    sprays = [s for s in meeting(r) if not c.off_the_leaves(s.active, s.form)]
    if not sprays:
        return
    wet = r.evening.leaves_wet
    words = {True: "the leaves are wet", False: "the leaves are dry", None: DRY_LEAVES}
    yield Because(
        f"{words[wet]}; not on wet leaves",
        holds=wet is not True,
        who="our caution",
        rests_on=("rule:wet_leaves",),
        lapses=until_alone(r, sprays[0]) if wet else None,
        way_out="let them dry, and water at the foot" if wet else "",
    )
    yield from _watered_over(r, c)


def _watered_over(r: TreatmentRequest, c: Cautions) -> Iterator[Because]:
    """Water from above is rain: it wets the leaves before, and washes off what was put on."""
    if r.watered_over is not None and not later(r.watered_over, r.starts):
        dry = r.watered_over + timedelta(hours=c.dry_at_least_hours)
        holds = not later(dry, r.starts)
        yield Because(
            f"watered over the leaves at {r.watered_over:%H:%M}: wet until about {dry:%H:%M}",
            holds=holds,
            who="our caution",
            rests_on=("rule:wet_leaves",),
            lapses=None if holds else dry,
            way_out="" if holds else "treat when they are dry, and water at the foot",
        )
    if r.usually_over:
        sprays = [x for x in meeting(r) if not c.off_the_leaves(x.active, x.form)]
        hours = max(max(x.rain_free_hours.value or 0.0, dry_free_hours(x, c)) for x in sprays)
        yield Because(
            f"water over the leaves counts as rain: none for {hours:g} h afterwards",
            who="our caution",
            rests_on=("rule:rain", "plot:water/watering"),
        )
