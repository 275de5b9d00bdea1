"""Animals without a model are answered with what keeps them off, and never with a spray."""

import shutil
from datetime import date, datetime
from pathlib import Path

import pytest
from tests.desk.demo_ground import demo_ground

from lattermath.desk.log_visit import log
from lattermath.desk.log_words import echo
from lattermath.desk.plan_visit import plan
from lattermath.knowledge.tables import load_tables
from lattermath.vocabulary.events import Sighting

pytestmark = pytest.mark.usefixtures("few_draws")

TABLES = load_tables()
LOOKED = datetime(2011, 7, 28, 20, 30)


@pytest.fixture(scope="module")
def shown(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return demo_ground(tmp_path_factory.mktemp("shown") / "plot")


def test_every_word_means_one_animal_and_nothing_that_is_reckoned() -> None:
    crosswalk = TABLES.crosswalk
    assert {animal for animal, _ in crosswalk.watched.values()} >= {
        "slugs",
        "pigeons",
        "root flies",
    }
    for word in crosswalk.watched:
        assert crosswalk.organism(word) is None and crosswalk.disease(word) is None
        assert crosswalk.kind(word) is None


def test_slugs_are_answered_at_once_and_on_the_sheet(shown: Path, tmp_path: Path) -> None:
    folder = Path(shutil.copytree(shown, tmp_path / "plot"))
    before = plan(folder, date(2011, 7, 30))
    event = log(folder, Sighting("courgettes", "Slugs", "first seen"), LOOKED)
    assert any("watched, not reckoned" in says for says in echo(folder, event))
    made = plan(folder, date(2011, 7, 30))
    said = [words for words in made.warnings if "slugs" in words.lower()]
    assert len(said) == 1 and "after dusk" in said[0] and "common practice" in said[0]
    assert [p.organism for p in made.populations] == [p.organism for p in before.populations]
