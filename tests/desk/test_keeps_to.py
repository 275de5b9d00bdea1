"""Insects that keep to few kinds of plant are not believed to fly to others, until found there."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path

import pytest
from tests.seasons.champion import PLACE, opened

from lattermath.belief.life_history import life_of
from lattermath.desk.cups_beside import infested
from lattermath.desk.homes_of_insects import homes_of
from lattermath.desk.identity import identified, told
from lattermath.desk.insect_belief import believe_insects
from lattermath.desk.log_visit import log
from lattermath.desk.plan_facts import facts_of
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.knowledge.tables import load_tables
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.plan import Population, Span

BEDS = "".join(
    f"""
[[bed]]
key = "b{n}"
name = "bed {n}"
x_m = 0
y_m = {2 * n}
length_m = 3
width_m = 1
[[planting]]
key = "{key}"
name = "{key.capitalize()}"
crop = "{crop}"
bed = "b{n}"
plants = 6
set_out = 2011-06-01
"""
    for n, (key, crop) in enumerate(
        {"broccoli": "broccoli", "kale": "kale", "peppers": "pepper_sweet", "beans": "bean_pole",
         "chard": "chard", "cucumbers": "cucumber_slicing"}.items()
    )
)  # fmt: skip
Homes = Callable[..., set[str]]


@pytest.fixture
def homes(tmp_path: Path) -> Homes:
    """Plantings reckoned with once these are logged, (planting, what, counts) each."""

    def reckoned(species: str, *seen: tuple[str, str, tuple[int, ...]]) -> set[str]:
        folder = opened(tmp_path / "plot", PLACE + BEDS)
        for n, (planting, what, counts) in enumerate(seen):
            log(folder, Sighting(planting, what, "count", counts=counts),
                datetime(2011, 7, 10, 18, n))  # fmt: skip
        with open_journal(folder_at(folder)) as journal:
            facts, _ = identified(facts_of(folder_at(folder), journal, date(2011, 7, 11), None))
        assert believe_insects(facts, species) is not None
        return {home.key for home in homes_of(facts, life_of(facts.tables, species))}

    return reckoned


MANY, NONE = (20, 0, 31, 8, 40), (0, 0, 0, 0, 0)
CABBAGES, BEANS = {"broccoli", "kale"}, {"beans", "chard"}


def test_aphids_of_cabbages_by_name_or_by_kind_keep_to_them(homes: Homes) -> None:
    for what in ("cabbage aphid", "aphids"):
        assert homes("green_peach_aphid", ("broccoli", what, MANY)) == CABBAGES
    none_there = ("peppers", "aphids", NONE)
    assert homes("green_peach_aphid", ("broccoli", "aphids", MANY), none_there) == CABBAGES


def test_found_on_others_or_called_by_its_own_name_it_may_fly_to_all(homes: Homes) -> None:
    """The peach aphid lives on all of these but the beans and cucumbers, by its table."""
    wide = homes("green_peach_aphid", ("broccoli", "green peach aphid", MANY))
    assert wide > CABBAGES and "peppers" in wide
    on_both = [(planting, "aphids", MANY) for planting in ("broccoli", "peppers")]
    assert "peppers" in homes("green_peach_aphid", *on_both)


def test_the_aphid_of_beans_leaves_cucumbers_alone_and_is_no_other_on_them(homes: Homes) -> None:
    assert "cucumbers" not in homes("melon_aphid", ("beans", "black bean aphid", MANY))
    assert "cucumbers" in homes("melon_aphid", ("beans", "aphids", MANY))
    assert "cucumbers" in homes("melon_aphid", ("cucumbers", "black bean aphid", MANY))


def test_the_sheet_says_that_nothing_else_is_reckoned_with(tmp_path: Path) -> None:
    folder = opened(tmp_path / "plot", PLACE + BEDS)
    log(folder, Sighting("kale", "aphids", "count", counts=MANY), datetime(2011, 7, 10, 18, 0))
    with open_journal(folder_at(folder)) as journal:
        facts = facts_of(folder_at(folder), journal, date(2011, 7, 11), None)
    _, known = identified(facts)
    none = Span(0.0, 0.0, 0.0, "")
    plain = Population(
        "green_peach_aphid", ("kale",), "Aphids: most on Kale.", (), (), "", none, called="aphids"
    )
    assert "nothing else is reckoned with until found" in told(facts, plain, known).says


def test_young_plants_are_barred_beside_their_own_pest_only(tmp_path: Path) -> None:
    """The aphid of beans is no danger to broccoli beside them; found on peppers too, it may be."""

    def near(*seen: tuple[str, str]) -> frozenset[str]:
        folder = opened(tmp_path / f"plot {len(seen)}", PLACE + BEDS)
        for n, (planting, what) in enumerate(seen):
            log(folder, Sighting(planting, what, "count", counts=MANY),
                datetime(2011, 7, 10, 18, n))  # fmt: skip
        with open_journal(folder_at(folder)) as journal:
            facts = facts_of(folder_at(folder), journal, date(2011, 7, 11), None)
        crops = ("broccoli", "bean_bush")
        return frozenset(crop for crop in crops if infested(facts, crop))

    beans = ("beans", "black bean aphid")
    assert near(beans) == {"bean_bush"}
    assert "broccoli" in near(beans, ("peppers", "aphids"))


def test_every_name_stands_in_and_every_plant_is_known() -> None:
    crosswalk = load_tables().crosswalk
    words = set(crosswalk.host_words.values())
    for name, kept in crosswalk.keeps_to.items():
        assert crosswalk.stood_in(name), name
        assert set(kept) <= words
    for kind, by_host in crosswalk.usual_on.items():
        assert kind in crosswalk.kinds
        for word, name in by_host.items():
            assert word in words and crosswalk.stood_in(name) == kind
