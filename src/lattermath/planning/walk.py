"""The walk of one look: which leaves or plants, and what is counted on them, on ten at the most.

Everything that is looked for on a planting is counted on one set of leaves: low leaves serve for
what is sought on old ones, and where something else is sought too, half of the ten are low.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping, Sequence

from lattermath.planning.leaf_looks import what_to_look_for
from lattermath.planning.stage_now import WITH_NECK, StageNow
from lattermath.planning.ten_leaves import LEAVES
from lattermath.vocabulary.blanks import Wanted

# Where to look for each, and what to do there: after the position rows of the pest table.
LOW, OLD, ANY = "turn {n} low leaves", "turn {n} old leaves", "turn {n} leaves"
HALF_LOW = "turn {n} leaves, half of them low"
MIDDLE, YOUNG = "turn {n} leaves half-way up", "turn {n} young leaves"
BY_HEIGHT = {"low": LOW, "middle": MIDDLE, "young": YOUNG}
PLANTS = "look {plants} over"
NECKS, TAPPED = "follow {n} leaves down into the neck", "tap {n} young leaves over paper"
FLOWERS = "tap {n} flowers over paper"  # of a planting in flower, what gathers there
AS_OF_FLOWERS = "logged as of flowers (--surface flowers)"
WHAT_TO_COUNT: Mapping[str, tuple[str, str]] = {
    "greenhouse_whitefly": (LOW, "count pale scales"),
    "sweetpotato_whitefly": (LOW, "count pale scales"),
    "cabbage_whitefly": (LOW, "count pale scales"),
    "melon_aphid": (ANY, "count aphids"),
    "green_peach_aphid": (ANY, "count aphids"),
    "twospotted_spider_mite": (LOW, "count mites"),
    "squash_bug": (PLANTS, "count bugs at the stem base and egg rows under leaves"),
    "striped_cucumber_beetle": (PLANTS, "count beetles on leaves and flowers"),
    "squash_vine_borer": (PLANTS, "count sawdust holes and grubs at the stem base"),
    "imported_cabbageworm": (PLANTS, "count caterpillars along the ribs and in the heart"),
    "diamondback_moth": (PLANTS, "count small caterpillars under leaves and in the heart"),
    "cabbage_looper": (PLANTS, "count looping caterpillars under leaves"),
    "colorado_potato_beetle": (PLANTS, "count beetles and grubs on the tops"),
    "hornworms": (PLANTS, "count big caterpillars, by droppings and bare stalks"),
    "flea_beetles": (PLANTS, "count beetles before they jump"),
    "onion_thrips": (NECKS, "count thrips"),
    "western_flower_thrips": (TAPPED, "count thrips"),
    "cucurbit_powdery_mildew": (OLD, "note how much is white below and above"),
}
BOTH_SIDES = ("cucurbit_powdery_mildew",)  # judged below and above, each by itself
COUNTED = re.compile(r".+?(?= (?:at|on|along|under|before|by|in|and)\b|,|$)")  # without the where
OF_A_STAGE = ("scales", "eggs")  # words of one stage, which the blank is of
ELSE = (ANY, "count what sits below")
TEN = re.compile(r"\{n\}(?: \w+)? leaves")


def walk(
    organisms: Sequence[str],
    plants: int,
    now: Mapping[str, StageNow] | None = None,
    some: Collection[str] = (),
    flowers: Collection[str] = (),
    crop: str = "",
) -> str:
    """Where to look for all of these and what to count there, on one set of ten leaves.

    plants : of the planting; fewer than ten are all looked over.
    now    : what a look meets most of, where belief knows the stages, by organism.
    some   : organisms of which only the leaves (or plants) with any are counted; they come last.
    flowers: organisms that are tapped out of flowers here.
    crop   : of the planting; only leaves of the onion family are followed into a neck.
    """
    by_place: dict[str, list[str]] = {}
    for organism in sorted(dict.fromkeys(organisms), key=lambda one: one in some):
        stage = (now or {}).get(organism)
        where, what = where_and_what(organism, stage, tapped=organism in flowers, crop=crop)
        what = f"count {_with_any(organism, where, stage)}" if organism in some else what
        by_place.setdefault(where, []).append(what)
    turned = [where for where in by_place if "leaves" in where]
    head = _head(turned, one_a_plant=PLANTS in by_place and plants >= LEAVES)
    first: list[str] = []
    after: list[str] = []
    for where in turned:
        if where in (OLD, ANY, *BY_HEIGHT.values()) or len(turned) == 1:
            first += by_place[where]
        else:
            after.append(f"{TEN.sub('the same leaves', where)}, {', '.join(by_place[where])}")
    parts = [f"{head}, {_once(first)}"] if first else []
    if not first and after:  # the first of them names the leaves, the others take the same
        after[0] = after[0].replace("the same leaves", f"{LEAVES} leaves")
    others = [
        f"{where.format(plants=_over(plants), n=LEAVES)}, {_once(doings)}"
        f"{f', {AS_OF_FLOWERS}' if where == FLOWERS else ''}"
        for where, doings in by_place.items()
        if where not in turned
    ]
    return "; ".join([*parts, *after, *others]).format(n=LEAVES)


def one_height(
    organisms: Sequence[str], now: Mapping[str, StageNow] | None = None, crop: str = ""
) -> bool:
    """Are all ten leaves of the height at which everything sought on leaves sits?"""
    places = {where_and_what(one, (now or {}).get(one), crop=crop)[0] for one in organisms}
    return len({LOW if where == OLD else where for where in places if "leaves" in where}) <= 1


def wants_plants(organism: str) -> bool:
    """Is it counted on whole plants?"""
    return where_and_what(organism)[0] == PLANTS


def where_and_what(
    organism: str, now: StageNow | None = None, *, tapped: bool = False, crop: str = ""
) -> tuple[str, str]:
    """Which leaves or plants, and what to do there, with a disease's own signs.

    now : puts the leaves where most of what can be counted sits, and has eggs counted where there
          is hardly anything else yet.
    tapped : it is tapped out of flowers; eggs never are.
    crop : where it is counted; of one without a neck the leaves themselves are turned.
    """
    signs = what_to_look_for(organism)
    if not signs:
        where, what = WHAT_TO_COUNT.get(organism, ELSE)
        where = ANY if where == NECKS and crop not in WITH_NECK else where
        if tapped and (now is None or not now.eggs):
            return FLOWERS, f"count {_says(organism)}"
        if now is None:
            return where, what
        eggs = f"count {_eggs_of(organism)}"
        eggs = f"{eggs}, {now.place}" if where == PLANTS else eggs
        return (
            where if where in (PLANTS, NECKS, TAPPED) else BY_HEIGHT.get(now.height, where),
            eggs if now.eggs else what,
        )
    where, _, what = signs.partition(": ")
    return where, what


def how_to_count(
    organism: str, plants: int = LEAVES, *, tapped: bool = False, crop: str = ""
) -> str:
    """The same as one sentence, for a planting of so many plants."""
    where, what = where_and_what(organism, tapped=tapped, crop=crop)
    return f"{where.format(n=LEAVES, plants=_over(plants))}, {what}"


def counted_as(organism: str, now: StageNow | None = None) -> str:
    """What is counted of an organism: pale scales, whitefly eggs."""
    return next(wanted_of(organism, now)).says


def _with_any(organism: str, where: str, now: StageNow | None) -> str:
    units = {PLANTS: "plants", FLOWERS: "flowers"}.get(where, "leaves")
    return f"{units} with {counted_as(organism, now)}"


def wanted_of(
    organism: str, now: StageNow | None = None, *, some: bool = False, tapped: bool = False
) -> Iterator[Wanted]:
    """The blanks of a look for one organism: a count, or the share of leaf of a disease.

    some   : only how many of the leaves, or plants, have any.
    tapped : it is tapped out of flowers.
    """
    where = where_and_what(organism, now, tapped=tapped)[0]
    if some:
        stage = next(wanted_of(organism, now)).stage
        says = _with_any(organism, where, now)
        yield Wanted(
            organism, says, stage, some=True, flowers=where == FLOWERS, plants=where == PLANTS
        )
        return
    if where == FLOWERS:
        yield Wanted(organism, f"{_says(organism)} in flowers", flowers=True)
        return
    if organism in BOTH_SIDES:
        yield Wanted(organism, "% below", share_of="underside")
        yield Wanted(organism, "% above", share_of="top")
    elif what_to_look_for(organism):
        yield Wanted(organism, "% of the leaf", share_of="top")
    elif now is not None and now.eggs:
        yield Wanted(organism, _eggs_of(organism), "eggs", plants=where == PLANTS)
    else:
        says = _says(organism)
        stage = next((one for one in OF_A_STAGE if says.endswith(one)), "")
        yield Wanted(organism, says, stage, plants=where == PLANTS)


def _says(organism: str) -> str:
    """What is counted, without where: pale scales."""
    words = COUNTED.match(WHAT_TO_COUNT.get(organism, ELSE)[1].rpartition("count ")[2])
    return words[0] if words and organism in WHAT_TO_COUNT else "counted"


def words_of_looks(organism: str, *, gathers: bool = False) -> Iterator[Wanted]:
    """Every word in which a look may ask to count an insect, as the blank it would stand in.

    gathers : in flowers, out of which it is tapped.
    """
    counted = next(wanted_of(organism))
    yield counted
    yield Wanted(organism, _eggs_of(organism), "eggs")
    whole = WHAT_TO_COUNT.get(organism, ELSE)[1].rpartition("count ")[2]
    yield Wanted(organism, whole, counted.stage)
    if gathers:
        yield from wanted_of(organism, tapped=True)


def _head(turned: Sequence[str], *, one_a_plant: bool) -> str:
    """Which leaves serve for all of these places."""
    if len(turned) == 1:
        (head,) = turned
    else:
        low = [where for where in turned if "{n} low" in where or "{n} old" in where]
        head = LOW if len(low) == len(turned) else HALF_LOW if low else ANY
    return f"{head}, one a plant" if one_a_plant else head


def _once(doings: Sequence[str]) -> str:
    first, *more = dict.fromkeys(doings)
    return ", ".join([first, *(one.removeprefix("count ") for one in more)])


def _eggs_of(organism: str) -> str:
    """Eggs as a grower names them: no eye tells those of one whitefly from another's."""
    return f"{organism.rpartition('_')[2].removesuffix('s')} eggs"


def _over(plants: int) -> str:
    if plants >= LEAVES:
        return f"{LEAVES} plants"
    return f"all {plants} plants" if plants > 1 else "the plant"
