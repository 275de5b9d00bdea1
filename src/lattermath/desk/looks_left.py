"""Looks that the last visit's sheet asked for and nobody wrote down: told back, never guessed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import Any

from lattermath.desk.kind_words import kind_of
from lattermath.desk.season_facts import SeasonFacts
from lattermath.vocabulary.events import Event, Sighting, TaskDone

Plain = Mapping[str, Any]


def looks_left(facts: SeasonFacts, before: Plain) -> tuple[date | None, tuple[str, ...]]:
    """The visit of an earlier sheet that is over, and what was not looked at there as it asked.

    A planting by its name; with what was not looked for, where something else was. A tick "not
    done" is no look, nor is silence; what was looked at on a later day is not left any more.
    """
    visits = [(date.fromisoformat(one["date"]), one) for one in before["visits"][:1]]
    for day, visit in visits:
        if day < facts.today:
            since = [event for event in facts.events if event.day >= day]
            return day, tuple(_left(facts, visit["tasks"], since))
    return None, ()


def _left(facts: SeasonFacts, tasks: Sequence[Plain], since: Sequence[Event]) -> Iterator[str]:
    names = {one.key: one.name for one in facts.plot.standing()}
    ticked = {
        event.payload.task
        for event in since
        if isinstance(event.payload, TaskDone) and event.payload.how != "not done"
    }
    for task in tasks:
        name = names.get(task["planting"] or "")
        if task["kind"] != "look" or name is None or task["id"] in ticked:
            continue
        asked = dict.fromkeys(kind_of(facts, one["organism"]) for one in task["wanted"])
        looked = {
            kind_of(facts, event.payload.what)
            for event in since
            if isinstance(event.payload, Sighting) and event.payload.planting == task["planting"]
        }
        left = [kind for kind in asked if kind not in looked]
        if left:
            yield name if len(left) == len(asked) else f"{name} ({', '.join(left)})"
