"""Soap on one of two plantings full of whitefly: counted after, once it worked and once it did not.

The comparison with the untreated planting is worked by hand from Henderson and Tilton's formula.
"""

from __future__ import annotations

import re
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest
from tests.seasons.champion import PLACE, opened

from lattermath.desk.did_it_work import poorly
from lattermath.desk.log_visit import log
from lattermath.desk.plan_visit import plan
from lattermath.vocabulary.events import Sighting, Treatment
from lattermath.vocabulary.plan import Population

pytestmark = pytest.mark.usefixtures("few_draws")

FILE = (
    PLACE
    + """region = "north_america"
country = "invented"
[[planting]]
key = "aubergines"
name = "Aubergines"
crop = "aubergine"
plants = 5
set_out = 2011-06-01
[[planting]]
key = "tomatoes"
name = "Tomatoes"
crop = "tomato"
plants = 5
set_out = 2011-06-01
[[shelf]]
key = "soap"
name = "Shelf soap (invented)"
active = "soap"
form = "spray"
country = "invented"
sold_to_amateurs = true
re_entry_hours = 4
invented = true
[shelf.crops.aubergine]
pre_harvest_days = 1
retreat_days = 5
"""
)
BEFORE = (40, 22, 31, 18, 27, 25, 33, 20, 29, 31)
BESIDE = (12, 9, 15, 8, 11)
SPRAYED = datetime(2011, 7, 21, 20, 0)


def population(
    folder: Path,
    after: tuple[int, ...] | None,
    *,
    beside: bool = True,
    there: tuple[int, ...] = (13, 10, 14, 9, 12),
) -> Population:
    opened(folder, FILE)

    def count(planting: str, counts: tuple[int, ...], at: datetime) -> None:
        seen = Sighting(planting, "greenhouse whitefly", "count", "scales", counts=counts)
        log(folder, seen, at)

    evening = SPRAYED - timedelta(days=1)
    count("aubergines", BEFORE, evening)
    count("tomatoes", BESIDE, evening)
    soap = Treatment(("aubergines",), "", "soap", "greenhouse_whitefly", 1.0)
    log(folder, soap, SPRAYED)
    if after is not None:
        for days in (3, 5, 6):
            count("aubergines", after, SPRAYED + timedelta(days=days))
    if after is not None and beside:
        count("tomatoes", there, SPRAYED + timedelta(days=5))
    made = plan(folder, date(2011, 7, 28))
    return next(p for p in made.populations if p.organism == "greenhouse_whitefly")


@pytest.fixture(scope="module")
def seen(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Population]:
    folder = tmp_path_factory.mktemp("worked")
    return {
        "well": population(folder / "well", (3, 1, 2, 0, 2, 1, 4, 0, 2, 1)),
        "ill": population(folder / "ill", (95, 70, 88, 61, 79, 90, 77, 84, 69, 87)),
        "unseen": population(folder / "unseen", None),
        "alone": population(folder / "alone", (3, 1, 2, 0, 2, 1, 4, 0, 2, 1), beside=False),
        "risen": population(
            folder / "risen", (95, 270, 188, 261, 179, 290, 177, 184, 269, 187), beside=False
        ),
    }


def taken(one: Population) -> int:
    found = re.search(r"(?:takes|reckons with) about (\d+) in 10", one.says)
    assert found is not None
    return int(found[1])


def test_what_was_not_counted_again_is_asked_for(seen: dict[str, Population]) -> None:
    assert re.search(
        r"21 Jul: not counted since; a count there from \w+ 28 Jul on", seen["unseen"].says
    )


def test_the_counts_move_what_it_is_believed_to_take(seen: dict[str, Population]) -> None:
    assert taken(seen["well"]) > taken(seen["ill"]) + 1
    assert "works poorly here" in seen["ill"].says
    assert "undersides missed" in seen["ill"].says
    assert "works poorly" not in seen["well"].says


def test_counts_that_speak_against_a_treatment_are_not_told_as_its_belief(
    seen: dict[str, Population],
) -> None:
    """Three times as many after it, beside plants that stayed as they were."""
    says = seen["ill"].says
    assert re.search(r": \d+ % more \(\d+ to \d+\) by your counts", says)
    assert "the plan still reckons with about" in says and "and what was counted" not in says
    assert "rose or fell by itself is believed sooner; count both after the next. Else it" in says


def test_what_was_last_counted_stands_beside_what_is_believed(seen: dict[str, Population]) -> None:
    """Ten leaves of 79, 80 or so the last time; a dozen on the tomatoes."""
    assert "most on Aubergines" in seen["ill"].says
    assert "Last counted there, Wed 27 Jul: 80 a leaf." in seen["ill"].says


def test_with_none_counted_beside_it_the_fall_is_told_and_not_as_the_treatment_s(
    seen: dict[str, Population],
) -> None:
    """276 on ten leaves the evening before, 16 three days after it."""
    fewer = round(100 * (1 - 16 / 276))
    told = f"28 a leaf counted before, 1.6 on 24 Jul, {fewer} % fewer; without it about "
    assert told in seen["alone"].says
    left = re.search(
        r"without it about (\d+) \((\d+) to (\d+)\) by weather and", seen["alone"].says
    )
    assert left is not None
    low, high = int(left[2]), int(left[3])
    assert 1.6 < low < int(left[1]) < high
    assert "without it" not in seen["well"].says
    assert "counted before" not in seen["well"].says


def test_more_than_without_it_is_said(seen: dict[str, Population]) -> None:
    """Seven times as many three days after a spray, and no word would be no answer."""
    says = seen["risen"].says
    left = re.search(r"without it about \d+ \(\d+ to (\d+)\) by weather and", says)
    assert left is not None and int(left[1]) < 210
    assert "and there are more than that: it took little, or more hatched or flew in" in says
    assert "more than that" not in seen["alone"].says


def test_beside_untreated_plants_by_the_published_formula(seen: dict[str, Population]) -> None:
    """100 (1 - Ta Cb / (Tb Ca)), by hand: means 1.6, 11, 27.6 and 11.6."""
    wanted = 100 * (1 - 1.6 * 11.0 / (27.6 * 11.6))
    reason = next(b for b in seen["well"].because if "Henderson" in b.says)
    found = re.search(r": (\d+) % fewer \((\d+) to (\d+)\)", reason.says)
    assert found is not None
    assert int(found[1]) == round(wanted)
    assert int(found[2]) < wanted < int(found[3])
    assert len(reason.rests_on) == 4


def test_a_spray_that_failed_twice_beside_untreated_plants_is_believed_less(
    tmp_path: Path,
) -> None:
    """Aphids on both plantings as many after two sprays as before: the tables' figure gives way."""
    opened(tmp_path / "plot", FILE.replace('"tomato"', '"melon"').replace("aubergine", "cucumber"))
    beds = {"cucumbers": BEFORE, "tomatoes": (22, 19, 25, 18, 21, 30, 12, 20, 17, 24)}
    for days in (-1, 4, 10):
        for bed, counts in beds.items():
            seen = Sighting(bed, "melon aphid", "count", counts=counts)
            log(tmp_path / "plot", seen, SPRAYED + timedelta(days=days - 7))
    for days in (0, 6):
        soap = Treatment(("cucumbers",), "", "soap", "melon_aphid", 1.0)
        log(tmp_path / "plot", soap, SPRAYED + timedelta(days=days - 7))
    made = plan(tmp_path / "plot", date(2011, 7, 27))
    aphids = next(p for p in made.populations if p.organism == "melon_aphid")
    assert taken(aphids) <= 5
    assert "works poorly here" in aphids.says


@pytest.mark.parametrize("beside", [True, False])
def test_who_counts_and_sprays_on_one_evening_is_told_of_the_spray_before(
    tmp_path: Path, *, beside: bool
) -> None:
    """28 a leaf, soap, 80 a leaf five days on and soap again that evening; 11 and 12 beside it."""
    folder = tmp_path / "plot"
    opened(folder, FILE)
    ill = (95, 70, 88, 61, 79, 90, 77, 84, 69, 87)
    for days, here, there in ((0, BEFORE, BESIDE), (5, ill, (13, 10, 14, 9, 12))):
        at = SPRAYED + timedelta(days=days)
        for planting, counts in (("aubergines", here), ("tomatoes", there))[: 1 + beside]:
            seen = Sighting(planting, "greenhouse whitefly", "count", "scales", counts=counts)
            log(folder, seen, at - timedelta(hours=1))
        log(folder, Treatment(("aubergines",), "", "soap", "greenhouse_whitefly", 1.0), at)
    made = plan(folder, date(2011, 7, 27))
    found = next(p for p in made.populations if p.organism == "greenhouse_whitefly")
    more = round(-100 * (1 - 80 * 11.0 / (27.6 * 11.6)))
    told = rf"21 Jul: {more} % more" if beside else "21 Jul: 28 a leaf counted before, 80 on 26 Jul"
    assert re.search(told, found.says), found.says
    assert "That of 26 Jul is not counted yet: count there from Thu 28 Jul on." in found.says
    assert "not counted since" not in found.says
    entry = next(b for b in found.because if " here: " in b.says).rests_on
    assert len(entry) == 1


def test_of_two_sprayed_on_one_day_the_one_not_counted_is_named(tmp_path: Path) -> None:
    """Counted on aubergines five days later, and "that of 21 Jul is not counted" all the same."""
    folder = tmp_path / "plot"
    opened(folder, FILE + "[shelf.crops.tomato]\npre_harvest_days = 1\nretreat_days = 5\n")
    for planting, counts in (("aubergines", BEFORE), ("tomatoes", BESIDE)):
        seen = Sighting(planting, "greenhouse whitefly", "count", "scales", counts=counts)
        log(folder, seen, SPRAYED - timedelta(hours=2))
    for planting in ("tomatoes", "aubergines"):
        soap = Treatment((planting,), "", "soap", "greenhouse_whitefly", 1.0)
        log(folder, soap, SPRAYED)
    few = (4, 2, 3, 1, 2)
    after = Sighting("aubergines", "greenhouse whitefly", "count", "scales", counts=few)
    log(folder, after, SPRAYED + timedelta(days=5))
    made = plan(folder, date(2011, 7, 27))
    says = next(p for p in made.populations if p.organism == "greenhouse_whitefly").says
    assert "That on Tomatoes is not counted yet: count there from Wed 27 Jul on." in says
    assert "That of 21 Jul" not in says


@pytest.mark.parametrize(
    ("usual", "high", "poor"),
    [
        (0.5, 0.6, False),  # "hardly any to 6 in 10; 5 in 10 would be usual"
        (0.5, 0.5, False),
        (0.54, 0.46, False),  # both are told as 5 in 10
        (0.5, 0.2, True),
        (0.9, 0.7, True),
    ],
)
def test_it_works_poorly_only_where_the_range_told_excludes_the_usual(
    usual: float, high: float, *, poor: bool
) -> None:
    assert poorly(usual, high) is poor


def test_the_look_asks_for_the_count_that_the_sheet_waits_for(tmp_path: Path) -> None:
    """Ten leaves of a planting were turned for mites, and the whitefly sprayed there left out."""
    folder = tmp_path / "plot"
    opened(folder, FILE)
    evening = SPRAYED - timedelta(hours=1)
    log(folder, Sighting("aubergines", "greenhouse whitefly", "count", "scales", counts=BEFORE),
        evening)  # fmt: skip
    log(folder, Treatment(("aubergines",), "", "soap", "greenhouse_whitefly", 1.0), SPRAYED)
    made = plan(folder, date(2011, 7, 22))
    says = next(p for p in made.populations if p.organism == "greenhouse_whitefly").says
    assert "a count there from Sat 23 Jul on tells what it took" in says
    visit = next(v for v in made.visits if v.date >= date(2011, 7, 23))
    (look,) = [t for t in visit.tasks if t.kind == "look" and t.planting == "aubergines"]
    assert "greenhouse_whitefly" in {one.organism for one in look.wanted}
    assert "Shelf soap (invented) of 21 Jul took" in look.says or "Decides" in look.says


@pytest.mark.parametrize(("there", "left"), [((0, 0, 0, 0, 0), "0"), ((0, 1, 0, 0, 0), "0.2")])
def test_untreated_ones_that_fell_as_well_tell_nothing_of_it_and_that_is_said(
    tmp_path: Path, there: tuple[int, ...], left: str
) -> None:
    """16 on ten leaves left of 276, and none or one on five beside them of 55."""
    says = population(tmp_path / "plot", (3, 1, 2, 0, 2, 1, 4, 0, 2, 1), there=there).says
    assert (
        f"28 a leaf counted before, 1.6 on 24 Jul, 94 % fewer; untreated Tomatoes fell as well "
        f"(11 to {left} a leaf), so your counts tell nothing of it; the plan still reckons with"
    ) in says
    assert "by weather and life cycle" not in says and "% more" not in says
