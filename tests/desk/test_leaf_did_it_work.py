"""Sulfur on one of two plantings with mildew: what is told of it, the comparison worked by hand."""

from __future__ import annotations

import re
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest
from tests.seasons.champion import PLACE, opened

from lattermath.desk.log_visit import log
from lattermath.desk.plan_visit import plan
from lattermath.vocabulary.events import Sighting, Treatment
from lattermath.vocabulary.plan import Population

pytestmark = pytest.mark.usefixtures("few_draws")

FILE = PLACE + "".join(
    f"""
[[planting]]
key = "{key}"
name = "{key.capitalize()}"
crop = "courgette"
plants = 3
set_out = 2011-06-01
"""
    for key in ("early", "late")
)
SPRAYED = datetime(2011, 7, 14, 20, 0)
MILDEW = "cucurbit_powdery_mildew"
MOST_SAID = 450  # characters, six lines of a sheet of 75


def population(folder: Path, *looks: tuple[str, int, float], today: int = 11) -> Population:
    opened(folder, FILE)
    log(folder, Treatment(("early",), "sulfur", None, MILDEW, 1.0), SPRAYED)
    for planting, days, percent in looks:
        seen = Sighting(planting, MILDEW, "severity", "", "top", 20, percent=percent)
        log(folder, seen, SPRAYED + timedelta(days=days, hours=-1))
    made = plan(folder, date(2011, 7, 14) + timedelta(days=today))
    return next(p for p in made.populations if p.organism == MILDEW)


@pytest.fixture(scope="module")
def seen(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Population]:
    folder, before = tmp_path_factory.mktemp("leaves"), (("early", 0, 6.0), ("late", 0, 5.0))
    late = ("late", 10, 22.0)
    return {
        "held": population(folder / "held", *before, ("early", 10, 7.0), late),
        "alone": population(folder / "alone", before[0], ("early", 10, 7.0)),
        "soon": population(folder / "soon", *before, ("early", 2, 7.0), today=3),
        "worse": population(
            folder / "worse", ("early", 0, 2.0), before[1], ("early", 10, 90.0), ("late", 10, 6.0)
        ),
        "after": population(folder / "after", ("early", 10, 7.0), late),
    }


def test_beside_untreated_leaves_by_the_odds_of_both(seen: dict[str, Population]) -> None:
    """100 (1 - Ta Cb / (Tb Ca)) of y / (1 - y): 7/93, 5/95, 6/94 and 22/78."""
    wanted = 100 * (1 - (7 / 93) * (5 / 95) / ((6 / 94) * (22 / 78)))
    none_new = 100 * (1 - (5 / 95) / (22 / 78))
    told = re.search(r"14 Jul: (\d+) % \(nothing to (\d+)\) less leaf ill", seen["held"].says)
    assert told is not None
    assert int(told[1]) == round(wanted) < int(told[2]) <= 100
    assert f"no new spot: {none_new:.0f} %" in seen["held"].says
    reason = next(b for b in seen["held"].because if "Henderson" in b.says)
    assert len(reason.rests_on) == 4
    told = re.search(r": (\d+) % \((-\d+) % to (\d+) %\) less leaf ill", reason.says)
    assert told is not None and int(told[2]) < 0 < int(told[1]) < int(told[3])


def test_what_was_last_judged_stands_before_what_the_treatment_did(
    seen: dict[str, Population],
) -> None:
    believed, judged, did = seen["held"].says.partition(
        " Last judged there, Sun 24 Jul: 22 % of the leaf on top. "
    )
    assert "most on Late" in believed and judged and "of 14 Jul: " in did


def test_four_looks_by_eye_leave_it_open_and_that_is_said(seen: dict[str, Population]) -> None:
    assert "leaves open whether it did anything" in seen["held"].says


def test_after_only_is_after_abbott_and_says_what_it_takes_for_granted(
    seen: dict[str, Population],
) -> None:
    told = re.search(r"14 Jul: (-?\d+) % .* if both began alike", seen["after"].says)
    assert told is not None and int(told[1]) == round(100 * (1 - 7 / 22))


def test_without_one_beside_it_belief_says_what_the_weather_would_have_done(
    seen: dict[str, Population],
) -> None:
    says = seen["alone"].says
    assert "your looks alone tell nothing of it" in says
    told = re.search(
        r"by 24 Jul about ([\d.]+) % .* of the leaf is believed ill, ([\d.]+) % .* without it",
        says,
    )
    assert told is not None and float(told[1]) < float(told[2])


def test_shares_are_told_in_the_words_of_insects_and_shortly(seen: dict[str, Population]) -> None:
    """Nothing keeps off ten in ten; and each treatment takes a few lines of a sheet."""
    for one in seen.values():
        told = one.says.partition(" Sulfur of")[2] or one.says.partition("14 Jul: ")[2]
        assert (
            told
            and "10 in 10" not in told
            and " in 10 to " not in told.replace("in 10 to nearly all", "")
        )
        assert len(told) < MOST_SAID


def test_what_shows_within_a_latent_period_is_not_held_against_it(
    seen: dict[str, Population],
) -> None:
    """Five days by the table; what was there two days after was in the leaf at the spraying."""
    assert "less leaf ill" not in seen["soon"].says
    assert re.search(r"a look there from \w+ 19 Jul on tells", seen["soon"].says)


def test_more_than_untreated_is_told_as_more_and_in_no_number(
    seen: dict[str, Population],
) -> None:
    says = seen["worse"].says
    assert "more leaf ill, not less, by your looks" in says and "It works poorly here" in says
    assert not re.search(r"-\d+ %", says)


@pytest.mark.parametrize(("looks", "verdict"), [(("late",), True), ((), False)])
def test_nothing_is_said_to_work_poorly_where_looks_tell_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, looks: tuple[str, ...], *, verdict: bool
) -> None:
    """Were everything poor: what aphid counts say of a spray's wetting is no finding on mildew."""
    monkeypatch.setattr("lattermath.desk.leaf_did_it_work.POOR", 1.1)
    beside = [(key, *look) for key in looks for look in ((0, 5.0), (10, 22.0))]
    says = population(tmp_path / "poor", ("early", 0, 6.0), ("early", 10, 7.0), *beside).says
    assert ("It works poorly here" in says) is verdict
    assert ("your looks alone tell nothing of it" in says) is not verdict


def test_untreated_leaves_on_which_none_was_left_are_named(tmp_path: Path) -> None:
    looks = (("early", 0, 6.0), ("late", 0, 5.0), ("early", 10, 2.0), ("late", 10, 0.0))
    says = population(tmp_path / "plot", *looks).says
    assert "none was left on untreated Late either, so your looks tell nothing of it" in says
    assert "before a spray and after it, would" not in says
