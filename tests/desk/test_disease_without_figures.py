"""A disease by its name on a crop for which the tables have no figures: it needs no other name."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import pytest
from tests.seasons.champion import PLACE, opened

from lattermath.audit.leaf_check import _powdery
from lattermath.desk.log_names import plot_now
from lattermath.desk.log_visit import log
from lattermath.desk.log_words import echo
from lattermath.desk.plan_visit import plan
from lattermath.desk.plant_signs import names_a_disease
from lattermath.knowledge.tables import load_tables
from lattermath.planning.sick_leaves import wet_feeds
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.plan import Plan

pytestmark = pytest.mark.usefixtures("few_draws")

TABLES = load_tables()
PEAS = (
    PLACE
    + """
[[planting]]
key = "peas"
name = "Peas"
crop = "pea"
plants = 8
sown = 2011-05-01
"""
)


@pytest.mark.parametrize(
    ("words", "name"),
    [
        ("powdery mildew", True),
        ("powdery mildew (pea)", True),  # as a look tells it
        ("downy mildew", True),
        ("white powder", False),
        ("grey spots", False),
        ("something", False),
    ],
)
def test_a_name_is_told_from_what_a_look_must_name(words: str, *, name: bool) -> None:
    assert names_a_disease(words, TABLES) is name


@pytest.mark.parametrize("what", ["powdery mildew", "powdery_mildew", "Powdery mildew (pea)"])
def test_wet_leaves_feed_no_powdery_mildew(what: str) -> None:
    assert not wet_feeds(what) and _powdery(what)
    assert wet_feeds("downy mildew") and not _powdery("downy mildew")


def peas(folder: Path, words: str) -> tuple[Plan, str]:
    opened(folder, PEAS)
    seen = Sighting("peas", words, "severity", looked_at=10, percent=10)
    event = log(folder, seen, datetime(2011, 6, 20, 19, 0))
    return plan(folder, date(2011, 6, 21)), " ".join(echo(folder, event, plot_now(folder)))


@pytest.mark.parametrize("words", ["powdery mildew", "powdery mildew (pea)"])
def test_it_is_said_to_have_no_figures_there_and_not_to_want_a_name(
    tmp_path: Path, words: str
) -> None:
    made, logged = peas(tmp_path / "plot", words)
    (said,) = [line for line in made.warnings if line.startswith("Powdery mildew")]
    assert said.endswith(
        "on Peas: seen, not reckoned: the tables have no figures for it there. Take off the worst."
    )
    told = str(made)
    assert "not named yet" not in told and "until it has a name" not in told
    assert f'--seen "{words}"' not in told and "would feed" not in told
    assert "no figures" in next(v.says for v in made.verdicts if v.planting == "peas")
    if words == "powdery mildew":
        assert "no figures for powdery mildew on autumn peas" in logged
    assert "nothing is reckoned from it." in logged and "`lattermath look" not in logged


def test_downy_mildew_there_keeps_its_leaves_dry(tmp_path: Path) -> None:
    made, _ = peas(tmp_path / "plot", "downy mildew")
    (said,) = [line for line in made.warnings if line.startswith("Downy mildew")]
    assert said.endswith("no figures for it there. Keep the leaves dry, take off the worst.")
