"""What one plan has otherwise than another: tasks, verdicts, courses; both as plain data."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import Any

from lattermath.planning.watering_tasks import cans
from lattermath.vocabulary.calendar import said
from lattermath.vocabulary.sentence import capital, inside
from lattermath.vocabulary.supposition import Changed, How

Plain = Mapping[str, Any]  # a plan, or a part of one, as `plan --json` writes it
Names = Mapping[str, str]
Key = tuple[str, ...]
SPARE = ("at home",)  # parts of a visit that are no work at the plot


def tasks_changed(
    before: Sequence[Plain],
    after: Sequence[Plain],
    names: Names,
    kinds: dict[str, str] | None = None,
) -> list[Changed]:
    """What work the visits `after` have otherwise than those `before`.

    A task is the same where its kind, planting, product and method are; an evening later or
    earlier it is moved.

    kinds : filled with the kind of work under the words of each change.
    """
    was, now = _by_key(before), _by_key(after)
    told = {} if kinds is None else kinds
    changes = []
    for key, (day, task) in now.items():
        old = was.get(key)
        if old is None or old[0] != day:
            says = title_of(task, names)
            told[says] = task["kind"]
            how: How = "added" if old is None else "moved"
            changes.append(Changed(how, says, task["planting"], day, old and old[0]))
    for key, (day, task) in was.items():
        if key not in now:
            says = title_of(task, names)
            told[says] = task["kind"]
            changes.append(Changed("dropped", says, task["planting"], None, day))
    return changes


def water_changed(
    before: Sequence[Plain], after: Sequence[Plain], names: Names, can_litres: float
) -> list[Changed]:
    """What the beds get otherwise on an evening on which both plans water, bed by bed.

    Told in cans, to half a can; where water goes in whole on one side only, that is another task.
    """
    was, now = _poured(before), _poured(after)
    changes = []
    for day in [one for one in was if one in now]:
        old, new = was[day], now[day]
        told = [_cans(sum(held.values()), can_litres) for held in (new, old)]
        beds = [
            f"{inside(names.get(key, key))} {each[0]}, was {each[1]}"
            for key in dict.fromkeys([*old, *new])
            if (each := [_cans(held.get(key, 0.0), can_litres) for held in (new, old)])
            and each[0] != each[1]
        ]
        if beds:
            head = f"water on {said(day)}: {told[0]}, was {told[1]}"
            changes.append(Changed("otherwise", capital(f"{head} ({'; '.join(beds)})"), day=day))
    return changes


def _poured(visits: Iterable[Plain]) -> dict[date, dict[str, float]]:
    """Litres by planting, of each evening on which any are poured."""
    found: dict[date, dict[str, float]] = {}
    for visit in visits:
        for task in visit["tasks"]:
            for one in task["amounts"] if task["kind"] == "water" else ():
                beds = found.setdefault(date.fromisoformat(visit["date"]), {})
                beds[one["planting"]] = beds.get(one["planting"], 0.0) + float(one["quantity"])
    return found


def _cans(litres: float, can_litres: float) -> str:
    return cans(litres / can_litres)


def verdicts_changed(before: Plain, after: Plain) -> list[Changed]:
    """Verdicts that turn, with what they were; those of plantings that only one plan knows."""
    was = {one["planting"]: one for one in before["verdicts"]}
    now = {one["planting"]: one for one in after["verdicts"]}
    names = dict(after["names"]) | dict(before["names"])
    changes = []
    for key in [*now, *(key for key in was if key not in now)]:
        old, new = (_verdict_words(held.get(key)) for held in (was, now))
        if old != new:
            says = f"{names.get(key, key)}: {new}, was {old}"
            changes.append(Changed("otherwise", says, key))
    return changes


def courses_changed(before: Plain, after: Plain) -> list[Changed]:
    """Courses with another first day, or another number of treatments.

    What one of the two does not tell counts as without treatment: it may have been there all along.
    """
    was, now = ({one["organism"]: one for one in plan["populations"]} for plan in (before, after))
    names = dict(before["names"]) | dict(after["names"])
    changes = []
    for organism in dict.fromkeys([*now, *was]):
        old, new = (_course_words(held.get(organism)) for held in (was, now))
        if old != new:
            name = names.get(organism, organism)
            says = f"{capital(name)}: {new}, was {old}"
            changes.append(Changed("otherwise", says, None))
    return changes


def work_of(plan: Plain) -> dict[str, float]:
    """What a plan asks for: minutes at the visits laid out, treatments and products in courses."""
    steps = [(step, one) for one in plan["populations"] for step in one["course"]]
    done = {
        (step["day"], step["product"] or step["method"], key)
        for step, _ in steps
        for key in step["plantings"]
    }
    sprayed = {
        (step["day"], step["product"], key)
        for step, _ in steps
        if step["product"]
        for key in step["plantings"]
    }
    minutes = [_minutes(visit) for visit in plan["visits"]]
    return {
        "minutes": sum(minutes) / len(minutes) if minutes else 0.0,
        "treatments": float(len(done)),
        "sprays": float(len(sprayed)),
    }


def title_of(task: Plain, names: Names) -> str:
    """The first clause of a task, and where it is done: enough to know it by."""
    says = str(task["says"])
    condition = f"Only if {task['only_if']}: "
    if task["only_if"] and says.startswith(condition):
        says = says.removeprefix(condition)
    sentence = says.partition(". ")[0].rstrip(".")
    lead, found, rest = sentence.partition(": ")
    short = f"{lead}: {_clause(rest)}" if found else sentence
    where = names.get(task["planting"] or "", "")
    if task["kind"] == "treat":
        short = _clause(sentence)
        if where and where.casefold() not in short.casefold():
            short = f"{short}: {inside(where)}"
    return capital(short)


def _clause(words: str) -> str:
    return words.partition(", ")[0].partition("; ")[0]


def _minutes(visit: Plain) -> float:
    return sum(float(task["minutes"]) for task in visit["tasks"] if task["part"] not in SPARE)


def _by_key(visits: Iterable[Plain]) -> dict[Key, tuple[date, Plain]]:
    """Each task under what makes it the same work; the first evening of it."""
    found: dict[Key, tuple[date, Plain]] = {}
    for visit in visits:
        for task in visit["tasks"]:
            found.setdefault(same_work(task), (date.fromisoformat(visit["date"]), task))
    return found


def same_work(task: Plain) -> Key:
    """Work that is one thing whichever evening it is done, and however much of it there is."""
    kind, says = task["kind"], str(task["says"])
    what = ""
    if kind in ("care", "set out", "sow", "cover"):
        lead, _, rest = says.partition(": ")
        what = _clause(rest) if task["planting"] and kind == "care" else lead
    elif kind != "water" and not task["planting"]:
        what = says
    return (kind, task["planting"] or "", task["product"] or "", task["method"] or "", what)


def _verdict_words(verdict: Plain | None) -> str:
    if verdict is None:
        return "none"
    words = str(verdict["verdict"])
    into = next((o["says"] for o in verdict["options"] if o["fate"] == verdict["choice"]), "")
    return f"{words} ({into})" if words == "replace" and into else words


def _course_words(population: Plain | None) -> str:
    steps = [] if population is None else population["course"]
    if not steps:
        return "no treatment"
    many = len(steps)
    first = said(date.fromisoformat(steps[0]["day"]))
    return f"{many} {'treatment' if many == 1 else 'treatments'}, first on {first}"
