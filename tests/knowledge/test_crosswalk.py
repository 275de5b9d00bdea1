"""Every word used in the tables is known, and means what a grower means by it."""

from __future__ import annotations

import re

import pytest

from lattermath.knowledge.tables import load_tables

TABLES = load_tables()
CROSS = TABLES.crosswalk
# Conditions that share a column with host words: temperatures, places, shares of a sentence.
CONDITION = re.compile(r"t\d+.*|.*_\d+c|trade.*|field|lab|max|mass.*|per_mass|.*_leaf|flowers")
BY_HOST = (
    "lifetime_eggs",
    "lifetime_eggs_25c",
    "survival_egg_adult.by_host_25c",
    "survival_egg_adult.by_host_27c",
    "adult_longevity_days.female_25c",
)


def host_words():
    for organism in TABLES.organisms.values():
        yield from organism.hosts
        yield from (t.value for c, t in organism.row.texts.items() if c.endswith(".host"))
        for part in BY_HOST:
            yield from organism.row.under(part)
    for disease in TABLES.diseases.values():
        yield from disease.hosts
    for method in TABLES.methods.values():
        yield from method.pre_harvest_days


def test_every_host_word_of_every_table_is_known():
    words = {w for w in host_words() if not CONDITION.fullmatch(w)}
    assert len(words) > 60
    assert sorted(w for w in words if not CROSS.known(w)) == []


def test_no_word_is_both_grown_and_not_grown():
    assert not {w for w in CROSS.not_grown if w in CROSS.crops}


@pytest.mark.parametrize("crop", TABLES.crops)
def test_every_crop_resolves_by_id_and_name_and_has_host_words(crop):
    assert CROSS.crop(crop) == crop
    assert CROSS.crop(TABLES.crops[crop].name) == crop
    assert CROSS.crop(TABLES.crops[crop].name.upper()) == crop
    assert CROSS.hosts_of(crop)


def test_every_target_of_the_crosswalk_exists():
    assert set(CROSS.crops.values()) == set(TABLES.crops) == set(CROSS.hosts)
    assert set(CROSS.organisms.values()) == set(TABLES.organisms)
    assert set(CROSS.diseases.values()) == set(TABLES.diseases)
    assert set(CROSS.methods.values()) == set(TABLES.methods)
    assert set(CROSS.targets) <= {*TABLES.organisms, *TABLES.diseases, "any_insect"}


@pytest.mark.parametrize(
    ("word", "crop"),
    [
        ("courgette", "summer_squash"),
        ("Zucchini", "summer_squash"),
        ("aubergine", "eggplant"),
        ("runner", "runner_bean"),
        ("runner beans", "runner_bean"),
        ("Runner bean", "runner_bean"),
        ("sweet_pepper", "pepper_sweet"),
        ("garden_bean", "bean_bush"),
        ("rocket", "arugula"),
        ("pak-choi", "bok_choy"),
        ("bush  tomato", "tomato_determinate"),
        ("cucumber", "cucumber_slicing"),
        ("Ocimum basilicum", "basil"),
        ("brassica", None),  # a group, not a crop
        ("potato", "potato"),
        ("watermelon", None),  # known, and not grown here
        ("triffid", None),
    ],
)
def test_a_grower_s_word_means_the_crop_it_should(word, crop):
    assert CROSS.crop(word) == crop


@pytest.mark.parametrize(
    ("word", "organism", "key"),
    [
        ("summer_squash", "greenhouse_whitefly", "courgette"),
        ("courgette", "melon_aphid", "courgette_squash"),
        ("bean_pole", "greenhouse_whitefly", "bean"),
        ("garden_bean", "twospotted_spider_mite", "bean"),
        ("kale", "cabbage_whitefly", "kale"),
        ("kale", "diamondback_moth", "kale_collard"),
        ("kale", "flea_beetles", "broccoli_cabbage_kale"),
        ("kale", "greenhouse_whitefly", "brassica"),
        ("summer_squash", "squash_vine_borer", "summer_squash_pepo"),
        ("winter_squash", "squash_vine_borer", "pumpkin"),
        ("cucumber_slicing", "green_peach_aphid", "cucurbit"),
        ("lettuce_leaf", "green_peach_aphid", "lettuce_spinach"),
        ("tomatoes", "hornworms", "tomato"),
        ("potato", "hornworms", "potato"),
        ("basil", "hornworms", None),
        ("triffid", "hornworms", None),
    ],
)
def test_the_nearest_host_word_of_an_organism_is_found(word, organism, key):
    assert CROSS.host(word, TABLES.organisms[organism].hosts) == key


def test_hosts_of_a_crop_run_from_near_to_far():
    assert CROSS.hosts_of("kale")[0] == "kale" and CROSS.hosts_of("kale")[-1] == "brassica"
    assert CROSS.hosts_of("triffid") == ()


@pytest.mark.parametrize(
    ("kind", "word", "id_"),
    [
        ("organism", "whitefly", "greenhouse_whitefly"),
        ("organism", "Bemisia tabaci (MEAM1, = B. argentifolii)", "sweetpotato_whitefly"),
        ("organism", "red spider mite", "twospotted_spider_mite"),
        ("disease", "powdery mildew", "cucurbit_powdery_mildew"),
        ("disease", "downy mildew of basil", "basil_downy_mildew"),
        ("method", "insecticidal soap", "soap"),
        ("method", "potassium salts of fatty acids", "soap"),
        ("method", "Bag enclosure", "bag_enclosure"),
        ("method", "lambda-cyhalothrin", "lambda_cyhalothrin"),
    ],
)
def test_organisms_diseases_and_methods_go_by_id_and_plain_name(kind, word, id_):
    assert getattr(CROSS, kind)(word) == id_


def test_the_nearest_words_are_offered_for_a_slip_of_the_pen():
    assert "courgette" in CROSS.nearest("corgette")
    assert "whitefly" in CROSS.nearest("witefly")
    assert CROSS.nearest("qqqqqq") == ()


def test_the_rules_and_fillers_name_only_methods_and_crops_that_exist():
    for rule in TABLES.rules.values():
        for column in ("blocked", "evening_only_if_label_permits", "not_a_spray", "contact_only",
                       "exempt_methods", "soap_oil.methods", "sulfur.methods"):  # fmt: skip
            assert set(rule.row.listed(column)) <= set(TABLES.methods), (rule.id, column)
    for filler in TABLES.gap_fillers.values():
        assert set(filler.listed("crops")) <= set(TABLES.crops)


@pytest.mark.parametrize("organism", TABLES.organisms)
def test_every_organism_has_a_method_with_a_figure_against_it(organism):
    words = CROSS.targets[organism]
    assert [m.id for m in TABLES.methods.values() if m.against(words)]


def test_every_name_that_a_crop_is_told_by_is_understood_too():
    for crop, names in TABLES.crosswalk.sheet_names.items():
        assert {TABLES.crosswalk.crop(name) for name in names} == {crop}
    assert all(TABLES.crosswalk.crop(name) for name in TABLES.crosswalk.crop_names())
    assert TABLES.crosswalk.diagnosed_as("Brussels sprouts") == ("brassica", "brussels_sprouts")


def test_a_name_by_which_a_look_tells_a_cause_is_taken_as_what_it_is_joined_to() -> None:
    """Every cause with a row of its own for what lives on a plant, by the table of joins."""
    walk, missed = TABLES.crosswalk, []
    for cause, ids in walk.cause_joins.items():
        lives = [one for one in ids if one in TABLES.organisms or one in TABLES.diseases]
        known = walk.seen_as(TABLES.causes[cause].name)
        if len(lives) == 1 and known not in (*lives, *_kinds_of(lives[0])):
            missed.append((TABLES.causes[cause].name, known))
    assert not missed


def _kinds_of(organism: str) -> tuple[str, ...]:
    return tuple(kind for kind, may in TABLES.crosswalk.kinds.items() if organism in may)


@pytest.mark.parametrize(
    "word",
    ("small cabbage white", "small cabbage whites", "small cabbage white (caterpillar)",
     "small cabbage white caterpillars"),
)  # fmt: skip
def test_the_small_cabbage_white_is_one_animal_by_every_name(word: str) -> None:
    assert TABLES.crosswalk.organism(word) == TABLES.crosswalk.organism("cabbage white")
