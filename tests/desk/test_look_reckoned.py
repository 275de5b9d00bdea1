"""A course is promised where the belief can follow what may be behind it, and nowhere else."""

from __future__ import annotations

import re
import shlex
from datetime import date, datetime
from pathlib import Path

import pytest

from lattermath.belief.life_history import life_of
from lattermath.desk.log_names import plot_now
from lattermath.desk.log_visit import log
from lattermath.desk.log_words import echo
from lattermath.desk.look import look
from lattermath.desk.look_parts import look_parts
from lattermath.desk.look_reckoned import answered, by_hand, named_on, no_course, without_key
from lattermath.desk.look_words import FEEDS, told
from lattermath.desk.plant_signs import no_course_on
from lattermath.desk.sayings_read import sign_meant
from lattermath.desk.start import start
from lattermath.doors.command import run
from lattermath.knowledge.tables import load_tables
from lattermath.vocabulary.errors import InputError
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.plot import Planting

DAY = date(2026, 7, 25)
TABLES = load_tables()
README = Path(__file__).parents[2] / "README.md"
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


def test_a_crop_without_a_key_is_told_what_is_reckoned_on_it_and_of_a_clinic(
    tmp_path: Path,
) -> None:
    spuds = PLOT.replace('name = "Okra"\ncrop = "okra"', 'name = "Spuds"\ncrop = "potato"')
    (tmp_path / "plot.toml").write_text(spuds, "utf-8")
    start(tmp_path)
    remedy = without_key(TABLES, Planting("spuds", "Spuds", "potato", 9)).remedy
    assert "lattermath log severity spuds late_blight 10" in remedy and "plant clinic" in remedy
    assert run(["log", "severity", "spuds", "late_blight", "10", "--plot", str(tmp_path)]) == 0
    assert 'lattermath log seen spuds "yellow leaves"' in remedy


def test_the_example_that_readers_are_told_works_to_the_letter(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = README.read_text("utf-8")
    minimal = re.search(r"<!-- checked: minimal plot -->\n```toml\n(.*?)```", text, re.DOTALL)
    assert minimal is not None
    told = text.split("## Something is wrong")[1].split("## ")[0]
    kale = "\n".join(re.findall(r"`((?:name|crop|plants|set_out) = [^`]+)`", told))
    assert kale.count("\n") == 3
    with_kale = minimal[1].replace("[[week]]", f"[[planting]]\n{kale}\n[[week]]", 1)
    (tmp_path / "plot.toml").write_text(with_kale, "utf-8")
    start(tmp_path)
    commands = [c.split("#")[0] for c in re.findall(r"^    lattermath (.+)$", told, re.MULTILINE)]
    asked = [shlex.split(c) for c in commands if c.startswith(("look kale", "log count kale"))]
    assert len(asked) == 3
    out = []
    for one in asked:
        assert run([*one, "--plot", str(tmp_path)]) == 0
        out.append(capsys.readouterr().out)
    first, second = re.findall(r"(\d+) in 100 on that day, other whiteflies (\d+)", told)[0]
    assert f"{first} %  cabbage whitefly" in out[0] and f"{second} %  whiteflies" in out[0]
    assert "10x lens on a white fly" in out[0] and "log count kale cabbage_whitefly" in out[0]


def test_a_feed_is_named_by_what_it_must_hold(tmp_path: Path) -> None:
    """A common feed has no boron, and soon too much of it harms: the soil is tested first."""
    beet = PLOT.replace('"Okra"\ncrop = "okra"', '"Beet"\ncrop = "beetroot"')
    (tmp_path / "plot.toml").write_text(beet, "utf-8")
    start(tmp_path)
    seen = ("roots have black corky patches inside",)
    lines = told(look(tmp_path, "Beet", seen, (), DAY))
    (line,) = [one for one in lines if "%  lack of boron" in one]
    assert "soil tested" in line and "lists boron, by its label" in line
    feeds = {cause for cause, row in TABLES.causes.items() if row.deed == "feed"}
    assert feeds == {"nitrogen_hunger", *FEEDS}


@pytest.mark.parametrize(
    ("words", "crop", "says"),
    [
        (
            "leek moth",
            "leek",
            "leek moth is not reckoned on this crop, so no course. By hand: pick",
        ),
        (
            "leek moths",
            "leek",
            "leek moth is not reckoned on this crop, so no course. By hand: pick",
        ),
        ("corn borer", "sweet_corn", "European corn borer is not reckoned on this crop, so no"),
        ("root aphids", "leaf_lettuce", "lettuce root aphid, not reckoned: pull and bin the"),
        ("beet leafminer", "beetroot", "beet and spinach leafminers, not reckoned: take off and"),
        ("leek moth", "sweet_corn", ""),  # it does not live there
        ("moth", "leek", ""),  # any of several
        ("aphids", "leaf_lettuce", ""),  # a kind, which is reckoned
        ("squash bug", "summer_squash", ""),  # followed by a plan
    ],
)
def test_a_name_that_only_the_key_knows_is_answered_by_what_hands_can_do(
    words: str, crop: str, says: str
) -> None:
    """`look` handed it out, `log` called it an own word, and the sheet said nothing to do."""
    cause = named_on(TABLES, words, crop)
    assert (answered(TABLES, cause, crop) if cause else "").startswith(says)
    assert bool(cause) == bool(says)


def test_such_a_name_is_answered_alike_when_logged_on_the_sheet_and_in_a_look(plot: Path) -> None:
    seen = Sighting("corn", "corn borer", "first seen")
    event = log(plot, seen, datetime(2026, 7, 24, 18, 0))
    by_hand_says = "European corn borer is not reckoned on this crop, so no course. By hand: pick"
    assert any(
        says.startswith(f"Kept as seen. {by_hand_says}")
        for says in echo(plot, event, plot_now(plot))
    )
    corn = Planting("corn", "Corn", "sweet_corn", 20)
    assert no_course_on("corn borer", corn, TABLES, "north_america").startswith(by_hand_says)
    with pytest.raises(InputError) as refused:
        sign_meant(TABLES, Planting("leeks", "Leeks", "leek", 20), "leek moth", "--seen")
    assert "If you know it is that: leek moth is not reckoned on this crop" in str(refused.value)
