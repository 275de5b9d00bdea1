"""What to look at on a visit: which planting, which leaves, what to count."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from lattermath.planning.course_task import Task as Course
from lattermath.planning.leaf_looks import what_to_look_for
from lattermath.planning.task_ids import task_id
from lattermath.planning.ten_leaves import LEAVES, ten_leaves
from lattermath.planning.worth_of_look import LookWorth
from lattermath.vocabulary.blanks import Wanted
from lattermath.vocabulary.calendar import short
from lattermath.vocabulary.plan import NotToday, Task
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.ruling import Because

MINUTES_A_LOOK = 4.0  # judgement
MOST_FIRST_MINUTES = 10.0  # judgement: a first look is rough, and grows with the visits
LONG_AGO_DAYS = 14  # judgement: after two weeks a suspect is looked at whatever is reckoned
RECKONED = "computed:courses on the same futures, after each count that might be made"
EYES = "computed:clumping of insects and error of a look (judgement)"
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
BOTH_SIDES = ("cucurbit_powdery_mildew",)  # judged below and above, each by itself
COUNTED = re.compile(r".+?(?= (?:at|on|along|under|before|by|in|and)\b|,|$)")  # without the where
ELSE = (ANY, "count what sits below")
MINUTES_MORE = 1.5  # judgement: for each further thing counted on the same plants


Reckon = Callable[[Sequence[int]], Mapping[int, LookWorth]]


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
    worth: LookWorth | None = None  # None where it is not reckoned
    tells: str = ""  # what ten leaves can say and what not


def looking_tasks(visit: date, watches: Iterable[Watch]) -> list[Task]:
    """Give the looks worth taking at this visit, one a planting.

    What decides a treatment comes first, then what is worth most a minute.
    """
    looks = sorted(_groups(visit, watches), key=lambda group: _first(visit, group))
    return [_task(visit, group) for group in looks if _pays(visit, group)]


def first_look(visit: date, standing: Sequence[Planting]) -> list[Task]:
    """One look over all plantings of a plot on which nobody ever looked; none where none stand."""
    if not standing:
        return []
    return [
        Task(
            id=task_id(visit, "look", None, "first"),
            kind="look",
            part="look",
            says=f"Each planting once: turn {LEAVES} leaves, see tips and stems. Log what sits "
            "there, or that nothing does.",
            minutes=min(MINUTES_A_LOOK * len(standing), MOST_FIRST_MINUTES),
            because=(
                Because(
                    "nobody has looked yet: what lives here is taken from the weather and from "
                    "what is usual",
                    rests_on=(EYES,),
                ),
            ),
        )
    ]


def with_worth(
    watches: Iterable[Watch], task: Course, visit: date, reckon: Reckon
) -> tuple[Watch, ...]:
    """The watches of one cluster, those not looked at lately with what a look is worth.

    visit  : the first, at which the look would be.
    reckon : worth of a look by place, as of `looks_worth`.
    """
    places = {stand.key: place for place, stand in enumerate(task.belief.stands)}
    held = tuple(watches)
    due = [places[watch.planting.key] for watch in held if stale(visit, watch)]
    worths = reckon(due)
    day = task.belief.first_day + task.visits[0]
    told = {p: ten_leaves(task.belief.life.figures, task.belief.stands[p], day) for p in due}
    return tuple(
        replace(
            watch,
            worth=worths.get(place),
            tells=told[place].says if place in told else "",
        )
        for watch in held
        for place in [places[watch.planting.key]]
    )


def not_worth_looking(visit: date, watches: Iterable[Watch]) -> list[NotToday]:
    """The plantings that would be due for a look and are not worth its minutes."""
    return [
        NotToday(
            f"{group[0].planting.name}: no look at {_listed(group)}",
            group[0].planting.key,
            (Because(_no_worth(group), holds=False, rests_on=(RECKONED,)),),
        )
        for group in _groups(visit, watches)
        if not _pays(visit, group)
    ]


def _groups(visit: date, watches: Iterable[Watch]) -> list[list[Watch]]:
    """What is due for a look, by planting."""
    wanted: dict[str, list[Watch]] = {}
    for watch in watches:
        if _wanted(visit, watch):
            wanted.setdefault(watch.planting.key, []).append(watch)
    return list(wanted.values())


def _first(visit: date, group: Sequence[Watch]) -> tuple[bool, float, bool, str]:
    decides = any(_decides(visit, watch) for watch in group)
    suspected = any(watch.suspected for watch in group)
    return not decides, -_worth(group) / _minutes(group), not suspected, group[0].planting.key


def _minutes(group: Sequence[Watch]) -> float:
    organisms = len({watch.organism for watch in group})
    return MINUTES_A_LOOK + MINUTES_MORE * (organisms - 1)


def _worth(group: Sequence[Watch]) -> float:
    """Minutes of work that looking for all of them is worth; the not reckoned just pays."""
    return sum(MINUTES_A_LOOK if w.worth is None else w.worth.minutes for w in group)


def _pays(visit: date, group: Sequence[Watch]) -> bool:
    """Whether a look is worth its minutes; what a treatment waits for is always looked at.

    So is what has not been looked at for long: the model may be wrong in ways it does not know.
    """
    if any(_decides(visit, watch) or _long_ago(visit, watch) for watch in group):
        return True
    return _worth(group) >= _minutes(group)


def _long_ago(visit: date, watch: Watch) -> bool:
    last = watch.last_looked
    return watch.suspected and (last is None or (visit - last).days >= LONG_AGO_DAYS)


def _listed(group: Sequence[Watch]) -> str:
    return " and ".join(dict.fromkeys(watch.organism_name for watch in group))


def _no_worth(group: Sequence[Watch]) -> str:
    worth, takes = _worth(group), _minutes(group)
    return (
        f"hardly any count of {LEAVES} leaves would change what is done: worth about "
        f"{_rounded(worth)} min of work, and it takes {takes:g}"
    )


def _rounded(minutes: float) -> str:
    return f"{minutes:.0f}" if minutes >= 0.95 else f"{minutes:.1f}" if minutes >= 0.1 else "0"


def _decides(visit: date, watch: Watch) -> bool:
    return bool(watch.decides) and watch.decides_on in (None, visit)


def stale(visit: date, watch: Watch) -> bool:
    """Was it not looked at lately?"""
    last = watch.last_looked
    return last is None or (visit - last).days >= STALE_AFTER_DAYS


def _wanted(visit: date, watch: Watch) -> bool:
    if _decides(visit, watch):
        return True
    pays = watch.worth is not None and watch.worth.minutes >= MINUTES_A_LOOK
    return stale(visit, watch) and (watch.suspected or watch.neighbour_of_sick or pays)


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
        minutes=_minutes(group),
        because=tuple(reason for watch in group for reason in _reasons(watch)),
        if_skipped="the next treatment is decided blind" if deciding else "",
        must=any(watch.found for watch in deciding),
        wanted=tuple(wanted for organism in organisms for wanted in _wanted_of(organism)),
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


def _wanted_of(organism: str) -> Iterator[Wanted]:
    """The blanks of a look for one organism: a count, or the share of leaf of a disease."""
    if organism in BOTH_SIDES:
        yield Wanted(organism, "% below", share_of="underside")
        yield Wanted(organism, "% above", share_of="top")
    elif what_to_look_for(organism):
        yield Wanted(organism, "% of the leaf", share_of="top")
    else:
        what = _where_and_what(organism)[1].rpartition("count ")[2]
        words = COUNTED.match(what)
        says = words[0] if words and organism in WHAT_TO_COUNT else "counted"
        yield Wanted(organism, says, "scales" if says.endswith("scales") else "")


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
    if watch.worth is not None and watch.worth.minutes >= 1:
        yield Because(_worth_says(watch.worth), rests_on=(RECKONED,))
    if watch.tells:
        units = "plants" if _where_and_what(watch.organism)[0] == PLANTS else "leaves"
        yield Because(f"ten {units} are {watch.tells}", rests_on=(EYES,))
    if watch.neighbour_of_sick:
        yield Because(
            f"{watch.organism_name} adults flushed by work settle on plants close by",
            rests_on=(f"table:organisms/{watch.organism}/disturbance.flush_fraction",),
        )


def _worth_says(worth: LookWorth) -> str:
    """What the look is worth, and the count at which the grower would turn."""
    says = f"the look is worth about {_rounded(worth.minutes)} min of work"
    if worth.severity is not None:
        turn = f"from {worth.severity:g} % of the leaf" if worth.severity else "where any is seen"
        return f"{says}: {worth.above} {turn}, else {worth.below}"
    if worth.turns_at is None:
        return says
    turn = f"{worth.above} from {worth.turns_at} in all on {LEAVES}"
    # More leaves only add to a total: what is reached early is reached on ten.
    return f"{says}: {turn} (stop counting there), below {worth.below}"
