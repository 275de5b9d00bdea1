"""What was seen is spoken of on the front of the sheet, also where nothing is done about it."""

from datetime import date, datetime
from pathlib import Path

import pytest

from lattermath.desk.log_visit import log
from lattermath.desk.plan_visit import plan
from lattermath.desk.start import start
from lattermath.sheets.visit_sheet import text_sheet
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.plan import Plan

pytestmark = pytest.mark.usefixtures("few_draws")

DAY = date(2026, 8, 6)
SEEN = datetime(2026, 8, 5, 19, 0)
PLOT = """
format = 1
[place]
name = "Willow Row"
latitude = 44.8
longitude = -0.6
time_zone = "Europe/Paris"
usual_first_frost = "11-05"
[[planting]]
name = "Kale"
crop = "kale"
plants = 12
set_out = "early July"
[[planting]]
name = "Leeks"
crop = "leek"
plants = 6
sown = "late May"
[[week]]
first = 2026-08-03
highs_c = [29, 31, 33, 28]
lows_c = [17, 18, 19, 16]
"""


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Plan:
    folder = Path(tmp_path_factory.mktemp("left"))
    (folder / "plot.toml").write_text(PLOT, "utf-8")
    start(folder, datetime(2026, 8, 4, 8, 0).astimezone())
    log(folder, Sighting("kale", "cabbage_whitefly", "count", counts=(30, 12, 4, 22, 9)), SEEN)
    card = Sighting("leeks", "whitefly", "card", "adult", "whole", 2, counts=(14, 9), days=7)
    log(folder, card, SEEN)
    log(folder, Sighting("leeks", "leaf curler", "count", looked_at=10, total=0), SEEN)
    log(folder, Sighting("kale", "leaf curler", "count", looked_at=10, total=3), SEEN)
    log(folder, Sighting("leeks", "leaf binder", "count", looked_at=10, total=0), SEEN)
    return plan(folder, DAY)


def test_what_is_left_alone_is_said_with_its_reason(made: Plan) -> None:
    (one,) = [p for p in made.populations if p.organism == "cabbage_whitefly"]
    assert not one.course
    (said,) = [n for n in made.visits[0].not_today if n.what.startswith("Cabbage whitefly")]
    assert "worth its work" in said.because[0].says
    assert "Cabbage whitefly: no treatment tonight: nothing that may be used" in text_sheet(
        made, "Plot"
    )


def test_a_kind_none_of_which_lives_on_that_crop_is_said_to_be_not_reckoned(made: Plan) -> None:
    """Cabbage whitefly is followed on kale; a whitefly on leeks is not, and was passed over."""
    (says,) = [said for said in made.warnings if "Whitefly on Leeks" in said]
    assert says.startswith("Whitefly on Leeks: whiteflies are not reckoned on this crop")
    assert "By hand: " in says


def test_what_was_only_looked_for_is_not_said_to_be_seen(made: Plan) -> None:
    assert "Leaf curler on Kale: seen, and not reckoned here yet." in made.warnings
    assert not [said for said in made.warnings if "leaf binder" in said.lower()]


def test_no_forecast_is_not_counted_in_days(made: Plan) -> None:
    assert "of forecast" not in text_sheet(made, "Plot")
