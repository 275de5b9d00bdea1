"""What to look at on a visit: which planting, which leaves, what to count."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from lattermath.planning.leaf_looks import what_to_look_for
from lattermath.planning.task_ids import task_id
from lattermath.vocabulary.calendar import short
from lattermath.vocabulary.plan import Task
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.ruling import Because

LEAVES = 10  # common practice: ten leaves are enough to say heavy, not to say clear
MINUTES_A_LOOK = 4.0  # judgement
STALE_AFTER_DAYS = 6  # judgement: a count says little about the next generation

# Where to look for each, and what to do there: after the position rows of the pest table.
LOW, ANY, PLANTS = "turn {n} low leaves", "turn {n} leaves", "look {n} plants over"
WHAT_TO_COUNT: Mapping[str, tuple[str, str]] = {
    "greenhouse_whitefly": (LOW, "count pale scales"),
    "sweetpotato_whitefly": (LOW, "count pale scales"),
    "cabbage_whitefly": (LOW, "count pale scales"),
    "melon_aphid": (ANY, "count aphids"),
    "green_peach_aphid": (ANY, "count aphids"),
    "twospotted_spider_mite": (LOW, "count mites"),
    "squash_bug": (PLANTS, "count bugs at the stem base and egg rows under leaves"),
    "striped_cucumber_beetle": (PLANTS, "count beetles on leaves and flowers"),
    "squash_vine_borer": (PLANTS, "count eggs and sawdust holes at the stem base"),
    "imported_cabbageworm": (PLANTS, "count caterpillars along the ribs and in the heart"),
    "diamondback_moth": (PLANTS, "count small caterpillars under leaves and in the heart"),
    "cabbage_looper": (PLANTS, "count looping caterpillars under leaves"),
    "colorado_potato_beetle": (PLANTS, "count beetles and grubs on the tops"),
    "hornworms": (PLANTS, "count big caterpillars, by droppings and bare stalks"),
    "flea_beetles": (PLANTS, "count beetles before they jump"),
    "onion_thrips": (PLANTS, "count thrips in the necks"),
    "western_flower_thrips": (PLANTS, "tap flowers over paper, count thrips"),
    "cucurbit_powdery_mildew": (
        "turn {n} old leaves",
        "note how much is white below and above",
    ),
}
ELSE = (ANY, "count what sits below")
MINUTES_MORE = 1.5  # judgement: for each further thing counted on the same plants


@dataclass(frozen=True, slots=True)
class Watch:
    """One planting that may carry an organism."""

    organism: str
    organism_name: str
    planting: Planting
    last_looked: date | None
    suspected: bool  # something has been seen on it
    found: bool = False  # seen on it, and not missed since
    neighbour_of_sick: bool = False  # adults flushed by work would settle here
    decides: str = ""  # what the count decides
    decides_on: date | None = None  # the visit on which it decides it
    because: tuple[Because, ...] = ()  # why it is looked for at all


def looking_tasks(visit: date, watches: Iterable[Watch]) -> list[Task]:
    """Give the looks worth taking at this visit, one a planting, what decides something first."""
    wanted: dict[str, list[Watch]] = {}
    for watch in watches:
        if _wanted(visit, watch):
            wanted.setdefault(watch.planting.key, []).append(watch)
    looks = sorted(wanted.values(), key=lambda group: _first(visit, group))
    return [_task(visit, group) for group in looks]


def _first(visit: date, group: Sequence[Watch]) -> tuple[bool, bool, str]:
    decides = any(_decides(visit, watch) for watch in group)
    suspected = any(watch.suspected for watch in group)
    return not decides, not suspected, group[0].planting.key


def _decides(visit: date, watch: Watch) -> bool:
    return bool(watch.decides) and watch.decides_on in (None, visit)


def _wanted(visit: date, watch: Watch) -> bool:
    if _decides(visit, watch):
        return True
    stale = watch.last_looked is None or (visit - watch.last_looked).days >= STALE_AFTER_DAYS
    return stale and (watch.suspected or watch.neighbour_of_sick)


def _task(visit: date, group: Sequence[Watch]) -> Task:
    planting = group[0].planting
    deciding = [watch for watch in group if _decides(visit, watch)]
    decides = f" Decides {deciding[0].decides}." if deciding else ""
    organisms = tuple(dict.fromkeys(watch.organism for watch in group))
    return Task(
        id=task_id(visit, "look", planting.key, "+".join(organisms)),
        kind="look",
        part="look",
        planting=planting.key,
        says=f"{planting.name}: {_what(organisms)}.{decides}",
        minutes=MINUTES_A_LOOK + MINUTES_MORE * (len(organisms) - 1),
        because=tuple(reason for watch in group for reason in _reasons(watch)),
        if_skipped="the next treatment is decided blind" if deciding else "",
        must=any(watch.found for watch in deciding),
    )


def _what(organisms: Sequence[str]) -> str:
    """Where to look and what to count there, each place once."""
    by_place: dict[str, list[str]] = {}
    for organism in organisms:
        where, what = _where_and_what(organism)
        by_place.setdefault(where, []).append(what)
    parts = []
    for where, doings in by_place.items():
        first, *more = dict.fromkeys(doings)
        words = [first, *(one.removeprefix("count ") for one in more)]
        parts.append(f"{where.format(n=LEAVES)}, {', '.join(words)}")
    return "; ".join(parts)


def _where_and_what(organism: str) -> tuple[str, str]:
    """Which leaves or plants, and what to do there, with a disease's own signs."""
    signs = what_to_look_for(organism)
    if not signs:
        return WHAT_TO_COUNT.get(organism, ELSE)
    where, _, what = signs.partition(": ")
    return where, what


def _reasons(watch: Watch) -> Iterator[Because]:
    last = (
        "never looked at"
        if watch.last_looked is None
        else f"last looked at {short(watch.last_looked)}"
    )
    says = f"{watch.planting.name}, {watch.organism_name}: {last}"
    yield Because(says, rests_on=(f"plot:planting/{watch.planting.key}",))
    yield from watch.because
    if watch.neighbour_of_sick:
        yield Because(
            f"{watch.organism_name} adults flushed by work settle on plants close by",
            rests_on=(f"table:organisms/{watch.organism}/disturbance.flush_fraction",),
        )
