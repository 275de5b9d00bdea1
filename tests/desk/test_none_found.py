"""What every look missed is told as not found, and nothing is planned or priced against it."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from tests.desk.test_unseen import DAY, PLOT

from lattermath.desk import insect_sprayings
from lattermath.desk.insect_sprayings import only_if, own_work
from lattermath.desk.log_visit import log
from lattermath.desk.pest_parts import ever_found
from lattermath.desk.plan_visit import plan
from lattermath.desk.start import start
from lattermath.knowledge.tables import load_tables
from lattermath.sheets.back_of_sheet import text_back
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.plan import Plan, Population
from lattermath.vocabulary.ruling import Because

TABLES = load_tables()

pytestmark = pytest.mark.usefixtures("few_draws")

MITE = "twospotted_spider_mite"
NONE = Sighting("aubergines", MITE, "count", looked_at=10, total=0)
BLIGHT = "early_blight_tomato"
CLEAN = Sighting("tomatoes", BLIGHT, "severity", looked_at=10, percent=0.0)
SPOTS = Sighting("tomatoes", BLIGHT, "severity", "", "top", looked_at=10, percent=8.0)
SOME = Sighting("aubergines", MITE, "count", looked_at=10, total=90)


def planned(folder: Path, *looks: Sighting) -> Plan:
    folder.mkdir()
    plot = PLOT.replace("HIGHS", "31, 32, 33, 32").replace("LOWS", "17, 18, 18, 17")
    plot = plot.replace('"Young lettuce"\ncrop = "lettuce"', '"Tomatoes"\ncrop = "tomato"')
    (folder / "plot.toml").write_text(plot, "utf-8")
    start(folder)
    for n, look in enumerate(looks):
        log(folder, look, datetime(2026, 7, 20 + n, 19, 0))
    return plan(folder, DAY)


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Plan]:
    folder = tmp_path_factory.mktemp("none")
    looks = {
        "nothing": (), "none": (NONE,), "some": (NONE, SOME),
        "clean": (CLEAN,), "spots": (CLEAN, SPOTS),
    }  # fmt: skip
    return {name: planned(folder / name, *seen) for name, seen in looks.items()}


def mites(made: Plan) -> Population:
    return next(one for one in made.populations if one.organism == MITE)


def test_none_found_is_told_as_such_and_no_course_is_planned(made: dict[str, Plan]) -> None:
    told = mites(made["none"])
    assert not told.found and not (told.course or told.strips or told.where)
    assert "none found so far, looked for: Aubergines on 20 Jul" in told.says
    assert told.because[0].rests_on and told.because[0].rests_on[0].startswith("event:")
    assert not any(task.kind == "treat" for visit in made["none"].visits for task in visit.tasks)
    back = text_back(made["none"], "Plot")
    assert "SPIDER MITE NOT FOUND ON AUBERGINES" in back and "most on" not in back
    left = [one.what for one in made["none"].visits[0].not_today if "spider mite" in one.what]
    assert all("no look at" in what for what in left)


def test_what_is_decided_and_expected_is_as_if_nobody_had_looked(made: dict[str, Plan]) -> None:
    """A count of none gives no reason to think worse of a plot."""
    before, after = made["nothing"], made["none"]
    assert [(v.planting, v.says) for v in before.verdicts] == [
        (v.planting, v.says) for v in after.verdicts
    ]
    assert before.outlook == after.outlook


def test_where_a_look_finds_some_all_goes_on_as_ever(made: dict[str, Plan]) -> None:
    told = mites(made["some"])
    assert told.found and told.strips and "most on Aubergines" in told.says
    assert next(one for one in told.where if one.planting == "aubergines").seen


def test_a_leaf_disease_that_every_look_missed_is_told_in_one_line(made: dict[str, Plan]) -> None:
    """What was looked for and not found stands there, and nothing else of it."""
    told = next(one for one in made["clean"].populations if one.organism == BLIGHT)
    assert not told.found and not (told.course or told.strips or told.where or told.so_far)
    assert "none found so far, looked for: Tomatoes on 20 Jul" in told.says
    assert told.because[0].rests_on == (f"event:{told.because[0].rests_on[0][6:]}",)
    before, after = made["nothing"], made["clean"]
    assert [(v.planting, v.says) for v in before.verdicts] == [
        (v.planting, v.says) for v in after.verdicts
    ]
    assert before.outlook == after.outlook
    found = next(one for one in made["spots"].populations if one.organism == BLIGHT)
    assert found.found and found.where and found.so_far


@pytest.mark.parametrize(
    ("look", "some"),
    [
        (NONE, False),
        (Sighting("aubergines", MITE, "count", counts=(0, 0, 0)), False),
        (Sighting("kale", MITE, "card", counts=(0, 1)), True),
        (Sighting("kale", MITE, "card", counts=(0, 0)), False),
        (Sighting("next-door", MITE, "count", level="few"), True),
        (Sighting("aubergines", MITE, "count", level="none"), False),
        (Sighting("aubergines", MITE, "seen"), True),
        (Sighting("aubergines", "aphid", "count", total=9), False),
    ],
)
def test_what_counts_as_found(look: Sighting, some: bool) -> None:
    facts = SimpleNamespace(events=[SimpleNamespace(payload=look)])
    assert ever_found(facts, MITE) is some


def test_still_is_said_only_of_what_was_found() -> None:
    cluster = SimpleNamespace(
        belief=SimpleNamespace(
            stands=[SimpleNamespace(key="kale"), SimpleNamespace(key="chard")],
            life=SimpleNamespace(figures=SimpleNamespace(habits=TABLES.habits["squash_bug"])),
        ),
        sick=frozenset({"kale"}),
        looked={"kale": date(2026, 7, 1)},
    )
    day = date(2026, 7, 28)
    assert only_if(cluster, 0, day) == "the look finds any bugs still there"
    assert only_if(cluster, 1, day) == "the look finds any bugs"
    assert "still" not in only_if(cluster, 1, day)


def test_each_treatment_is_given_what_its_own_method_takes(monkeypatch: pytest.MonkeyPatch) -> None:
    """A water jet was given the soap's share, which stood first in the course."""
    life = SimpleNamespace(
        stages=("egg", "adult"),
        figures=SimpleNamespace(habits=TABLES.habits["squash_bug"]),
    )
    stands = [SimpleNamespace(key="kale"), SimpleNamespace(key="chard")]
    belief = SimpleNamespace(organism="bug", stands=stands, life=life)
    rulings = SimpleNamespace(
        visits=(date(2026, 7, 28),), plantings=stands, generation_days=None,
        permits=SimpleNamespace(label=lambda _: None), minutes=lambda *_, **__: 5.0,
    )  # fmt: skip
    cluster = SimpleNamespace(rulings=rulings, belief=belief, name="bug", facts=None,
                              sick=frozenset(), looked={})  # fmt: skip

    def step(name: str, tenths: int, place: int) -> Any:
        kill = dict.fromkeys(life.stages, (0.0, tenths / 10, 1.0))
        effect = SimpleNamespace(kill=kill, rests_on=(f"table:{name}",))
        one = SimpleNamespace(name=name, method=name, product=None, surfaces=(), effect=effect)
        return SimpleNamespace(visit=0, places=(place,), candidate=one)

    steps = (step("soap", 9, 0), step("jet", 4, 1))
    searched: Any = SimpleNamespace(cluster=cluster, found=SimpleNamespace(steps=steps),
                                    mesh=(), film=())  # fmt: skip
    monkeypatch.setattr(insect_sprayings, "amounts_for", lambda *_: ())
    monkeypatch.setattr(insect_sprayings, "mesh_candidate", lambda _: None)
    monkeypatch.setattr(insect_sprayings, "film_sprayed", lambda _: ())
    seen = Because("what was seen")
    told = {one.method: one.because for _, one in own_work(searched, (seen,))}
    assert [b.rests_on for b in told["soap"]] == [(), ("table:soap",)]
    assert [b.rests_on for b in told["jet"]] == [(), ("table:jet",)]
    assert "4 eggs" in told["jet"][1].says and "4 eggs" not in told["soap"][1].says
    assert [one.because for _, one in own_work(searched)] == [(), ()]
