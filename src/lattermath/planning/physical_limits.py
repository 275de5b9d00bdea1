"""What binds means without a pack: water, bags, covers, a vacuum, boards, animals let out.

Every bar is our own caution. Sources: rows of the methods (`limits`, `temp`) and the rule
`covers_and_bags`; what they say in words only stands here as a figure, with *judgement*.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import datetime, time, timedelta

from lattermath.planning.daylight import BY_EYE, SUN, light_of, lit
from lattermath.planning.garden_limits import Covering, may_cover
from lattermath.planning.hour_limits import later_hours, left_before, window_opens
from lattermath.planning.means import AT_DUSK, MESH, NEEDS_BEES, RELEASES
from lattermath.planning.own_cautions import Cautions
from lattermath.planning.treatment_request import TreatmentRequest, later, next_day
from lattermath.vocabulary.calendar import said
from lattermath.vocabulary.evening import Applied
from lattermath.vocabulary.measure import measure
from lattermath.vocabulary.ruling import Because

# Judgement, after the soap's "about 1 h warm and dry, up to 4 h cool and damp": leaves after a jet.
DRIES = ((22.0, 1.0), (15.0, 2.0), (-100.0, 4.0))  # air from [C], hours to dry [h]
BOARDS_BEFORE = time(10)  # judgement: later they have crept away again
# Row phytoseiulus, temp (memory): air in which they feed and breed.
MITES_FROM_C, MITES_TO_C = 15.0, 30.0
# Judgement after the limits of the rows encarsia and phytoseiulus: "shortly before or after".
HARSH_DAYS, SOFT_DAYS = 14, 3  # days before a release
AFTER_DAYS = 7  # days after one on which what kills them is not sprayed
HARSH_GROUPS = frozenset({"1A", "1B", "3A", "4A", "5"})


def physical(r: TreatmentRequest, c: Cautions) -> Iterator[Because]:
    """The clause of the method asked for; a spray is asked whether it meets a bag or a release."""
    if r.label is None and r.method.key in BY_EYE:
        yield from _by_eye(r)
    clause = CLAUSES.get(r.method.key) if r.label is None else None
    if clause is not None:
        yield from clause(r, c)
    elif r.label is not None:
        yield from _spray(r, c)


def _by_eye(r: TreatmentRequest) -> Iterator[Because]:
    """Hands that search leaves want light; no word of it where it never gets dark."""
    light = light_of(r.evening)
    if light is None:
        return
    seen = lit(r.evening, r.starts, r.ends)
    again = light.dawn if later(light.dawn, r.starts) else light.dawn + timedelta(days=1)
    span = f"{light.dawn:%H:%M} to {light.dusk:%H:%M}"
    yield _caution(f"eyes want light, {span}", seen, SUN, "" if seen else "come by day", again)


def _jet(r: TreatmentRequest, _c: Cautions) -> Iterator[Because]:
    """Water on leaves only when they dry before dark."""
    dusk, air = r.evening.civil_dusk, r.evening.temperature_c
    hours = drying_hours(air)
    if dusk is None:
        yield _caution(
            "nobody knows when dusk falls",
            False,
            "table:methods/water_jet/limits",
            "take leaves off by hand",
        )
        return
    dry = r.ends + timedelta(hours=hours)
    holds = not later(dry, dusk)
    yield _caution(
        f"leaves dry by about {dry:%H:%M}, dark falls at {dusk:%H:%M}",
        holds,
        "table:methods/water_jet/limits",
        "" if holds else "hose first on arriving, on a morning, or take leaves off by hand",
        _next_sunrise(r),
    )


def drying_hours(air_c: float | None) -> float:
    """Hours in which leaves dry after a jet; the longest where nobody knows the air. [h]"""
    slowest = DRIES[-1][1]
    return slowest if air_c is None else next(h for least, h in DRIES if air_c >= least)


def _dusk_way(r: TreatmentRequest, opens: datetime | None, dusk: datetime | None) -> str:
    """How the work comes to the hour at which adults sit still."""
    if opens is not None and dusk is not None and left_before(r, opens, dusk):
        return later_hours(r, opens, dusk)
    return "make it the last job, at dusk"


def _at_dusk(r: TreatmentRequest, c: Cautions) -> Iterator[Because]:
    """A vacuum or a bag only while the adults sit: the evening window, or before sunrise."""
    opens, dusk, rise = window_opens(r.evening, c), r.evening.civil_dusk, r.evening.sunrise
    evening = opens is not None and dusk is not None
    if evening and opens is not None and dusk is not None:
        evening = not later(opens, r.starts) and not later(r.ends, dusk)
    early = rise is not None and not later(r.ends, rise)
    span = "no such hour" if opens is None or dusk is None else f"{opens:%H:%M} to {dusk:%H:%M}"
    yield _caution(
        f"adults sit still from {span}, or before sunrise",
        evening or early,
        f"table:methods/{r.method.key}/limits",
        "" if evening or early else _dusk_way(r, opens, dusk),
        _sit_again(r, opens),
    )
    sprayed = [a for a in r.same_evening if a.product is not None]
    yield _caution(
        "nothing sprayed on it the same day",
        not sprayed,
        "rule:covers_and_bags",
        "" if not sprayed else "on another evening",
        next_day(r.starts),
    )


def _sit_again(r: TreatmentRequest, opens: datetime | None) -> datetime | None:
    """When adults next sit still: the next evening window, else the night before a sunrise."""
    if opens is None:
        return None if r.evening.sunrise is None else next_day(r.starts)
    return opens if later(opens, r.starts) else opens + timedelta(days=1)


def _bag(r: TreatmentRequest, c: Cautions) -> Iterator[Because]:
    """An empty bag: on at dusk, off before one leaves, so that no sun ever reaches it."""
    yield from _at_dusk(r, c)
    rise = r.evening.sunrise
    if rise is not None and later(r.starts, rise):
        rise += timedelta(days=1)
    covering = Covering(
        "bag", r.planting, r.starts, r.ends, r.evening.sunset, rise, applied=r.earlier
    )
    yield from may_cover(covering, r.labels.values(), c).reasons


def _cover(r: TreatmentRequest, c: Cautions) -> Iterator[Because]:
    """Mesh day and night, but off for the bees; fleece off in heat."""
    if not r.cover:
        yield _caution("no mesh or fleece is written down", False, "plot:means", "write it down")
        return
    yield from _bees(r)
    fleece = r.cover == "fleece"
    covering = Covering(
        "fleece" if fleece else "open mesh", r.planting, r.starts, None, r.evening.sunset,
        r.evening.sunrise, r.evening.hottest_next_two_days_c,
    )  # fmt: skip
    for reason in may_cover(covering, (), c).reasons:
        yield reason if reason.holds else _caution(reason.says, False, "rule:covers_and_bags",
                                                   "open mesh stays on, also in heat")  # fmt: skip


def _bees(r: TreatmentRequest) -> Iterator[Because]:
    if r.planting.crop not in NEEDS_BEES:
        yield _caution("it needs no bees", True, "table:methods/row_cover/limits")
        return
    shut = r.planting.in_bloom is False
    yield _caution(
        "no flower is open yet; off with the first that bears a fruit"
        if shut
        else "bees must reach its flowers" + ("" if r.planting.in_bloom else ", if it has any"),
        shut,
        "rule:covers_and_bags",
        "" if shut else "hands; or write down that it is not in bloom",
    )


def _boards(r: TreatmentRequest, _c: Cautions) -> Iterator[Because]:
    early = r.ends.time() <= BOARDS_BEFORE and r.starts.date() == r.ends.date()
    yield _caution(
        f"boards are lifted in the morning, by {BOARDS_BEFORE:%H:%M}",
        early,
        "table:methods/board_trap/limits",
        "" if early else "lay them and come by in the morning, or pick by hand",
        next_day(r.starts),
    )


def _release(r: TreatmentRequest, c: Cautions) -> Iterator[Because]:
    """Animals let out: in air they live in, and not beside what kills them."""
    if r.method.key == "phytoseiulus":
        low, high = r.evening.temperature_low_c, r.evening.hottest_next_two_days_c
        holds = None not in (low, high)
        if low is not None and high is not None:
            holds = low >= MITES_FROM_C and high <= MITES_TO_C
        span = f"{measure(MITES_FROM_C, 'C')} to {measure(MITES_TO_C, 'C')}"
        yield _caution(
            f"predatory mites live in {span}, not in dry heat",
            holds,
            "table:methods/phytoseiulus/temp.max_c",
            "" if holds else "wait for milder days; water and soap meanwhile",
        )
    meets = [a for a in r.applied if a.planting == r.planting.key and _too_near(a, r.starts, c)]
    for a in meets[:1]:
        yield _caution(
            f"{a.active} of {said(a.at.astimezone(r.starts.tzinfo).date())} kills what is let out",
            False,
            f"table:methods/{r.method.key}/limits",
            "let them out when it is gone",
            _gone(meets, r.starts, c),
        )
    if not meets:
        yield _caution("nothing on it kills them", True, f"table:methods/{r.method.key}/limits")


def _gone(meets: Sequence[Applied], at: datetime, c: Cautions) -> datetime:
    """First day on which nothing on the plant kills what is let out any more."""
    days = (
        a.at.astimezone(at.tzinfo).date()
        + timedelta(days=HARSH_DAYS if _harsh(a.active, a.group, c) else SOFT_DAYS)
        for a in meets
    )
    return datetime.combine(max(days), time(), tzinfo=at.tzinfo)


def _too_near(a: Applied, at: datetime, c: Cautions) -> bool:
    days = (at.date() - a.at.astimezone(at.tzinfo).date()).days
    if not kills_released(a.active, a.group, c):
        return False
    harsh = _harsh(a.active, a.group, c)
    return -AFTER_DAYS < days < (HARSH_DAYS if harsh else SOFT_DAYS)


def _harsh(active: str, group: str, c: Cautions) -> bool:
    return group.upper().replace(" ", "") in HARSH_GROUPS or c.is_sulfur(active)


def kills_released(active: str, group: str, c: Cautions) -> bool:
    """Nerve poisons, spinosad and sulfur for days; soap and oil while they are wet."""
    return _harsh(active, group, c) or c.burns_in_heat(active)


def _spray(r: TreatmentRequest, c: Cautions) -> Iterator[Because]:
    """A spray does not meet a bag of the same evening, nor animals lately let out."""
    assert r.label is not None
    if any(a.method in AT_DUSK for a in r.same_evening):
        yield _caution("bagged or vacuumed the same evening", False, "rule:covers_and_bags",
                       "on another evening", next_day(r.starts))  # fmt: skip
    if not kills_released(r.label.active, r.label.group, c):
        return
    for a in r.applied:
        days = (r.starts.date() - a.at.astimezone(r.starts.tzinfo).date()).days
        if a.planting == r.planting.key and a.method in RELEASES and 0 <= days < AFTER_DAYS:
            free = a.at + timedelta(days=AFTER_DAYS)
            yield Because(
                f"it would kill what was let out on {said(a.at.date())}",
                holds=False,
                who="our caution",
                rests_on=(f"table:methods/{a.method}/limits",),
                lapses=free,
                way_out="hands and water until then",
            )


def _caution(
    says: str, holds: bool, rests_on: str, way_out: str = "", lapses: datetime | None = None
) -> Because:
    until = None if holds else lapses
    return Because(says, holds, "our caution", (rests_on,), lapses=until, way_out=way_out)


def _next_sunrise(r: TreatmentRequest) -> datetime | None:
    """The first sunrise after it was to begin; None where nobody knows when the sun rises."""
    rise = r.evening.sunrise
    if rise is None:
        return None
    return rise if later(rise, r.starts) else rise + timedelta(days=1)


CLAUSES: dict[str, Callable[[TreatmentRequest, Cautions], Iterator[Because]]] = {
    "water_jet": _jet,
    "vacuum": _at_dusk,
    "bag_enclosure": _bag,
    MESH: _cover,
    "board_trap": _boards,
    **dict.fromkeys(RELEASES, _release),
}
