"""The audit reads means without a pack for itself: each mutant of a clean plan is caught."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import pytest
from tests.audit.random_plots import STAMP, visit_of
from tests.planning.label_cases import TUESDAY, evening

from lattermath.audit.plan_audit import audit
from lattermath.vocabulary.evening import Evening
from lattermath.vocabulary.place import Place
from lattermath.vocabulary.plan import Plan, Task
from lattermath.vocabulary.plot import Bed, Means, Planting, Plot, WaterSupply

DUSK = TUESDAY.replace(hour=20, minute=40)
EARLY = TUESDAY.replace(hour=18, minute=30)
NIGHT, BEFORE = TUESDAY.replace(hour=22), TUESDAY.replace(hour=3)
BEANS = Planting("beans", "Beans", "bean_bush", 20, bed="A", in_bloom=False)
MARROWS = Planting("marrows", "Marrows", "summer_squash", 3, bed="A", in_bloom=True)
PLOT = Plot(
    "Nowhere", "Nobody", Place("Nowhere", 47.4, 8.5, "Europe/Zurich"),
    (Bed("A", "A", 0, 0, 4, 1.2),), (BEANS, MARROWS),
    water=WaterSupply(hose=True), means=Means(("vacuum", "fine mesh", "predatory mites")),
)  # fmt: skip


def faults(
    method: str, at: datetime, planting: str = "beans", plot: Plot = PLOT,
    sky: Evening | None = None,
) -> list[str]:  # fmt: skip
    tonight = sky or evening(TUESDAY)
    task = Task(
        "t", "treat", "last job", "Do it.", 10.0, planting, None, method,
        starts=at, ends=at + timedelta(minutes=10),
    )  # fmt: skip
    plan = Plan(
        1, "plot", tonight.arrive, (visit_of(tonight, task),), (), (), (), (), (), (), STAMP
    )
    return [fault.what for fault in audit(plan, plot, (), (tonight,))]


@pytest.mark.parametrize(
    ("method", "at"),
    [("water_jet", EARLY), ("vacuum", DUSK), ("hand_pick", EARLY),
     ("prune_leaves", DUSK), ("bag_enclosure", DUSK), ("row_cover", EARLY),
     ("phytoseiulus", DUSK), ("board_trap", TUESDAY.replace(hour=8))],
)  # fmt: skip
def test_clean(method: str, at: datetime) -> None:
    assert faults(method, at) == []


@pytest.mark.parametrize(
    ("method", "at", "words"),
    [("water_jet", DUSK, "wet at nightfall"), ("vacuum", EARLY, "while they fly"),
     ("bag_enclosure", EARLY, "closed cover on in the sun"), ("board_trap", DUSK, "boards late"),
     ("lacewing_ladybeetle", DUSK, "not written down"),
     ("hand_pick", NIGHT, "in the dark"), ("prune_leaves", NIGHT, "in the dark"),
     ("phytoseiulus", NIGHT, "in the dark"), ("hand_pick", BEFORE, "in the dark")],
)  # fmt: skip
def test_the_hour_and_the_means(method: str, at: datetime, words: str) -> None:
    assert any(words in fault for fault in faults(method, at))


def test_a_look_wants_light_and_picking_may_be_by_lamp() -> None:
    for kind, words in (("look", ["looks at leaves in the dark"]), ("pick", [])):
        tonight = evening(TUESDAY)
        task = Task("t", kind, kind, "Do it.", 5.0, "beans", starts=NIGHT, ends=NIGHT)
        plan = Plan(1, "plot", NIGHT, (visit_of(tonight, task),), *((),) * 6, STAMP)
        assert [fault.what for fault in audit(plan, PLOT, (), (tonight,))] == words


def test_mesh_over_a_crop_that_bees_must_reach() -> None:
    assert any("bees" in fault for fault in faults("row_cover", EARLY, "marrows"))


def test_fleece_in_heat_and_mites_in_heat() -> None:
    hot = evening(TUESDAY, hottest_next_two_days_c=31.0)
    fleece = replace(PLOT, means=Means(("fleece",)))
    assert any("fleece in heat" in f for f in faults("row_cover", EARLY, plot=fleece, sky=hot))
    assert any("die in" in f for f in faults("phytoseiulus", DUSK, sky=hot))
