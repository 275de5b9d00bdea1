"""What a sheet says of enemies is what was written down: no number where none was counted."""

from __future__ import annotations

from datetime import UTC, date, datetime
from types import SimpleNamespace
from typing import Any

import pytest

from lattermath.desk.enemies_seen import enemies_at_work, enemies_told, none_reckoned
from lattermath.knowledge.tables import load_tables
from lattermath.vocabulary.events import Event, Sighting

NOON = datetime(2026, 8, 1, 12, 0, tzinfo=UTC)


@pytest.mark.parametrize(
    ("seen", "said"),
    [
        (Sighting("okra", "ladybirds", "first seen"), " ladybirds on Okra work for you."),
        (
            Sighting("okra", "ladybirds", "count", looked_at=10, level="few"),
            " few ladybirds on Okra work for you.",
        ),
        (
            Sighting("okra", "ladybirds", "count", looked_at=2, counts=(3, 4)),
            " 7 ladybirds on 2 leaves of Okra work for you.",
        ),
        (
            Sighting("okra", "ladybirds", "count", looked_at=1, total=3),
            " 3 ladybirds on 1 leaf of Okra work for you.",
        ),
        (
            Sighting("okra", "ladybirds", "some", looked_at=10, total=3),
            " ladybirds on 3 of 10 leaves of Okra work for you.",
        ),
        (
            Sighting("okra", "ladybirds", "count", "", "whole", 5, total=4),
            " 4 ladybirds on 5 plants of Okra work for you.",
        ),
        (Sighting("okra", "ladybirds", "count", looked_at=10, total=0), ""),
    ],
)
def test_only_numbers_that_were_counted_are_told(seen: Sighting, said: str) -> None:
    tables = load_tables()
    enemy = tables.crosswalk.enemy("ladybird")
    assert enemy is not None
    seen = Sighting(
        *(seen.planting, enemy, seen.measure, "", seen.surface),
        looked_at=seen.looked_at, counts=seen.counts, total=seen.total, level=seen.level,
    )  # fmt: skip
    event = Event(
        serial=1, id="one", kind="sighting", version=1, happened_at=NOON, zone="UTC",
        recorded_at=NOON, payload=seen,
    )  # fmt: skip
    facts: Any = SimpleNamespace(tables=tables, events=(event,), today=date(2026, 8, 2))
    prey = tables.enemies[enemy].prey[0]
    belief: Any = SimpleNamespace(stands=(SimpleNamespace(key="okra", name="Okra"),), organism=prey)
    told, reasons = enemies_told(facts, belief)
    said = said.replace("ladybirds", tables.enemies[enemy].name)
    assert told == said
    assert [one.says for one in reasons] == ([said[1:].split(" work")[0]] if said else [])


@pytest.mark.parametrize(
    ("prey", "names"),
    [("green_peach_aphid", "mummies or ladybird larvae"), ("hornworms", "wasp cocoons")],
)
def test_that_none_are_reckoned_is_said_until_some_are_written_down(prey: str, names: str) -> None:
    """Aphids that nothing eats grow all summer long: whoever reads of that should know why."""
    tables = load_tables()
    facts: Any = SimpleNamespace(tables=tables, events=(), today=date(2026, 8, 2))
    (because,) = none_reckoned(facts, prey)
    assert because.says.startswith(f"no {names}")
    enemy = next(one for one in tables.enemies.values() if prey in one.prey)
    seen = Sighting("okra", enemy.id, "count", looked_at=10, total=0)
    event = Event(
        serial=1, id="one", kind="sighting", version=1, happened_at=NOON, zone="UTC",
        recorded_at=NOON, payload=seen,
    )  # fmt: skip
    looked: Any = SimpleNamespace(tables=tables, events=(event,), today=date(2026, 8, 2))
    assert not list(none_reckoned(looked, prey))


def test_nothing_is_said_where_nobody_is_known_to_eat_it() -> None:
    facts: Any = SimpleNamespace(tables=load_tables(), events=(), today=date(2026, 8, 2))
    eaten = {prey for one in facts.tables.enemies.values() for prey in one.prey}
    free = next(one for one in facts.tables.organisms if one not in eaten)
    assert not list(none_reckoned(facts, free))


def test_ladybirds_of_whole_plants_are_spread_over_their_leaves() -> None:
    """Counted: two on five plants of twenty leaves are as thick as two on a hundred leaves."""
    tables = load_tables()
    enemy = tables.crosswalk.enemy("ladybird") or ""
    prey = next(o for o in tables.enemies[enemy].prey if not tables.habits[o].counted_by_plant)

    def taken(surface: str, looked: int) -> object:
        seen = Sighting("okra", enemy, "count", "", surface, looked, total=2)  # type: ignore[arg-type]
        event = Event(7, "7", "sighting", 1, NOON, "UTC", NOON, seen)
        facts: Any = SimpleNamespace(tables=tables, events=(event,), day_index=lambda day: 3)
        (one,) = enemies_at_work(facts, prey, ["okra"], tables.organisms[prey].stages)
        return one.effect.kill

    assert taken("whole", 5) == taken("underside", 100) != taken("underside", 5)
