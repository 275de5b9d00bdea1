"""Aphids logged by a name without figures: reckoned as aphids are, told by the name they have."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import pytest
from tests.seasons.champion import PLACE, opened

from lattermath.desk.log_visit import log
from lattermath.desk.plan_visit import plan
from lattermath.desk.why import why
from lattermath.sheets.back_of_sheet import text_back
from lattermath.sheets.visit_sheet import text_sheet
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.plan import Plan

pytestmark = pytest.mark.usefixtures("few_draws")

FILE = (
    PLACE
    + """region = "north_america"
[[planting]]
key = "kale"
name = "Kale"
crop = "kale"
plants = 6
set_out = 2011-06-01
[[planting]]
key = "beans"
name = "Beans"
crop = "climbing bean"
plants = 8
sown = 2011-06-01
"""
)

FOLDERS: dict[str, Path] = {}


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Plan]:
    def with_counts(folder: Path, kale: str, beans: str) -> Plan:
        FOLDERS[kale] = folder
        opened(folder, FILE)
        for key, what in (("kale", kale), ("beans", beans)):
            seen = Sighting(key, what, "count", counts=(12, 5, 30, 8, 21, 4, 16, 9, 11, 2))
            log(folder, seen, datetime(2011, 7, 20, 19, 0))
        return plan(folder, date(2011, 7, 21))

    root = tmp_path_factory.mktemp("named")
    return {
        "named": with_counts(root / "named", "cabbage aphid", "black bean aphid"),
        "kind": with_counts(root / "kind", "aphids", "aphids"),
        "species": with_counts(root / "species", "green peach aphid", "melon aphid"),
    }


def test_the_right_name_gives_the_plan_that_the_kind_gives(made: dict[str, Plan]) -> None:
    named, kind = made["named"], made["kind"]
    assert named.populations
    assert [(p.organism, p.plantings, p.course) for p in named.populations] == [
        (p.organism, p.plantings, p.course) for p in kind.populations
    ]
    assert [one.with_plan for one in named.outlook] == [one.with_plan for one in kind.outlook]
    assert not any("not reckoned" in says for says in named.warnings)


def test_a_section_says_that_its_species_is_assumed(made: dict[str, Plan]) -> None:
    """Aphids on beans stood under the heading of one species as though somebody had named it."""
    begins = [p.says.split(": most on")[0] for p in made["kind"].populations]
    assert begins and all(one.startswith("Aphids, reckoned as ") for one in begins), begins
    said = " ".join(p.says for p in made["named"].populations)
    assert "abbage aphid" in said and "lack bean aphid" in said and "reckoned as" in said
    assert "Aphids, reckoned as" not in said and "Which aphid" not in said


def test_a_species_that_was_named_is_told_as_that(made: dict[str, Plan]) -> None:
    assert made["species"].populations
    assert not any("reckoned as" in p.says for p in made["species"].populations)


@pytest.mark.parametrize(
    ("how", "heads", "never"),
    [
        ("named", ("CABBAGE APHID, RECKONED AS ", "BLACK BEAN APHID, RECKONED AS "), "APHIDS, "),
        ("kind", ("APHIDS, RECKONED AS ", "APHIDS, RECKONED AS "), "CABBAGE APHID"),
        ("species", ("GREEN PEACH APHID ON KALE", "MELON APHID ON BEANS"), "RECKONED AS"),
    ],
)
def test_sections_are_headed_by_what_was_logged(
    made: dict[str, Plan], how: str, heads: tuple[str, str], never: str
) -> None:
    lines = text_back(made[how], "Green Lane").splitlines()
    for head, bed in zip(heads, ("KALE", "BEANS"), strict=True):
        assert any(line.startswith(head) and line.endswith(bed) for line in lines), (head, lines)
    assert not any(line.startswith(never) for line in lines)


def test_what_is_decided_names_what_was_logged(made: dict[str, Plan]) -> None:
    """No species is named on a sheet that nobody named, but beside the word that was logged."""
    for how, words in (("named", ("cabbage aphid", "black bean aphid")), ("kind", ("aphids",))):
        front = text_sheet(made[how], "Green Lane")
        decided = " ".join(one.says for one in made[how].verdicts)
        assert all(word in decided for word in words), decided
        barred = " ".join(one.what for one in made[how].visits[0].not_today)
        for species in ("green peach aphid", "melon aphid"):
            assert species not in front.casefold() and species not in barred.casefold()


def test_why_finds_it_by_the_word_that_was_logged(made: dict[str, Plan]) -> None:
    assert made["named"].populations
    (head, *_) = why(FOLDERS["cabbage aphid"], "cabbage aphid")
    assert head.startswith("Cabbage aphid, reckoned as ")
    both = [line for line in why(FOLDERS["aphids"], "aphids") if "reckoned as" in line]
    assert len(both) == len(made["kind"].populations)
