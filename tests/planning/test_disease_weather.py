"""Which diseases get a line of the sheet, and which a mention."""

from __future__ import annotations

from datetime import date

from lattermath.belief.disease_risk import Risk
from lattermath.planning.disease_weather import mention_line, most_pressing, risk_line
from lattermath.vocabulary.plot import Planting


def risk(disease: str, sure: str = "yes") -> Risk:
    return Risk(disease, sure, (1.0, 2.0, 3.0), "nights")


def test_the_sure_and_costly_come_first_and_the_rest_is_mentioned() -> None:
    loss = {"a": 0.1, "b": 0.9, "c": 0.5, "late_blight": 0.0}
    found = [risk("a"), risk("c", "likely"), risk("b"), risk("late_blight", "likely"), risk("d")]
    lines, others = most_pressing([*found, risk("e", "no")], loss)
    assert [one.disease for one in lines] == ["late_blight", "b", "a"]
    assert [one.disease for one in others] == ["d", "c"]


def test_a_mention_says_how_much_and_where() -> None:
    beans = Planting("beans", "Beans", "bean_pole", 4)
    assert mention_line([(risk("rust"), "rust", [beans])]) == (
        "The weather suits, less pressing: rust (2 nights; Beans)."
    )
    assert mention_line([]) == ""


def test_blight_of_the_wet_side_alone_is_told_as_a_range() -> None:
    """No day is named that only one side of the range has."""
    spuds = Planting("spuds", "Potatoes", "potato", 20)
    first = date(2026, 7, 1)
    unread = Risk("late_blight", "likely", (0.0, 0.0, 13.0), "blight days")
    says = risk_line(unread, "late blight", [spuds], first, first, measured=False)
    assert says.startswith("Weather may let in late blight: about 0 (0 to 13) blight days")
    assert "reckoned" in says and says.endswith("Not seen yet: look at Potatoes.")
    named = Risk("late_blight", "yes", (1.0, 1.0, 2.0), "blight days", (3,))
    told = risk_line(named, "late blight", [spuds], first, first, measured=True)
    assert "up to 4 Jul" in told
