"""A course is promised where the belief can follow what may be behind it, and nowhere else."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from lattermath.belief.life_history import life_of
from lattermath.desk.look import look
from lattermath.desk.look_parts import look_parts
from lattermath.desk.look_reckoned import by_hand, no_course
from lattermath.desk.look_words import told
from lattermath.desk.start import start
from lattermath.knowledge.tables import load_tables

DAY = date(2026, 7, 25)
TABLES = load_tables()
PLOT = """
format = 1
[place]
name = "Green Lane"
latitude = 30.6
longitude = -96.3
time_zone = "America/Chicago"
usual_first_frost = "11-25"
region = "north_america"
[[planting]]
name = "Corn"
crop = "sweet_corn"
plants = 20
sown = 2026-05-05
[[planting]]
name = "Okra"
crop = "okra"
plants = 6
sown = 2026-05-05
[[planting]]
name = "Pak choi"
crop = "pak choi"
plants = 12
sown = 2026-06-25
"""


@pytest.fixture(scope="module")
def plot(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("reckoned")
    (folder / "plot.toml").write_text(PLOT, "utf-8")
    start(folder)
    return folder


def test_what_the_belief_cannot_follow_on_a_crop_is_promised_no_course() -> None:
    """Asked of the belief itself: the terms of a crop by which a population would grow there."""
    lives = {one: life_of(TABLES, one).figures for one in TABLES.organisms}
    for cause, row in TABLES.causes.items():
        joined = TABLES.crosswalk.cause_joins.get(cause, ())
        insects = [one for one in joined if one in lives]
        if row.deed != "treat" and not insects:
            continue
        for crop in TABLES.crops:
            terms = [lives[one].host(crop, TABLES.crosswalk) for one in insects]
            assert no_course(TABLES, cause, crop) == (not any(terms)), (cause, crop)


def test_an_earworm_is_promised_no_course_and_hands_and_a_note_are_told(plot: Path) -> None:
    looked = look(plot, "Corn", ("caterpillar_cob_tip",), (), DAY)
    lines, parts = "\n".join(told(looked)), look_parts(looked)
    assert "corn earworm" in lines.split("May be behind it")[1].split("\n")[1]
    assert "a course of treatment" not in lines and "weighs a course" not in lines
    assert "By hand: " in lines and 'lattermath log seen corn "corn earworm"' in lines
    assert parts.count is None and "By hand: " in parts.unreckoned[0]
    assert "course of treatment" not in "".join(one.deed for one in parts.causes)


@pytest.mark.parametrize(
    ("name", "sign", "species"),
    [
        ("Okra", "white_insect_cloud", "sweetpotato_whitefly"),
        ("Pak choi", "green_velvet_caterpillar", "imported_cabbageworm"),
        ("Pak choi", "small_wriggling_caterpillar", "diamondback_moth"),
        ("Pak choi", "looping_caterpillar", "cabbage_looper"),
    ],
)
def test_hosts_that_growers_know_have_a_row_that_says_it_is_recalled(
    plot: Path, name: str, sign: str, species: str
) -> None:
    looked = look(plot, name, (sign,), (), DAY)
    assert "a course of treatment" in "\n".join(told(looked)) and not look_parts(looked).unreckoned
    host = TABLES.crosswalk.host(looked.planting.crop, TABLES.organisms[species].hosts)
    assert host is not None
    assert TABLES.organisms[species].hosts[host].origin.standing == "memory"


def test_what_hands_can_do_is_by_the_figures_of_the_methods() -> None:
    names = {method.id: method.name for method in TABLES.methods.values()}
    assert by_hand(TABLES, "mexican_bean_beetle")[0] == names["hand_pick"]
    assert by_hand(TABLES, "potato_leafhopper") == (names["vacuum"],)
    assert names["water_jet"] in by_hand(TABLES, "aphids")
    assert by_hand(TABLES, "corn_earworm") == () == by_hand(TABLES, "leek_rust")
    assert set(TABLES.crosswalk.cause_targets) <= set(TABLES.causes)
