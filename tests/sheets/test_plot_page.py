"""The plot to scale: what is drawn is where it lies, as large as it is, and says what it is."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from lattermath.sheets.ground_plan import scale_of, spots_of
from lattermath.sheets.hatches import Box, hatched
from lattermath.sheets.plot_views import HATCHES, LETTER, plot_page
from lattermath.sheets.strokes import nearest
from lattermath.vocabulary.place import Place
from lattermath.vocabulary.plan import Plan, Presence, Span
from lattermath.vocabulary.plot import Bed, Planting, Plot

PLACE = Place("here", 50.8, 4.4, "Europe/Brussels")
PLOT = Plot(
    "Plot 14",
    "",
    PLACE,
    beds=(
        Bed("a", "bed A", 0.0, 0.0, 4.0, 1.2),
        Bed("b", "bed B", 0.0, 2.0, 4.0, 1.2),
        Bed("c", "bed C", 5.0, 0.0, 1.0, 3.0),
    ),
    plantings=(
        Planting("tomatoes", "Cordon tomatoes", "tomato", 6, "a"),
        Planting("aubergines", "Aubergines", "eggplant", 2, "a"),
        Planting("beans", "Pole beans", "bean_pole", 12, "b"),
        Planting("basil", "Basil", "basil", 4),
        Planting("theirs", "Next door's", "tomato", 4, neighbours_plot=True, x_m=8.0, y_m=1.0),
        Planting("gone", "Peas", "pea", 9, "c", pulled=date(2025, 7, 20)),
    ),
)
ASKS = {"tomatoes": 0.5, "aubergines": 0.5, "beans": 0.1, "theirs": 0.5}


def with_mites(plan: Plan) -> Plan:
    here = Presence("aubergines", True, Span(3, 7, 12, "mites a leaf"), ("tomatoes", "beans"))
    there = Presence("beans", False, Span(0, 0.5, 2, "mites a leaf"))
    population = replace(plan.populations[0], where=(here, there))
    return replace(plan, populations=(population,))


def page(plan: Plan | None, plot: Plot = PLOT) -> dict[str, Any]:
    return plot_page(plan, plot, ASKS, "metric")


def numbers(path: str) -> list[tuple[float, float]]:
    """Every point of a path of M and L."""
    return [(float(x), float(y)) for x, y in re.findall(r"[ML]([\d.-]+) ([\d.-]+)", path)]


@pytest.mark.parametrize("hatch", sorted(set(HATCHES.values()) - {"none"}))
@pytest.mark.parametrize("box", [Box(3, 4, 130, 36), Box(0, 0, 20, 90), Box(10, 10, 9, 9)])
def test_a_hatch_stays_in_its_box(hatch: Any, box: Box) -> None:
    points = numbers(hatched(hatch, box))
    assert points
    for x, y in points:
        assert box.x - 0.05 <= x <= box.right + 0.05
        assert box.y - 0.05 <= y <= box.bottom + 0.05


def test_ground_is_drawn_as_large_as_it_is_and_north_is_up() -> None:
    spots = {spot.key: spot for spot in spots_of(PLOT, ASKS)}
    scale = scale_of(spots.values())
    assert scale is not None
    drawn = {key: scale.box(s.ground) for key, s in spots.items() if s.ground}
    per_m = scale.units_per_m
    assert drawn["beans"].width == pytest.approx(4.0 * per_m)
    assert drawn["beans"].height == pytest.approx(1.2 * per_m)
    assert drawn["beans"].bottom < drawn["tomatoes"].y  # bed B lies north of bed A
    assert drawn["c"].x - drawn["beans"].right == pytest.approx(1.0 * per_m)
    assert drawn["theirs"].width ** 2 == pytest.approx(4 * 0.5 * per_m**2)


def test_plantings_share_a_bed_by_the_room_they_ask_for() -> None:
    spots = {spot.key: spot for spot in spots_of(PLOT, ASKS)}
    one, other = spots["tomatoes"].ground, spots["aubergines"].ground
    assert one is not None and other is not None
    assert one.length + other.length == pytest.approx(4.0)
    assert one.length == pytest.approx(3 * other.length)
    assert other.west == pytest.approx(one.west + one.length)


def test_what_was_pulled_leaves_its_bed_bare_and_what_has_no_bed_is_only_listed() -> None:
    told = page(None)
    rows = {row["what"]: row for row in told["places"]}
    assert rows["nothing"]["where"] == "bed C"
    assert not rows["Basil, 4"]["drawn"]
    assert rows["Basil, 4"]["where"] == "no bed written down"
    assert len(told["drawing"]["places"]) == len(told["places"]) - 1


def test_the_bar_is_as_long_as_it_says_on_the_page_and_on_paper(plan: Plan) -> None:
    drawing = page(plan)["drawing"]
    scale = scale_of(spots_of(PLOT, ASKS))
    assert scale is not None
    bar = drawing["bar"]
    metres = float(bar["says"].removesuffix(" m"))
    assert bar["x2"] - bar["x1"] == pytest.approx(metres * scale.units_per_m, abs=0.1)
    a_unit_mm = float(drawing["paper_width"].removesuffix("mm")) / drawing["width"]
    assert float(bar["millimetres"]) == pytest.approx(metres * 1000 / drawing["on_paper"])
    assert (bar["x2"] - bar["x1"]) * a_unit_mm == pytest.approx(float(bar["millimetres"]), rel=0.01)
    assert float(drawing["paper_width"].removesuffix("mm")) <= 186  # A4 without its margins


def test_feet_for_those_who_ask_in_feet(plan: Plan) -> None:
    drawing = plot_page(plan, PLOT, ASKS, "us")["drawing"]
    scale = scale_of(spots_of(PLOT, ASKS))
    assert scale is not None
    feet = float(drawing["bar"]["says"].removesuffix(" ft"))
    length = drawing["bar"]["x2"] - drawing["bar"]["x1"]
    assert length == pytest.approx(feet * 0.3048 * scale.units_per_m, abs=0.1)
    assert drawing["size"] == "20 by 10 feet"


def test_state_is_told_by_pattern_and_word_in_the_plan_its_key_and_the_table(plan: Plan) -> None:
    told = page(plan)
    drawn = {place["words"][0]["says"]: place for place in told["drawing"]["places"]}
    barred = next(place for says, place in drawn.items() if says.startswith("3"))
    assert barred["barred"]
    assert barred["words"][1]["says"] == "not yet"
    kinds = [place["hatch_kind"] for place in told["drawing"]["places"]]
    assert {one["hatch_kind"] for one in told["drawing"]["legend"]} == set(kinds)
    assert len({one["says"] for one in told["drawing"]["legend"]}) == len(told["drawing"]["legend"])
    beans = next(row for row in told["places"] if row["what"] == "Pole beans, 12")
    assert "Not to be picked before Thu 7 Aug 20:00" in beans["says"]


def test_arrows_lead_from_where_it_was_seen_to_where_it_was_not(plan: Plan) -> None:
    told = page(with_mites(plan))
    assert len(told["drawing"]["ways"]) == 2
    assert len(told["drawing"]["ways_legend"]) == 1
    rows = {row["name"]: row for row in told["on_them"]}
    assert rows["Aubergines"]["seen"] == [
        ("Greenhouse whitefly, about 3 to 12 mites a leaf.",
         "May spread to Cordon tomatoes and the beans.")
    ]  # fmt: skip
    assert not rows["Pole beans"]["seen"]
    assert rows["Pole beans"]["perhaps"].startswith("Perhaps: greenhouse whitefly, about 0 to 2")


@pytest.mark.parametrize(
    ("other", "begins", "ends"),
    [
        (Box(60, 0, 40, 20), (40, 17), (60, 17)),  # beside it: across the gap
        (Box(0, 50, 40, 20), (34, 20), (34, 50)),  # below it
        (Box(70, 50, 40, 20), (40, 20), (70, 50)),  # aslant: from corner to corner
    ],
)
def test_an_arrow_crosses_the_gap(
    other: Box, begins: tuple[float, float], ends: tuple[float, float]
) -> None:
    first, last = nearest(Box(0, 0, 40, 20), other)
    assert first == pytest.approx(begins, abs=4.1)
    assert last == pytest.approx(ends, abs=4.1)


def test_words_stay_within_the_drawing_and_off_their_neighbours(plan: Plan) -> None:
    told = page(plan)
    boxes = {place["words"][0]["says"]: place["box"] for place in told["drawing"]["places"]}
    for place in told["drawing"]["places"]:
        for word in place["words"]:
            right = word["x"] + (len(word["says"]) - 1) * LETTER
            assert right <= told["drawing"]["width"]
            for box in boxes.values():
                inside = box.y < word["y"] - 4 < box.bottom and box.x < word["x"]
                if inside and len(place["words"][0]["says"]) > 1:
                    assert word["x"] >= box.right or right <= box.right + LETTER


@pytest.mark.parametrize("name", ["Courgettes", "Late cauliflowers", "Chard"])
@pytest.mark.parametrize("length", [0.5, 1.0, 2.0, 4.0, 8.0])
def test_the_number_is_always_there_and_the_state_never_alone(
    plan: Plan, name: str, length: float
) -> None:
    bed = Bed("a", "bed A", 0.0, 0.0, length, 1.2)
    tomatoes = Planting("tomatoes", name, "tomato", 6, "a")
    plot = replace(PLOT, beds=(bed, PLOT.beds[1]), plantings=(tomatoes,))
    place = page(plan, plot)["drawing"]["places"][0]
    assert place["words"][0]["says"].startswith("1")
    if len(place["words"]) > 1:
        assert place["words"][-1]["says"] == "fight" or name.endswith(place["words"][-1]["says"])


def test_beds_without_a_position_are_named(plan: Plan) -> None:
    beds = tuple(replace(bed, placed=bed.key != "b") for bed in PLOT.beds)
    assert page(plan, replace(PLOT, beds=beds))["laid"] == ["bed B"]
    assert page(plan)["laid"] == []


def test_a_plot_without_beds_has_nothing_to_draw_and_still_its_table(plan: Plan) -> None:
    plot = replace(PLOT, beds=(), plantings=(Planting("tomatoes", "Tomatoes", "tomato", 3),))
    told = page(plan, plot)
    assert told["drawing"] is None
    assert [row["what"] for row in told["places"]] == ["Tomatoes, 3"]
