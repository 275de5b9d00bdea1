"""Grubs in a squash stem: what is counted is their sawdust, and only a knife gets at them.

Truth: biology and common practice, as extension pages tell it. The moth's eggs lie singly outside,
the grub lives inside, pushes wet sawdust out of its hole, and is cut out of the slit stem.
"""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import numpy as np
import pytest
from tests.desk.test_first_sighting import FILE
from tests.seasons.champion import opened

from lattermath.belief.cluster_plantings import Stand
from lattermath.belief.cluster_sightings import read_sighting
from lattermath.belief.life_figures import LifeFigures, read_life
from lattermath.belief.treatment_effect import effect_of, takes_what_is_counted
from lattermath.desk.log_visit import log
from lattermath.desk.look import look
from lattermath.desk.look_words import told
from lattermath.desk.plan_visit import plan
from lattermath.knowledge.tables import load_tables
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.plan import Plan

pytestmark = pytest.mark.usefixtures("few_draws")
TABLES = load_tables()
BORER, BUG = "squash_vine_borer", "squash_bug"
PLOT = FILE + (
    '[[planting]]\nkey = "zukes"\nname = "Zukes"\ncrop = "courgette"\nplants = 4\n'
    "set_out = 2011-06-01\n"
)
KNIFE = "slit the stem lengthways above each hole, take the grub out"


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    plot = Path(tmp_path_factory.mktemp("grubs"))
    opened(plot, PLOT)
    at = datetime(2011, 7, 24, 18, 0)
    log(plot, Sighting("zukes", BORER, "some", looked_at=4, total=1), at)
    log(plot, Sighting("zukes", BUG, "count", counts=(60, 90, 45, 80)), at)
    return plot


@pytest.fixture(scope="module")
def made(folder: Path) -> Plan:
    return plan(folder, date(2011, 7, 25))


def life(organism: str) -> LifeFigures:
    defaults = TABLES.constants["defaults"].figures
    return read_life(TABLES.organisms[organism], defaults, TABLES.habits[organism])


def test_a_count_without_a_stage_is_of_grubs_and_not_of_eggs() -> None:
    figures = life(BORER)
    stand = Stand(
        *("zukes", "Zukes", "courgette", 4, 1.0, 40, 300.0, 4.0, np.zeros((1, 2))), started=0
    )
    seen = read_sighting(
        Sighting("zukes", BORER, "some", looked_at=4, total=1),
        *(30, 0, [stand], figures),
    )
    assert seen is not None
    shown = dict(zip(figures.stages, seen.share, strict=True))
    assert shown["larva"] > 0.3 and shown["egg"] == 0.0


def test_fingers_and_sprays_take_eggs_at_most_and_treat_no_grub() -> None:
    words, figures = TABLES.crosswalk.targets[BORER], life(BORER)
    effects = [effect_of(m, BORER, words, figures.stages) for m in TABLES.methods.values()]
    for effect in effects:
        if effect is not None and effect.method != "remove_plant":
            assert not takes_what_is_counted(effect, figures), effect.method


def test_fingers_take_bugs() -> None:
    words, figures = TABLES.crosswalk.targets[BUG], life(BUG)
    effect = effect_of(TABLES.methods["hand_pick"], BUG, words, figures.stages)
    assert effect is not None and takes_what_is_counted(effect, figures)


def test_picking_bugs_is_not_told_as_treating_grubs(made: Plan) -> None:
    by = {one.organism: one for one in made.populations}
    assert any(step.method == "hand_pick" for step in by[BUG].course)
    assert not by[BORER].course and KNIFE in by[BORER].course_says
    assert "It is treated" not in by[BORER].course_says
    (zukes,) = [one for one in made.verdicts if one.planting == "zukes"]
    if "course against" in zukes.says:
        assert "borer" not in zukes.says.partition("course against")[2].partition(";")[0]


def test_the_front_says_what_to_do_tonight(made: Plan) -> None:
    (says,) = [one for one in made.warnings if "borer" in one]
    assert says.startswith("Squash vine borer in Zukes: tonight ") and KNIFE in says
    assert "common practice" in says
    assert not [one for one in made.visits[0].not_today if "borer" in one.what]


def test_a_look_says_it_too(folder: Path) -> None:
    lines = told(look(folder, "zukes", ["sawdust at the stem"], [], date(2011, 7, 25)))
    (line,) = [one for one in lines if "squash vine borer:" in one and "%" in one]
    assert KNIFE in line and "pick off" not in line


def test_nature_shows_grubs_by_their_sawdust() -> None:
    from lattermath.nature.creatures import throw_creature

    creature = throw_creature(TABLES, BORER, np.random.default_rng(1))
    at = creature.stages.index("larva")
    assert creature.shows[at] > 0 and creature.reach[at] == 0
