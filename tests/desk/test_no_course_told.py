"""An insect on a crop on which no plan follows it: what hands can do is said at once, by each."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import pytest
from tests.desk.hollow_plot import HOLLOW, MILD, NORTH, begun

from lattermath.desk.log_visit import log
from lattermath.desk.look import look
from lattermath.desk.look_reckoned import by_hand
from lattermath.desk.look_words import told
from lattermath.desk.plan_visit import plan
from lattermath.desk.plant_signs import no_course_on
from lattermath.knowledge.tables import load_tables
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.plot import Planting

pytestmark = pytest.mark.usefixtures("few_draws")
TABLES = load_tables()
CHARD = """[[planting]]
name = "{name}"
crop = "{crop}"
bed = "South"
plants = 10
sown = 2016-05-01
"""
EVENING = datetime(2016, 7, 31, 19, 0)
JET = "By hand: strong water jet to leaf undersides; "


@pytest.fixture(scope="module")
def plot(tmp_path_factory: pytest.TempPathFactory) -> Path:
    more = CHARD.format(name="Chard", crop="chard") + CHARD.format(name="Herb", crop="coriander")
    wants = {"place": NORTH, "visiting": 'days = ["mon"]', "courgettes": 1, "week": MILD}
    folder = begun(tmp_path_factory.mktemp("no_course") / "plot", HOLLOW.format(more=more, **wants))
    for planting in ("chard", "herb"):
        seen = Sighting(planting, "aphid", "count", counts=(15, 3, 22, 8))
        log(folder, seen, EVENING)
    return folder


def test_the_sheet_says_what_hands_can_do_and_sends_nobody_to_look(plot: Path) -> None:
    warnings = plan(plot, date(2016, 8, 1)).warnings
    (line,) = [says for says in warnings if says.startswith("Aphid on ")]
    assert line.startswith("Aphid on Chard, Herb: aphids are not reckoned on this crop, so no ")
    assert JET in line and "lattermath look" not in line


def test_a_look_does_not_ask_for_what_stands_in_the_record(plot: Path) -> None:
    seen = "\n".join(told(look(plot, "chard", ("aphids",), (), date(2016, 8, 1))))
    assert JET in seen and "to write it down" not in seen
    older = "\n".join(told(look(plot, "chard", ("aphids",), (), date(2016, 7, 30))))
    assert JET in older and 'to write it down: lattermath log seen chard "aphid"' in older


@pytest.mark.parametrize("cause", ["aphids", "thrips", "whitefly", "flea_beetle"])
def test_mesh_comes_last_and_only_over_clean_plants(cause: str) -> None:
    mesh = TABLES.methods["row_cover"].name
    hands = by_hand(TABLES, cause)
    assert [hand for hand in hands if mesh in hand] == [f"{mesh} over clean plants only"]
    assert hands[-1].startswith(mesh)


def test_what_is_followed_there_or_not_settled_yet_is_left_to_plan_and_look() -> None:
    lettuce, corn = (Planting("a", "A", crop, 9) for crop in ("lettuce", "sweet_corn"))
    assert no_course_on("aphid", lettuce, TABLES, "europe") == ""
    assert no_course_on("caterpillar droppings", corn, TABLES, "europe") == ""
    by_name = no_course_on("corn earworm", corn, TABLES, "europe")  # a look would only hand it back
    assert by_name.startswith("corn earworm is not reckoned on this crop")
    assert "By hand: " in no_course_on("aphid", corn, TABLES, "europe")
