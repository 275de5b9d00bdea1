"""What to look at on a visit: which planting, which leaves, what to count."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from lattermath.planning.awaited_count import due, still_awaited
from lattermath.planning.course_task import Task as Course
from lattermath.planning.look_reasons import EYES, RECKONED, look_reasons, rounded
from lattermath.planning.stage_now import StageNow
from lattermath.planning.task_ids import task_id
from lattermath.planning.ten_leaves import LEAVES, ten_leaves
from lattermath.planning.told_apart import blank_of, stops, told_apart, without_number
from lattermath.planning.walk import one_height, walk, wanted_of, wants_plants
from lattermath.planning.watch import Watch
from lattermath.planning.worth_of_look import LookWorth
from lattermath.vocabulary.plan import NotToday, Task
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.ruling import Because
from lattermath.vocabulary.sentence import inside

if TYPE_CHECKING:
    from lattermath.planning.treating import Spraying

MINUTES_A_LOOK = 4.0  # judgement
MOST_FIRST_MINUTES = 10.0  # judgement: a first look is rough, and grows with the visits
LONG_AGO_DAYS = 14  # judgement: after two weeks a suspect is looked at whatever is reckoned
TELLS_WHY = " Tells why the last look did not fit."
STALE_AFTER_DAYS = 6  # judgement: a count says little about the next generation

# Judgement: what nobody has seen is looked for about every ten days, at few plantings a visit (one
# where there is enough to look at) and few things a planting; where none sit, nothing is counted.
UNSEEN_AGAIN_DAYS, MOST_UNSEEN, MOST_THINGS, MINUTES_UNSEEN = 10, 2, 3, 0.5
MINUTES_MORE = 1.5  # judgement: for each further thing counted on the same plants

Reckon = Callable[[Mapping[int, str]], Mapping[int, LookWorth]]


def looking_tasks(visit: date, watches: Iterable[Watch]) -> list[Task]:
    """Give the looks worth taking at this visit, one a planting.

    What decides a treatment comes first, then what is worth most a minute, then a few plantings
    that have not been looked over for what may have come unseen.
    """
    held = tuple(watches)
    known = [group for group in _groups(visit, held) if _pays(visit, group)]
    looks = sorted(_with_unseen(visit, known, held), key=lambda group: _first(visit, group))
    most = MOST_UNSEEN if len(known) <= MOST_UNSEEN else 1
    later = [group for group in looks if _all_unseen(group)][most:]
    return [_task(visit, group) for group in looks if group not in later]


def after_looks(watches: Iterable[Watch], done: Iterable[tuple[date, Task]]) -> list[Watch]:
    """The same watches after the looks of earlier visits, each with its day."""
    looked: dict[tuple[str | None, str], date] = {}
    walked: dict[tuple[str | None, bool], date] = {}
    for day, task in done:
        for wanted in task.wanted:
            looked[task.planting, wanted.organism] = day
            walked[task.planting, wants_plants(wanted.organism)] = day
    return [
        replace(
            watch,
            last_looked=looked.get((watch.planting.key, watch.organism), watch.last_looked),
            walked=walked.get((watch.planting.key, wants_plants(watch.organism)), watch.walked),
            tells_why=watch.tells_why and (watch.planting.key, watch.organism) not in looked,
            awaited=still_awaited(watch.awaited, looked.get((watch.planting.key, watch.organism))),
        )
        for watch in watches
    ]


def decided_by_looks(
    day: date, watches: Iterable[Watch], wanted: Iterable[Spraying]
) -> list[Watch]:
    """The watches of an evening; those whose treatment is made whatever they find decide nothing.

    wanted : the treatments of that evening, each of them joined against all that it is for.
    """
    waits, sure = set[tuple[str, str]](), set[tuple[str, str]]()
    for one in wanted:
        pairs = [(one.target, one.look_at), *zip(one.targets_too, one.looks_too, strict=True)]
        (waits if one.only_if else sure).update(
            ((look_at or one.planting).key, target) for target, look_at in pairs
        )
    return [
        _undecided(watch)
        if watch.decides_on == day and (watch.planting.key, watch.organism) in sure - waits
        else watch
        for watch in watches
    ]


def _undecided(watch: Watch) -> Watch:
    """The watch with no number told at which to treat, for it is treated anyway."""
    worth = watch.worth
    bare = None if worth is None else LookWorth(worth.minutes, worth.would_change, of=worth.of)
    return replace(watch, decides="", decides_on=None, worth=bare)


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
    watches: Iterable[Watch],
    task: Course,
    visit: date,
    now: Callable[[int], StageNow | None],
    reckon: Reckon,
) -> tuple[Watch, ...]:
    """The watches of one cluster, those not looked at lately with what a look is worth.

    visit  : the first, at which the look would be.
    now    : what a look meets most of at a place then.
    reckon : worth of a look by place, as of `looks_worth`, for the stage counted there.
    """
    places = {stand.key: place for place, stand in enumerate(task.belief.stands)}
    held = tuple(watches)
    due = {p: now(p) for p in (places[w.planting.key] for w in held if stale(visit, w))}
    eggs = {place for place, one in due.items() if one is not None and one.eggs}
    worths = reckon({place: "eggs" if place in eggs else "" for place in due})
    day = task.belief.first_day + task.visits[0]
    told = {
        p: ten_leaves(task.belief.life.figures, task.belief.stands[p], day).says
        for p in due
        if p not in eggs  # what is heavy is told of what growers count
    }
    return tuple(
        replace(watch, worth=worths.get(place), tells=told.get(place, ""), now=due.get(place))
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


def _with_unseen(
    visit: date, known: list[list[Watch]], watches: Sequence[Watch]
) -> list[list[Watch]]:
    """The looks with what may sit on the same leaves unseen, and looks for that alone.

    A planting is looked over anew some ten days after its leaves, or plants, were last turned;
    where they are turned anyway, what was not looked for lately is looked for with it. What was
    looked for longest ago, or never, comes first, so that the slow get their turn too.
    """
    looks = {group[0].planting.key: list(group) for group in known}
    tonight = {w.planting.key for w in watches if _days_ago(visit, w.last_looked) <= 0}
    for watch in sorted(watches, key=lambda w: (w.last_looked or date.min, -w.unseen)):
        here = looks.get(watch.planting.key, [])
        same = [w for w in here if wants_plants(w.organism) == wants_plants(watch.organism)]
        if not watch.unseen or watch.planting.key in tonight:  # it was looked over already
            continue
        if _days_ago(visit, watch.last_looked) < UNSEEN_AGAIN_DAYS:
            continue
        anyway = any(not w.unseen for w in same)
        due = anyway or _days_ago(visit, watch.walked) >= UNSEEN_AGAIN_DAYS
        if due and len(same) == len(here) < MOST_THINGS:  # leaves or plants, not both for it
            looks[watch.planting.key] = [*here, watch]
    return list(looks.values())


def _days_ago(visit: date, last: date | None) -> float:
    return float("inf") if last is None else (visit - last).days


def _all_unseen(group: Sequence[Watch]) -> bool:
    return all(watch.unseen for watch in group)


def _groups(visit: date, watches: Iterable[Watch]) -> list[list[Watch]]:
    """What is known or suspected and due for a look, by planting."""
    wanted: dict[str, list[Watch]] = {}
    for watch in watches:
        if not watch.unseen and _wanted(visit, watch):
            wanted.setdefault(watch.planting.key, []).append(watch)
    return [_on_one_walk(visit, group) for group in wanted.values()]


def _on_one_walk(visit: date, group: list[Watch]) -> list[Watch]:
    """What is counted on leaves and what on plants together only where ten of each are the same.

    Where fewer plants stand, one figure would have to say how many leaves and how many plants:
    the less urgent waits for the next visit, unless a treatment waits for it, before or after.
    """
    if group[0].planting.plants >= LEAVES:
        return group
    first = min(group, key=lambda watch: _first(visit, [watch]))
    plants = wants_plants(first.organism)
    return [
        watch
        for watch in group
        if wants_plants(watch.organism) == plants
        or _decides(visit, watch)
        or _hangs(visit, watch)
        or due(watch.awaited, visit)
    ]


def _first(visit: date, group: Sequence[Watch]) -> tuple[int, bool, float, bool, str]:
    matters = max(_matters(visit, watch) for watch in group)
    suspected = any(watch.suspected for watch in group)
    worth = sum(w.unseen for w in group) if _all_unseen(group) else _worth(group)
    if any(due(watch.awaited, visit) for watch in group):
        worth = max(worth, MINUTES_A_LOOK)  # it goes before what is worth nothing
    key = group[0].planting.key
    return -matters, _all_unseen(group), -worth / _minutes(group), not suspected, key


def _matters(visit: date, watch: Watch) -> int:
    if _decides(visit, watch) or _hangs(visit, watch):
        return 2
    return int(watch.tells_why)


def _minutes(group: Sequence[Watch]) -> float:
    known = len({watch.organism for watch in group if not watch.unseen})
    unseen = len({watch.organism for watch in group if watch.unseen})
    if not known:
        return MINUTES_A_LOOK + MINUTES_UNSEEN * (unseen - 1)
    return MINUTES_A_LOOK + MINUTES_MORE * (known - 1) + MINUTES_UNSEEN * unseen


def _worth(group: Sequence[Watch]) -> float:
    """Minutes of work that looking for all of them is worth; the not reckoned just pays."""
    known = [watch for watch in group if not watch.unseen]
    return sum(MINUTES_A_LOOK if w.worth is None else w.worth.minutes for w in known)


def _owed(visit: date, watch: Watch) -> bool:
    """Whether a look is taken whatever it is reckoned to be worth."""
    asked = _decides(visit, watch) or _hangs(visit, watch)
    return asked or watch.tells_why or bool(due(watch.awaited, visit))


def _pays(visit: date, group: Sequence[Watch]) -> bool:
    """Whether a look is worth its minutes; what a treatment waits for is always looked at.

    So is what was not looked at for long, or did not fit: the model may be wrong unknowingly.
    """
    if any(_owed(visit, w) or _long_ago(visit, w) for w in group):
        return True
    return _worth(group) >= _minutes(group)


def _long_ago(visit: date, watch: Watch) -> bool:
    return watch.suspected and _days_ago(visit, watch.last_looked) >= LONG_AGO_DAYS


def _listed(group: Sequence[Watch]) -> str:
    return " and ".join(dict.fromkeys(watch.organism_name for watch in group))


def _no_worth(group: Sequence[Watch]) -> str:
    worth, takes = _worth(group), _minutes(group)
    return (
        f"hardly any count of {LEAVES} leaves would change what is done: worth about "
        f"{rounded(worth)} min of work, and it takes {takes:g}"
    )


def _decides(visit: date, watch: Watch) -> bool:
    return bool(watch.decides) and watch.decides_on in (None, visit)


def _hangs(visit: date, watch: Watch) -> bool:
    """Is a crop given up, or taken out, for what nobody looked for there lately?"""
    return bool(watch.hangs) and stale(visit, watch)


def stale(visit: date, watch: Watch) -> bool:
    """Was it not looked at lately?"""
    return _days_ago(visit, watch.last_looked) >= STALE_AFTER_DAYS


def _wanted(visit: date, watch: Watch) -> bool:
    if watch.last_looked is not None and watch.last_looked >= visit:
        return False  # it was done already tonight
    if _owed(visit, watch):
        return True
    pays = watch.worth is not None and watch.worth.minutes >= MINUTES_A_LOOK
    return stale(visit, watch) and (watch.suspected or watch.neighbour_of_sick or pays)


def _task(visit: date, watches: Sequence[Watch]) -> Task:
    group = _counted_out_where_mixed(watches)
    planting, apart = group[0].planting, told_apart(group)
    deciding = [watch for watch in group if _decides(visit, watch)]
    odd = TELLS_WHY if any(watch.tells_why for watch in group) else _tells_of(visit, group)
    any_found = without_number([w for w in deciding if w.decides_on is not None], apart)
    hang = next((watch for watch in group if _hangs(visit, watch)), None)
    decides = f" Decides {deciding[0].decides}." if deciding else "" if hang is not None else odd
    if hang is not None:
        decides += f" Tells {hang.hangs}."
    organisms = tuple(dict.fromkeys(watch.organism for watch in group))
    now = {watch.organism: watch.now for watch in group if watch.now is not None}
    some = {watch.organism for watch in group if _only_some(watch)}
    taps = {watch.organism for watch in group if watch.flowers}
    return Task(
        id=task_id(visit, "look", planting.key, "+".join(organisms)),
        kind="look",
        part="look",
        planting=planting.key,
        says=f"{planting.name}: {walk(organisms, planting.plants, now, some, taps, planting.crop)}."
        f"{stops(group)}{any_found}{decides}",
        minutes=_minutes(group),
        because=tuple(reason for watch in group for reason in look_reasons(watch, apart)),
        if_skipped=_if_skipped(deciding, hang),
        must=hang is not None or any(watch.found for watch in deciding),
        wanted=tuple(
            blank_of(wanted, group, apart)
            for one in organisms
            for wanted in wanted_of(one, now.get(one), some=one in some, tapped=one in taps)
        ),
    )


def _if_skipped(deciding: Sequence[Watch], hang: Watch | None) -> str:
    if deciding:
        return f"{deciding[0].decides} is decided blind"
    if hang is None:
        return ""
    return f"nobody knows of {inside(hang.planting.name)} {hang.hangs}"


def _tells_of(visit: date, group: Sequence[Watch]) -> str:
    """The treatment of which a count tells that is looked for here; "" for none."""
    first = next((one for watch in group for one in due(watch.awaited, visit)), None)
    return "" if first is None else f" Tells what {first.treatment} took."


def _counted_out_where_mixed(group: Sequence[Watch]) -> Sequence[Watch]:
    """Without early stops where leaves of two heights serve for several things.

    A stop is reckoned for ten leaves that are all alike. Eggs sit on young leaves: the first low
    one, with none, would end the look, and ten of ten could not be reached.
    """
    now = {watch.organism: watch.now for watch in group if watch.now is not None}
    if one_height([watch.organism for watch in group], now, group[0].planting.crop):
        return group
    return [watch if wants_plants(watch.organism) else _counted_out(watch) for watch in group]


def _counted_out(watch: Watch) -> Watch:
    worth = watch.worth
    if worth is None or not (worth.ways or worth.enough):
        return watch
    return replace(watch, worth=replace(worth, none_on=None, ways=(), enough=None), mixed=True)


def _only_some(watch: Watch) -> bool:
    """Are only the leaves with any counted?"""
    ways = watch.worth.ways if watch.worth is not None else ()
    return bool(ways) and ways[0].kind == "some"
