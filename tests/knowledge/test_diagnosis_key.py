"""The key of diagnosis: typed again by eye, whole, and every word of it joined and known."""

from __future__ import annotations

import tomllib
from importlib.resources import files

import pytest

from lattermath.knowledge.making import diagnosis, walk
from lattermath.knowledge.symptom_words import meant
from lattermath.knowledge.tables import load_tables

TABLES = load_tables()
CROSS = TABLES.crosswalk
SIGNS = {*TABLES.symptoms, *TABLES.checks}

# Typed from the trade file: table, row, column, value, standing, source.
BY_EYE = """
    causes cucurbit_powdery_mildew p.white_powder_top 0.92 judgement umass_cpm
    causes angular_leaf_spot prior 0.05 judgement -
    causes bean_rust p.rusty_pustules_rub_off 0.92 judgement csu_rust
    causes lettuce_drop p.black_sclerotia 0.55 judgement uc_lettuce_drop
    causes cabbage_whitefly p.grey_spotted_wings_wax 0.6 judgement rhs_cabbage_whitefly
    causes tomato_moth p.fruit_hole_at_stem_end 0.5 judgement -
    causes walnut_toxicity prior 0.01 judgement -
    symptoms large_horned_caterpillar leak 0.003 judgement -
    symptoms scattered_plants leak 0.3 judgement -
    symptoms dry_soil_finger_depth leak 0.25 judgement -
    checks string_test p_positive_by_crop.squash.bacterial_wilt 0.45 judgement -
    checks string_test p_positive.bacterial_wilt 0.65 judgement -
    checks slit_stem p_default 0.005 judgement -
    checks night_torch minutes 15 judgement -
    checks dig_one_root p_positive.clubroot 0.95 judgement -
    diagnosis_constants diagnosis other_prior 0.05 judgement -
"""


@pytest.mark.parametrize("entry", [e.split() for e in BY_EYE.strip().splitlines()], ids="/".join)
def test_a_figure_entered_twice_agrees(entry):
    table, row, column, value, standing, source = entry
    figure = TABLES.rows[table][row].figure(column)
    assert figure.value == float(value)
    assert (figure.origin.standing, figure.origin.source or "-") == (standing, source)


def test_the_key_is_whole_and_larger_by_what_was_added():
    """86 causes, 129 symptoms and 53 checks, as the file says of itself; 45 and 26 were added."""
    said = TABLES.constants["diagnosis"]
    assert said.figure("causes").value == 86 and len(TABLES.causes) == 86 + 45
    assert said.figure("symptoms").value == 129 and len(TABLES.symptoms) == 129 + 26
    assert said.figure("checks").value == 53 == len(TABLES.checks)


def test_no_number_of_the_key_was_lost_and_what_was_added_is_told_apart():
    """979 numbers stand in the key as it came; those added are counted from their own file, but for
    the four leaks that take the place of one."""
    room = files("lattermath.knowledge") / "making"
    more = tomllib.loads((room / "diagnosis_more.toml").read_text("utf-8"))
    counts = tomllib.loads((room / "counts.toml").read_text("utf-8"))
    made = sum(counts[table]["numbers_after"] for table in diagnosis.TABLES)
    assert made - walk.count_numbers(more) + len(more["is_the_trouble"]) == 979


def test_what_was_seen_of_a_page_is_never_said_better_than_it_was():
    def seen(text, status="published-read"):
        return diagnosis.seen_of({"status": status, "text": text})

    assert seen("Univ. extension page") == "source"
    assert seen("Univ. extension page (excerpt)") == "abstract"
    assert seen("newspaper column quoting an extension page") == "second-hand"
    assert seen("no page read", "memory") == "no"


@pytest.mark.parametrize("cause", TABLES.causes.values(), ids=lambda c: c.id)
def test_every_word_of_a_cause_is_known(cause):
    assert set(cause.chances) <= set(TABLES.symptoms) and cause.chances
    assert all(c in CROSS.diagnosis_groups or c in TABLES.crops for c in cause.crops)
    assert CROSS.cause(cause.id) == CROSS.cause(cause.name) == cause.id
    least, most = (TABLES.constants["diagnosis"].figure(n).value for n in ("min_p", "max_p"))
    for sign, chance in cause.chances.items():
        assert least <= chance.value <= most
        assert chance.value > TABLES.symptoms[sign].leak.value, sign
    assert 0 < cause.prior.value < 0.5


@pytest.mark.parametrize("sign", sorted(SIGNS))
def test_every_symptom_and_check_is_known_by_its_id_and_its_words(sign):
    assert CROSS.symptom(sign) == sign
    assert CROSS.symptom(sign.replace("_", " ")) == sign
    if sign in TABLES.symptoms:
        assert CROSS.symptom(TABLES.symptoms[sign].text) == sign
        how = TABLES.symptoms[sign].look
        assert TABLES.constants["look_minutes"].figure(how).value >= 1


@pytest.mark.parametrize("check", TABLES.checks.values(), ids=lambda c: c.id)
def test_every_word_of_a_check_is_known(check):
    for group in CROSS.diagnosis_groups:
        chances = check.chances(group)
        assert set(chances) <= set(TABLES.causes) and chances


def test_a_check_s_group_is_one_of_symptoms_or_stands_alone():
    """Those that stand alone ask for a trial or for something no symptom of the key shows."""
    groups = {s.group for s in TABLES.symptoms.values()}
    alone = {c.group for c in TABLES.checks.values()} - groups
    assert alone == {"light", "new_growth", "feed_test", "beetles", "netted", "shaded"}


def test_every_symptom_tells_of_some_cause_and_every_confusion_of_two():
    told = {sign for cause in TABLES.causes.values() for sign in cause.chances}
    assert set(TABLES.symptoms) - told == set()
    for row in TABLES.rows["confusions"].values():
        assert {row.text("a"), row.text("b")} <= set(TABLES.causes)
        assert row.text("best_check") in TABLES.checks


def test_every_crop_is_in_one_group_and_every_group_has_causes():
    held = [crop for crops in CROSS.diagnosis_groups.values() for crop in crops]
    assert len(held) == len(set(held))
    assert set(TABLES.crops) == set(held)
    for group, crops in CROSS.diagnosis_groups.items():
        for crop in crops:
            causes = [c for c in TABLES.causes.values() if {group, crop} & set(c.crops)]
            assert len(causes) >= 12, crop
            assert any(c.kind == "disorder" for c in causes)


def test_every_join_leads_to_rows_and_every_row_of_a_disease_is_reached():
    targets = {*TABLES.organisms, *TABLES.diseases, *TABLES.disorders}
    joined = {one for ids in CROSS.cause_joins.values() for one in ids}
    assert set(CROSS.cause_joins) <= set(TABLES.causes)
    assert joined <= targets
    assert targets - joined == {"mite_stippling_vs_disease"}


def test_a_cause_of_a_treated_kind_joins_to_methods_with_a_figure_against_it():
    for cause, ids in CROSS.cause_joins.items():
        for one in ids:
            if one in TABLES.organisms:
                words = CROSS.targets[one]
                assert any(m.against(words) for m in TABLES.methods.values()), cause


@pytest.mark.parametrize(
    ("words", "sign"),
    [
        ("white specks fly up when I shake the kale", "white_insect_cloud"),
        ("White_insect-cloud", "white_insect_cloud"),
        ("there is white powder on the old leaves", "white_powder_top"),
        ("it wilts at noon", "wilt_midday_recovers"),
        ("silvery slime trails", "slime_trails"),
        ("winding pale tunnels in the leaves", "serpentine_mines"),
        ("fine webbing on the shoot tips", "webbing"),
        ("many shot holes and tiny round pits", "shot_holes"),
        ("the string test", "string_test"),
    ],
)
def test_a_grower_s_sentence_means_the_symptom_it_should(words, sign):
    assert meant(words, CROSS) == (sign,)


@pytest.mark.parametrize("words", ["", "it looks bad", "leaf", "the plants are sad today"])
def test_words_that_tell_nothing_mean_nothing(words):
    assert meant(words, CROSS) == ()


@pytest.mark.parametrize("phrase", list(CROSS.symptoms))
def test_every_phrase_of_the_crosswalk_means_its_symptom(phrase):
    assert meant(phrase, CROSS) == (CROSS.symptoms[phrase],)
    assert CROSS.symptoms[phrase] in SIGNS
