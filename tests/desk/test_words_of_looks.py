"""The words in which a look asks to count are the log's words: typed back, they are understood."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from tests.belief.cluster_cases import stands

from lattermath.belief.cluster_sightings import read_sighting
from lattermath.belief.life_history import life_of
from lattermath.desk.living_on import lives_on
from lattermath.desk.what_was_seen import looks_at, settled
from lattermath.knowledge.tables import load_tables
from lattermath.planning.walk import words_of_looks
from lattermath.vocabulary.errors import InputError
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.place import Place
from lattermath.vocabulary.plot import Planting, Plot

TABLES = load_tables()
PLACE = Place("Here", 40.0, -105.0, "America/Denver")


def plot_of(crop: str) -> Plot:
    planting = Planting("p", "P", crop, 12, set_out=date(2011, 6, 1))
    return Plot("Here", "", PLACE, plantings=(planting,))


def typed(crop: str, words: str, stage: str = "") -> Sighting:
    """What the log makes of numbers of it."""
    seen = Sighting("p", words, "count", stage, looked_at=3, counts=(3, 0, 5))
    return settled(seen, plot_of(crop), TABLES)


ASKED = [
    (organism, blank, crop)
    for organism, habits in TABLES.habits.items()
    for first in [next(words_of_looks(organism))]
    for blank in (
        *words_of_looks(organism, gathers=habits.flower_holds is not None),
        replace(first, says=habits.counted_word),
    )
    for crop in TABLES.crops
    if lives_on(organism, crop, TABLES)
]


def stages_read(organism: str, seen: Sighting) -> list[str]:
    life = life_of(TABLES, organism).figures
    read = read_sighting(
        replace(seen, what=organism), 200, 1, [replace(stands()[0], key="p")], life
    )
    assert read is not None
    return [stage for stage, share in zip(life.stages, read.share, strict=True) if share > 0]


def test_every_word_of_every_look_is_understood_where_its_insect_lives() -> None:
    """As that organism, or a kind of it, with the stages that the sheet asks for; or asked back."""
    assert len(ASKED) > 300
    wrong, asked_back = [], 0
    for organism, blank, crop in ASKED:
        lays = any(stage.startswith("egg") for stage in TABLES.organisms[organism].stages)
        if blank.stage == "eggs" and not lays:
            continue  # an aphid lays none here, and no look asks for any
        try:
            seen = typed(crop, blank.says)
        except InputError as refused:
            asked_back += 1
            told = str(refused)
            if "several are called that here" not in told or organism not in told:
                wrong.append((blank.says, crop, told))
            continue
        right = organism in TABLES.crosswalk.kinds.get(seen.what, (seen.what,))
        surface = "flowers" if blank.flowers else seen.surface
        meant = Sighting("p", organism, "count", blank.stage, surface, 3, (3, 0, 5))
        same = right and stages_read(organism, seen) == stages_read(organism, meant)
        if not same or seen.surface != surface:
            wrong.append((blank.says, crop, (seen.what, seen.stage)))
    assert not wrong, wrong[:20]
    assert asked_back < len(ASKED) / 10


@pytest.mark.parametrize(
    ("crop", "words", "what", "stage"),
    [
        ("melon", "pale scales", "whitefly", "scales"),
        ("melon", "scales", "whitefly", "scales"),
        ("kale", "pale scale", "whitefly", "scales"),
        ("eggplant", "beetle eggs", "colorado_potato_beetle", "eggs"),
        ("summer_squash", "bug eggs", "squash_bug", "eggs"),
        ("pepper_sweet", "big caterpillars", "hornworms", ""),
        ("beet", "pale scales", "pale scales", ""),
        ("cabbage", "big caterpillars", "big caterpillars", ""),
    ],
)
def test_the_crop_says_whose_word_it_is(crop: str, words: str, what: str, stage: str) -> None:
    seen = typed(crop, words)
    assert (seen.what, seen.stage) == (what, stage)


def test_a_word_of_several_is_asked_back_with_the_choices() -> None:
    with pytest.raises(InputError, match="several are called that here") as refused:
        typed("summer_squash", "eggs")
    for one in ("squash_bug 12,0,3 --stage eggs", "squash_vine_borer"):
        assert one in str(refused.value)
    assert typed("summer_squash", "squash_bug", "eggs").stage == "eggs"


def test_what_is_counted_by_plant_is_refused_on_leaves_by_that_word_too() -> None:
    assert looks_at("big caterpillars", 0, 8, TABLES, crop="pepper_sweet") == 8
    with pytest.raises(InputError, match="counted by plant"):
        looks_at("big caterpillars", 10, 0, TABLES, crop="pepper_sweet")
    assert typed("pepper_sweet", "big caterpillars").surface == "whole"


def test_what_was_noticed_and_not_counted_stays_the_growers_word() -> None:
    seen = Sighting("p", "beetles", "first seen", "", "whole")
    assert settled(seen, plot_of("cucumber_slicing"), TABLES) == seen
    assert typed("cucumber_slicing", "beetles").what == "striped_cucumber_beetle"
