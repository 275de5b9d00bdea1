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
from lattermath.vocabulary.events import Event, How, Payload, TaskDone
from lattermath.vocabulary.label import ProductLabel
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

    def log(
        self,
        folder: Path,
        payload: Payload,
        at: datetime | None,
        supersedes: str | None,
        plot: Plot | None = None,
    ) -> Event:
        self.entries.append((folder, payload, at, supersedes))
        when = datetime(2016, 7, 30, 0, 5, tzinfo=UTC)
        return Event(17, "id-17", "sighting", 1, when, "America/Chicago", when, payload)

    def done(
        self,
        folder: Path,
        task: str,
        how: How,
        note: str,
        at: datetime | None,
        plot: Plot | None = None,
        sheet: str = "",
    ) -> tuple[Event, ...]:
        return (self.log(folder, TaskDone(task, how, note), at, None),)


PLOT = Plot(
    "Plot 14",
    "",
    Place("garden", 41.9, -87.6, "America/Chicago"),
    beds=(Bed("bed-c", "bed C", 0, 0, 3, 1),),
    plantings=(
        Planting("aubergines", "Aubergines", "eggplant", 4),
        Planting("beans", "beans", "bean_pole", 12),
    ),
    shelf=(ProductLabel("soft-soap", "soap", "soap", ""),),
    water=WaterSupply(can_litres=9.0),
)


@pytest.fixture
def journal(seat: Callable[..., None], monkeypatch: pytest.MonkeyPatch) -> Journal:
    held = Journal()
    monkeypatch.setattr("lattermath.desk.log_names.plot_now", lambda folder: PLOT)
    seat("log_visit", log=held.log)
    seat("log_words", echo=lambda folder, event, plot: (f"Logged as entry {event.serial}.",))
    seat("after_treatment", after_treatment=lambda folder, event, plot: ("Beans: closed.",))
    seat("after_picking", after_picking=lambda folder, event, plot: ("Beans: too early.",))
    seat("planted_early", after_planting=lambda folder, event: ())
    seat("log_done", log_done=held.done)
    return held
