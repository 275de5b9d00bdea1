"""What was found here of late is not looked for again, and explains only what it makes."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path

from lattermath.desk.diagnose import Diagnosis, diagnose
from lattermath.desk.log_visit import log
from lattermath.desk.look import look
from lattermath.desk.look_facts import Known, known_of
from lattermath.desk.look_words import told
from lattermath.desk.start import start
from lattermath.knowledge.tables import load_tables
from lattermath.vocabulary.events import Event, Sighting
from lattermath.vocabulary.plot import Planting

TABLES = load_tables()
DAY = date(2025, 8, 10)
AUBERGINES = Planting("a", "Aubergines", "eggplant", 9, "b", set_out=date(2025, 6, 1))
KALE = Planting("a", "Kale", "kale", 9, "b", set_out=date(2025, 6, 1))
MELONS = Planting("a", "Melons", "melon", 4, "b", set_out=date(2025, 6, 8))
SHAKES = {"white_insect_cloud", "shake_plant"}


def entry(day: date, what: str, measure: str = "count", **seen: object) -> Event:
    at = datetime(day.year, day.month, day.day, 12, tzinfo=UTC)
    look = Sighting("a", what, measure, **seen)  # type: ignore[arg-type]
    return Event(1, "id", "sighting", 1, at, "Europe/London", at, look)


def known(planting: Planting, *seen: str, events: tuple[Event, ...] = ()) -> Known:
    return known_of(planting, events, None, DAY, TABLES, seen=seen)


def weighed(planting: Planting, *seen: str, events: tuple[Event, ...] = ()) -> Diagnosis:
    one = known(planting, *seen, events=events)
    present = tuple(dict.fromkeys((*seen, *one.present, *one.found)))
    return diagnose(TABLES, planting.crop, "europe", present, one.absent, one.factors, one.settled)


def looks(found: Diagnosis) -> list[str]:
    return [one.look.sign.id for one in found.verdict.looks]


WHITEFLY = (entry(date(2025, 8, 8), "whitefly", counts=(400, 364, 300), looked_at=3),)


def test_an_insect_that_was_counted_here_is_there_and_not_asked_for() -> None:
    seen = ("uniform_pale_yellow_old",)
    before, after = weighed(AUBERGINES, *seen), weighed(AUBERGINES, *seen, events=WHITEFLY)
    assert set(looks(before)) & SHAKES and not set(looks(after)) & {*SHAKES, "scales_under_leaf"}
    assert next(iter(after.told.probabilities)) == "whitefly"
    one = known(AUBERGINES, *seen, events=WHITEFLY)
    assert one.found == ("white_insect_cloud",) and one.counted == {"whitefly": date(2025, 8, 8)}
    assert any("found here on 08 Aug, so it is there" in says for says in one.says)


def test_what_was_found_long_ago_is_looked_for_again() -> None:
    old = (entry(date(2025, 7, 20), "whitefly", counts=(9,), looked_at=1),)
    assert set(looks(weighed(AUBERGINES, "honeydew_sticky", events=old))) & SHAKES
    assert not known(AUBERGINES, "honeydew_sticky", events=old).found


def test_a_find_makes_no_cause_likelier_for_what_it_does_not_make() -> None:
    mildew = (entry(date(2025, 8, 8), "cucurbit_powdery_mildew", "severity", percent=12.0),)
    for sign in ("wilt_midday_recovers", "pale_papery_sun_side"):
        without, with_ = weighed(MELONS, sign), weighed(MELONS, sign, events=mildew)
        chance = [one.told.probabilities["cucurbit_powdery_mildew"] for one in (without, with_)]
        assert chance[1] <= chance[0]
        assert not set(looks(with_)) & {"white_powder_top", "white_powder_under", "finger_rub"}
    patch = weighed(MELONS, "pale_papery_sun_side", events=mildew)
    assert next(iter(patch.told.probabilities)) == "sunscald"


def test_tonight_s_shake_and_count_are_not_asked_for_a_second_time() -> None:
    events = (
        entry(DAY, "aphid", counts=(4, 2), looked_at=10),
        entry(DAY, "whitefly", "shake", level="none", looked_at=2),
    )
    found = weighed(KALE, "honeydew_sticky", events=events)
    assert not set(looks(found)) & {*SHAKES, "soft_insect_clusters"}
    assert next(iter(found.told.probabilities)) == "aphids"


def test_two_checks_that_are_the_same_act_are_offered_once() -> None:
    for planting in (AUBERGINES, KALE):
        offered = looks(weighed(planting, "honeydew_sticky"))
        assert len(set(offered) & SHAKES) == 1
        for check, signs in TABLES.crosswalk.check_signs.items():
            if len(signs) == 1:
                assert not {check, *signs} <= set(offered)


def test_a_look_worded_for_another_crop_is_not_offered() -> None:
    assert "wings_lens" not in looks(weighed(AUBERGINES, "white_insect_cloud"))
    assert "wings_lens" in looks(weighed(KALE, "white_insect_cloud"))


def test_every_find_answers_a_sign_that_its_cause_makes() -> None:
    for cause, signs in TABLES.crosswalk.found_signs.items():
        assert cause in TABLES.crosswalk.cause_joins
        for sign in signs:
            check = TABLES.checks.get(sign)
            chances = check.chances("") if check else TABLES.causes[cause].chances
            assert cause in chances or sign in chances, (cause, sign)


def test_with_nothing_seen_no_sign_of_what_was_counted_is_looked_for() -> None:
    """Stippled and bronzed leaves are what fifty mites a leaf make; who counted them knows."""
    mites = (entry(date(2025, 8, 8), "twospotted_spider_mite", counts=(60, 48), looked_at=2),)
    signs = {"fine_pale_stippling", "bronzed_leaves"}
    assert signs & set(looks(weighed(AUBERGINES)))
    assert not signs & set(looks(weighed(AUBERGINES, events=mites)))


def test_without_anything_seen_what_was_counted_is_told(tmp_path: Path) -> None:
    plot = (
        'format = 1\n[place]\nname = "Lane"\nlatitude = 51.5\nlongitude = -0.6\n'
        'time_zone = "Europe/London"\nusual_first_frost = "10-25"\n'
        '[[planting]]\nkey = "a"\nname = "Kale"\ncrop = "kale"\nplants = 9\n'
        "set_out = 2025-06-01\n"
    )
    (tmp_path / "plot.toml").write_text(plot, "utf-8")
    start(tmp_path, datetime(2025, 6, 1, 12, tzinfo=UTC))
    seen = Sighting("a", "cabbage_whitefly", "count", looked_at=2, counts=(20, 11))
    log(tmp_path, seen, datetime(2025, 8, 8, 18))
    lines = told(look(tmp_path, "a", (), (), DAY))
    assert "Counted here on Fri 8 Aug: cabbage whitefly." in lines
    old = told(look(tmp_path, "a", (), (), date(2025, 8, 20)))
    assert not any(line.startswith("Counted here") for line in old)
