"""Everyday sayings about plants: taken by the crop looked at, offered where unsure, never guessed.

The sayings are ours; what each may mean was settled by reading it against the key's own words.
"""

from __future__ import annotations

import pytest

from lattermath.desk.diagnose import signs_of
from lattermath.desk.sayings_read import examples, reads, sign_meant, signs_denied, signs_meant
from lattermath.knowledge.tables import load_tables
from lattermath.vocabulary.errors import InputError
from lattermath.vocabulary.plot import Planting

TABLES = load_tables()
NAMES = {
    "cucumber_slicing": "Cucumbers", "kale": "Kale", "tomato_indeterminate": "Tomatoes",
    "carrot": "Carrots", "bean_bush": "Dwarf beans", "summer_squash": "Courgettes",
    "lettuce_head": "Lettuce", "eggplant": "Aubergines",
}  # fmt: skip
TOMATOES = Planting("t", "Tomatoes", "tomato_indeterminate", 4)
PLAIN = """
cucumber_slicing | sticky leaves | honeydew_sticky
cucumber_slicing | aphids | soft_insect_clusters
cucumber_slicing | lots of tiny white flies | white_insect_cloud
cucumber_slicing | slugs | slime_trails
cucumber_slicing | crooked cucumbers | misshapen_fruit
cucumber_slicing | the plant wilts every afternoon | wilt_midday_recovers
cucumber_slicing | leaves have brown crispy edges | leaf_edge_scorch
cucumber_slicing | yellow spots between the veins | yellow_angular_veinlimited
kale | white butterflies flying around | white_butterflies
kale | lots of tiny holes | shot_holes
kale | little black beetles that jump | jumping_beetles
kale | roots are swollen | swollen_club_roots
kale | pigeons | tears_pecked_leaves
kale | grey waxy aphids | soft_insect_clusters
kale | yellow eggs in a cluster under the leaf | yellow_eggs_under
cabbage | tiny yellow eggs standing upright under leaf | yellow_eggs_under
potato | orange eggs | yellow_eggs_under
potato | striped beetles | striped_beetles_red_grubs
potato | red grubs with black dots | striped_beetles_red_grubs
potato | black slimy stem | black_slimy_stem_base
potato | scabs on the tubers | corky_scabs_tuber
potato | holes in the potatoes | holes_in_tuber
potato | dark wet patches on the leaves | large_dark_watersoaked_blotch
potato | aphids under the leaves | soft_insect_clusters
eggplant | colorado beetles | striped_beetles_red_grubs
corn_salad | slugs | slime_trails
sweet_corn | corn earworms | caterpillar_cob_tip
sweet_corn | worms in the ears | caterpillar_cob_tip
sweet_corn | worm in the tip of the ear | caterpillar_cob_tip
sweet_corn | holes in the stalks | bored_stalk_broken_tassel
sweet_corn | tassels broken off | bored_stalk_broken_tassel
sweet_corn | kernels missing | gappy_cob
sweet_corn | ears eaten by raccoons | fruit_gnawed_pecked
sweet_corn | aphids on the tassels | soft_insect_clusters
chard | aphids in the middle | soft_insect_clusters
chard | small white eggs under the leaf | white_eggs_rows_under
chard | leaves nibbled by rabbits | clean_angle_cut_shoots
okra | stink bugs | shield_bugs_on_fruit
okra | japanese beetles | metallic_beetles
okra | buds dropping off | flowers_drop_no_fruit
leek | orange pustules | rusty_pustules_rub_off
leek | windows in the leaves | leek_windows_caterpillar
pea_fall | maggots in the pods | caterpillar_in_pod
pea_fall | pods with brown spots | sunken_round_spots
carrot | orange tunnels in the carrots | rusty_tunnels_root
carrot | hairy carrots | bunched_yellow_hairy_root
bean_bush | yellow spiny grubs | yellow_spiny_larvae
tomato_indeterminate | caterpillar in the fruit | fruit_hole_at_stem_end
cucumber_slicing | wilted and not recovering | wilt_no_recovery_moist
lettuce_head | aphids at the roots | white_waxy_root_insects
basil | grey fuzz under the leaves | grey_purple_down_under
tomato_indeterminate | black bottoms | sunken_dark_blossom_end
tomato_indeterminate | tomatoes are splitting | fruit_cracks
tomato_indeterminate | leaves rolling up | leaf_roll_upward_firm
tomato_indeterminate | dark wet patches spreading | large_dark_watersoaked_blotch
tomato_indeterminate | no tomatoes | flowers_drop_no_fruit
carrot | carrot fly | rusty_tunnels_root
carrot | forked carrots | forked_stubby_root
bean_bush | beans are covered in aphids | soft_insect_clusters
bean_bush | leaves with tiny pale dots | fine_pale_stippling
summer_squash | sawdust at the base | frass_stem_base
summer_squash | whole plant wilted suddenly | sudden_wilt_one_vine
lettuce_head | gone to seed | bolting_flower_stalk
cucumber_slicing | mosaic | mosaic_mottle
cucumber_slicing | grey mould | grey_fuzzy_mould
summer_squash | yellow mosaic | mosaic_mottle
bean_bush | a mosaic pattern on the leaves | mosaic_mottle
bean_bush | white dots under the leaves | scales_under_leaf
bean_bush | white powder under the leaves | white_powder_under
eggplant | greasy dark spots | small_dark_greasy_spots
eggplant | green caterpillar with a horn | large_horned_caterpillar
eggplant | huge green caterpillar | large_horned_caterpillar
"""
UNSURE = """
cucumber_slicing | brown spots | yellow_angular_veinlimited watersoaked_angular
cucumber_slicing | yellow leaves | uniform_pale_yellow_old mosaic_mottle
cucumber_slicing | holes in the leaves | large_ragged_holes
cucumber_slicing | mouldy fruit | grey_fuzzy_mould
kale | kale is wilting | wilt_midday_recovers dry_soil_finger_depth
kale | something ate my kale overnight | large_ragged_holes
kale | caterpillars | green_velvet_caterpillar looping_caterpillar
tomato_indeterminate | blight | large_dark_watersoaked_blotch target_rings
tomato_indeterminate | curling leaves | leaf_roll_upward_firm twisted_strap_leaves
tomato_indeterminate | spots on the tomatoes | scabby_fruit_spots
lettuce_head | rotting at the base | stem_base_brown_rot white_cottony_mould_base
lettuce_head | wilting | wilt_no_recovery_moist
tomato_indeterminate | concentric rings | target_rings ring_spots
kale | concentric rings | target_rings brown_leaf_spots_rings_brassica
tomato_indeterminate | leaves dropping | uniform_pale_yellow_old target_rings
cucumber_slicing | the leaves are falling off | uniform_pale_yellow_old wilt_midday_recovers
cucumber_slicing | fruit falling off | flowers_drop_no_fruit misshapen_fruit
tomato_indeterminate | mushy fruit | sunken_dark_blossom_end
bean_bush | white dots on the leaves | fine_pale_stippling scales_under_leaf
kale | white specks | fine_pale_stippling white_insect_cloud scales_under_leaf
"""
GENERAL = """
eggplant | spots on leaves | small_dark_greasy_spots
eggplant | brown spots | small_dark_greasy_spots
eggplant | black spots on the leaves | small_dark_greasy_spots
eggplant | green caterpillars | large_horned_caterpillar
tomato_indeterminate | green caterpillars | large_horned_caterpillar
lettuce_head | dark spots | yellow_angular_veinlimited
"""
NOT_KNOWN = """
cucumber_slicing | no white powder
cucumber_slicing | the leaves are not sticky
tomato_indeterminate | fruit not falling off
tomato_indeterminate | purple leaves
kale | white powder in the roots
kale | it looks bad
"""


def rows(told: str) -> list[list[str]]:
    return [[one.strip() for one in line.split("|")] for line in told.strip().splitlines()]


def planting_of(crop: str) -> Planting:
    return Planting(crop, NAMES.get(crop, "Here"), crop, 4)


def said(crop: str, words: str) -> str:
    return sign_meant(TABLES, planting_of(crop), words, "--seen")


def refused(crop: str, words: str) -> str:
    with pytest.raises(InputError) as error:
        said(crop, words)
    return error.value.faults[0].remedy


@pytest.mark.parametrize(("crop", "words", "sign"), rows(PLAIN))
def test_a_saying_that_means_one_thing_on_this_crop_is_taken(
    crop: str, words: str, sign: str
) -> None:
    assert said(crop, words) == sign


@pytest.mark.parametrize(("crop", "words", "signs"), rows(UNSURE))
def test_a_saying_of_several_meanings_offers_them_in_words_that_are_then_taken(
    crop: str, words: str, signs: str
) -> None:
    remedy = refused(crop, words)
    for sign in signs.split():
        text = TABLES.symptoms[sign].text
        assert text in remedy
        assert said(crop, text) == sign
    offered = remedy.removeprefix("Look again, and say which: ").removesuffix(".").split("; or ")
    assert {said(crop, one) for one in offered} <= signs_of(TABLES, crop)


@pytest.mark.parametrize(("crop", "words", "sign"), rows(GENERAL))
def test_what_is_said_of_many_things_is_offered_although_one_sign_is_left_on_the_crop(
    crop: str, words: str, sign: str
) -> None:
    remedy = refused(crop, words)
    text = TABLES.symptoms[sign].text
    assert text in remedy and "say more of it" in remedy
    assert said(crop, text) == sign


@pytest.mark.parametrize(("crop", "words"), rows(NOT_KNOWN))
def test_what_is_denied_or_sits_elsewhere_is_never_taken_for_its_opposite(
    crop: str, words: str
) -> None:
    assert refused(crop, words)


@pytest.mark.parametrize("crop", list(NAMES))
def test_no_saying_of_the_tables_is_taken_for_what_nothing_on_the_crop_shows(crop: str) -> None:
    here = signs_of(TABLES, crop)
    for words in (*TABLES.crosswalk.sayings, *TABLES.crosswalk.symptoms):
        if words.replace(" ", "_") not in {*TABLES.symptoms, *TABLES.checks}:
            try:
                assert said(crop, words) in here, words
            except InputError:
                continue


def test_every_saying_leads_to_signs_of_the_key() -> None:
    known = {*TABLES.symptoms, *TABLES.checks}
    sayings = TABLES.crosswalk.sayings
    assert len(sayings) > 90
    for words, signs in sayings.items():
        assert len(signs) > 1 and set(signs) <= known, words


def test_a_name_that_is_known_but_shows_nothing_here_may_be_counted() -> None:
    assert "lattermath log count kale squash_bug" in refused("kale", "squash bug")


@pytest.mark.parametrize(
    ("crop", "words", "signs"),
    [
        (
            "okra",
            "curled leaves with sticky stuff and ants",
            {"puckered_distorted_leaves", "honeydew_sticky", "ants_running"},
        ),
        ("eggplant", "fine webs and pale stippling", {"webbing", "fine_pale_stippling"}),
        (
            "tomato_indeterminate",
            "white flies fly up, sticky leaves and curled leaves",
            {"white_insect_cloud", "honeydew_sticky", "puckered_distorted_leaves"},
        ),
        ("eggplant", "fine webs", {"webbing"}),
    ],
)
def test_every_sign_of_one_saying_is_taken(crop: str, words: str, signs: set[str]) -> None:
    taken, unread = signs_meant(TABLES, planting_of(crop), words, "--seen")
    assert (set(taken), len(taken), unread) == (signs, len(signs), ())


def test_a_part_without_a_sign_is_told_and_one_of_several_with_what_it_may_be() -> None:
    kale = planting_of("kale")
    taken, unread = signs_meant(TABLES, kale, "white powder and boots", "--seen")
    assert (taken, unread) == (("white_powder_top",), ("boots",))
    said = "fine webs and yellow leaves"
    taken, unread = signs_meant(TABLES, planting_of("eggplant"), said, "--seen")
    assert taken == ("webbing",) and unread[0].startswith("yellow leaves (it may be: ")
    with pytest.raises(InputError, match="several things"):
        signs_meant(TABLES, planting_of("eggplant"), "yellow leaves", "--seen")


@pytest.mark.parametrize(
    ("crop", "words", "sign"),
    [
        ("cabbage", "holes in leaves and green droppings", "caterpillar_droppings"),
        ("cabbage", "green droppings", "caterpillar_droppings"),
        ("chard", "winding white tunnels in leaves", "serpentine_mines"),
        ("spinach", "white winding tunnel inside a leaf", "serpentine_mines"),
        ("beet", "round spots with purple edge", "round_tan_red_rim"),
        ("chard", "small grey spots with a red margin", "round_tan_red_rim"),
        ("leek", "silvery scarring and black specks", "silvery_streaks_black_dots"),
    ],
)
def test_a_sign_is_known_by_one_of_its_alternatives_and_by_like_words(
    crop: str, words: str, sign: str
) -> None:
    """Tan or grey, leaves or ground: one of two is enough; an edge is a rim, white is pale."""
    assert signs_meant(TABLES, planting_of(crop), words, "--seen")[0] == (sign,)


@pytest.mark.parametrize("words", ["tiny red eggs under leaf", "purple eggs"])
def test_what_has_another_colour_is_not_taken(words: str) -> None:
    """The eggs of the tables are pale, white, yellow, orange or bronze."""
    assert reads(TABLES, planting_of("broccoli"), words) is False


def test_green_droppings_on_beets_are_read_and_holes_told_with_what_they_may_be() -> None:
    """Loopers eat beets too; before, the whole was refused and offered droppings of birds."""
    beets = planting_of("beet")
    read, unread = signs_meant(TABLES, beets, "holes in leaves and green droppings", "--seen")
    assert read == ("caterpillar_droppings",)
    assert len(unread) == 1 and "large ragged holes in leaves" in unread[0]


def test_of_parts_that_are_none_of_them_clear_one_is_asked_about() -> None:
    with pytest.raises(InputError) as refused:
        signs_meant(TABLES, planting_of("carrot"), "wilting and zzz", "--seen")
    fault = refused.value.faults[0]
    assert fault.value == "wilting" and "wilts in midday sun" in fault.remedy


def test_where_no_words_are_near_a_refusal_says_what_to_do_with_them() -> None:
    with pytest.raises(InputError) as refused:
        signs_meant(TABLES, planting_of("radish"), "woody", "--seen")
    remedy = refused.value.faults[0].remedy
    assert 'lattermath log seen radish "woody"' in remedy and "plant clinic" in remedy


def test_every_example_of_a_refusal_is_read_on_that_crop() -> None:
    for crop in TABLES.crops:
        if TABLES.crosswalk.diagnosed_as(crop) is None:
            continue
        planting = planting_of(crop)
        shown = examples(TABLES, planting)
        assert len(shown) == 2
        with pytest.raises(InputError) as refused:
            signs_meant(TABLES, planting, "zzz", "--seen")
        remedy = refused.value.faults[0].remedy
        told = remedy.partition("as in: ")[2].removesuffix(".").split("; or ")
        assert told == list(shown)
        assert all(reads(TABLES, planting, one) for one in told), (crop, told)


@pytest.mark.parametrize("crop", ["kale", "beet", "okra", "summer_squash", "tomato_indeterminate"])
@pytest.mark.parametrize("words", ["holes in leaves", "leaf spot", "stink bugs", "beetles"])
def test_what_is_offered_is_taken_as_it_stands(crop: str, words: str) -> None:
    """An answer that asks which names signs in words that are then read."""
    planting = planting_of(crop)
    try:
        signs_meant(TABLES, planting, words, "--seen")
    except InputError as refused:
        remedy = refused.faults[0].remedy
    else:
        return
    offered = remedy.partition(": ")[2].partition(". ")[0].removesuffix(".").split("; or ")
    assert offered
    unread = [one for one in offered if not reads(TABLES, planting, one)]
    assert not unread, (crop, unread)


@pytest.mark.parametrize("crop", ["eggplant", "bok_choy", "kale"])
def test_what_is_like_a_ladybird_is_no_beetle_that_jumps(crop: str) -> None:
    said = "shiny ladybird-like beetle eats lace between veins"
    with pytest.raises(InputError):
        signs_meant(TABLES, planting_of(crop), said, "--seen")
    beans = signs_meant(TABLES, planting_of("bean_bush"), "ladybird with many spots", "--seen")
    assert beans == (("copper_16_spot_beetle",), ())


@pytest.mark.parametrize(
    ("crop", "words", "signs"),
    (
        ("kale", "wilting", {"wilt_midday_recovers", "wilt_no_recovery_moist"}),
        (
            "tomato_indeterminate",
            "yellow leaves",
            {"interveinal_yellow_old", "interveinal_yellow_young", "uniform_pale_yellow_old"},
        ),
        ("cucumber", "wilting",
         {"sudden_wilt_one_vine", "wilt_midday_recovers", "wilt_no_recovery_moist"}),
        ("kale", "caterpillars",
         {"green_velvet_caterpillar", "looping_caterpillar", "small_wriggling_caterpillar",
          "yellow_black_caterpillars"}),
        ("tomato_indeterminate", "worms", {"large_horned_caterpillar"}),
        ("cucumber", "yellow spots", {"yellow_angular_veinlimited"}),
        ("cucumber", "beetles", {"yellow_black_striped_beetle"}),
        ("lettuce_head", "droppings", {"caterpillar_droppings"}),
        ("kale", "white powder", {"white_powder_top"}),
    ),
)  # fmt: skip
def test_a_general_word_that_is_denied_denies_all_that_say_it(
    crop: str, words: str, signs: set[str]
) -> None:
    """And nothing that may be there all the same.

    Dry soil is offered for wilting, mosaic for yellow leaves; a grub in the soil that nobody dug
    up, yellow spots on leaves that are not yellow, a plant that wilts on one side and is not
    yellow, leaves that birds tore and left nothing on: none is denied with it.
    """
    assert set(signs_denied(TABLES, Planting("p", "P", crop, 4), words, "--not")) == signs


@pytest.mark.parametrize("words", ("yellow leaves at the bottom", "leaves dropping"))
def test_what_may_be_denied_of_one_only_is_asked_back(words: str) -> None:
    with pytest.raises(InputError, match="say which"):
        signs_denied(TABLES, Planting("p", "P", "tomato_indeterminate", 4), words, "--not")


def test_an_offered_question_ends_in_one_mark() -> None:
    with pytest.raises(InputError, match="Did you mean") as refused:
        signs_denied(TABLES, TOMATOES, "my plants look sad", "--seen")
    assert "??" not in str(refused.value)


@pytest.mark.parametrize("words", ("no wilting", "not wilting", "no wilting leaves"))
def test_what_is_not_there_is_not_taken_for_seen(words: str) -> None:
    """Once "no wilting" was read as wilting from which the plant does not recover."""
    assert reads(TABLES, TOMATOES, words) is not True
    assert sign_meant(TABLES, TOMATOES, "wilting, no recovery at night", "--seen") == (
        "wilt_no_recovery_moist"
    )
