from __future__ import annotations

import importlib.util
import sys
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

import lattermath.desk
from lattermath.vocabulary.errors import Fault, InputError
from lattermath.vocabulary.events import Event, How, Payload, TaskDone
from lattermath.vocabulary.place import Place
from lattermath.vocabulary.plan import Plan
from lattermath.vocabulary.plot import Bed, Planting, Plot, WaterSupply

_SPEC = importlib.util.spec_from_file_location(
    "invented_plan_for_doors", Path(__file__).parents[1] / "sheets" / "conftest.py"
)
assert _SPEC is not None and _SPEC.loader is not None
_INVENTED = importlib.util.module_from_spec(_SPEC)
_SPEC.loader.exec_module(_INVENTED)


@pytest.fixture
def plan() -> Plan:
    made: Plan = _INVENTED.invented_plan()
    return made


@pytest.fixture
def seat(monkeypatch: pytest.MonkeyPatch) -> Callable[..., None]:
    """Puts a stand-in for one module of the desk in its place."""

    def sit(name: str, **functions: Any) -> None:
        module = ModuleType(f"lattermath.desk.{name}")
        for function, made in functions.items():
            setattr(module, function, made)
        monkeypatch.setitem(sys.modules, f"lattermath.desk.{name}", module)
        monkeypatch.setattr(lattermath.desk, name, module, raising=False)

    return sit


@dataclass
class Journal:
    """What the desk was handed."""

    entries: list[tuple[Path, Payload, datetime | None, str | None]] = field(default_factory=list)
    names: dict[str, str] = field(
        default_factory=lambda: {
            "Aubergines": "aubergines",
            "beans": "beans",
            "bed C": "bed-c",
            "soap": "soft-soap",
        }
    )

    def log(
        self, folder: Path, payload: Payload, at: datetime | None, supersedes: str | None
    ) -> Event:
        self.entries.append((folder, payload, at, supersedes))
        when = datetime(2016, 7, 30, 0, 5, tzinfo=UTC)
        return Event(17, "id-17", "sighting", 1, when, "America/Chicago", when, payload)

    def done(
        self, folder: Path, task: str, how: How, note: str, at: datetime | None
    ) -> tuple[Event, ...]:
        return (self.log(folder, TaskDone(task, how, note), at, None),)

    def resolve(self, folder: Path, words: str) -> str:
        if words not in self.names:
            raise InputError(Fault("no such name", "plot.toml", words, "Nearest: beans."))
        return self.names[words]


PLOT = Plot(
    "Plot 14",
    "",
    Place("garden", 41.9, -87.6, "America/Chicago"),
    beds=(Bed("bed-c", "bed C", 0, 0, 3, 1),),
    plantings=(
        Planting("aubergines", "Aubergines", "eggplant", 4),
        Planting("beans", "beans", "bean_pole", 12),
    ),
    water=WaterSupply(can_litres=9.0),
)


@pytest.fixture
def journal(seat: Callable[..., None]) -> Journal:
    held = Journal()
    seat("log_visit", log=held.log, resolve=held.resolve, plot_now=lambda folder: PLOT)
    seat("after_treatment", after_treatment=lambda folder, event: ("Beans: closed.",))
    seat("log_done", log_done=held.done)
    return held
