"""Signs that textbooks call telling, two or three at once, against the cause these name for them.

Each case is what one page says of one trouble: its signs as the key has them, the cause, and where
it was read (in its stored text); `memory` where no page was at hand. The
key was not fitted to them. Thin cases are one sign that many troubles make; those are our own.
"""

from __future__ import annotations

import pytest

from lattermath.desk.diagnose import diagnose, group_of
from lattermath.desk.look import Looked
from lattermath.desk.look_facts import Known
from lattermath.desk.look_reckoned import followed_as
from lattermath.desk.look_words import told
from lattermath.knowledge.tables import load_tables
from lattermath.vocabulary.plot import Planting

TABLES = load_tables()
SETTLES = 0.75  # three in four: from here on a look says what to do
# Crop, signs, cause, where it was read, and the region where the pest lives in one only.
CASES = [
    tuple(part.strip() for part in line.split("|"))
    for line in """
melon | webbing,fine_pale_stippling | spider_mite | memory
cucumber_slicing | webbing,bronzed_leaves | spider_mite | aggie-horticulture.tamu.edu cucurbit problem solver
pea_fall | webbing,fine_pale_stippling | spider_mite | gardening.yardener.com/Problems-With-Peas
eggplant | webbing,fine_pale_stippling,bronzed_leaves | spider_mite | gardening.yardener.com/Problems-With-Peas, of peas
bean_pole | fine_pale_stippling,moving_specks_white_paper | spider_mite | memory
tomato_indeterminate | white_insect_cloud,honeydew_sticky | whitefly | soilsalive.com/whiteflies
cucumber_slicing | white_insect_cloud,scales_under_leaf | whitefly | blogs.ifas.ufl.edu/nassauco, winter greens
kale | white_insect_cloud,grey_spotted_wings_wax | cabbage_whitefly | memory | europe
potato | large_dark_watersoaked_blotch,white_down_edge_under | potato_late_blight | extension.umaine.edu potato late blight
potato | large_dark_watersoaked_blotch,brown_stem_lesions | potato_late_blight | ndsu.edu/agriculture/node/2362
potato | large_dark_watersoaked_blotch,brown_rot_tuber | potato_late_blight | extension.umaine.edu potato late blight
tomato_determinate | large_dark_watersoaked_blotch,white_down_edge_under | late_blight_c | e-bioinformatics.net late blight of tomato
tomato_indeterminate | target_rings,lower_leaves_first | early_blight | lsuagcenter.com early blight on tomato
tomato_indeterminate | small_grey_centre_specks,lower_leaves_first | septoria | prgdb.org/prgdb4/diseases/18
tomato_indeterminate | one_sided_yellowing,brown_vascular_ring | vascular_wilt | memory
tomato_indeterminate | sunken_dark_blossom_end,dry_soil_finger_depth | blossom_end_rot | gardening.cornell.edu common problems
tomato_indeterminate | twisted_strap_leaves,several_species_affected | herbicide_drift | hortnews.extension.iastate.edu/2012/6-13
tomato_indeterminate | twisted_strap_leaves,gradient_from_edge | herbicide_drift | bolivarmonews.com, tips from the plant doctor
bean_bush | interveinal_yellow_young,new_growth_first | iron_manganese_lack | oakleafgardening.com chlorosis
tomato_indeterminate | soft_insect_clusters,ants_running | aphids | urbanseedling.com/aphids
pepper_sweet | soft_insect_clusters,honeydew_sticky | aphids | pestsense.cahnrs.wsu.edu aphids
lettuce_leaf | curled_leaves_insects_inside,honeydew_sticky | aphids | pestsense.cahnrs.wsu.edu aphids
pepper_sweet | silvery_streaks_black_dots,puckered_distorted_leaves | thrips | pestoscope.com/product/thrips-6
tomato_indeterminate | stems_cut_at_soil,curled_grub_in_soil | cutworm | medicinalplantsarchive.us leaf and whole plant problems
arugula | shot_holes,jumping_beetles | flea_beetle | statesmanjournal.com, holes in arugula
eggplant | shot_holes,jumping_beetles | flea_beetle | pestoscope.com/?p=271
cucumber_slicing | yellow_angular_veinlimited,grey_purple_down_under | cucurbit_downy_mildew | u.osu.edu/vegetablediseasefacts
summer_squash | white_powder_top,white_powder_under | cucurbit_powdery_mildew | ipm.cahnr.uconn.edu mildew diseases of cucurbits
cucumber_slicing | wilt_no_recovery_moist,sticky_strands_cut_stem | bacterial_wilt | madison.com garden calendar | north_america
summer_squash | frass_stem_base,white_grub_in_stem | squash_vine_borer | shopgi.com squash vine borer | north_america
summer_squash | bronze_eggs_vein_angle,grey_flat_bugs_stem_base | squash_bug | piermontcommunitygarden.blogspot.com | north_america
kale | wilt_midday_recovers,swollen_club_roots | clubroot | missouribotanicalgarden.org clubroot
cabbage | wilt_midday_recovers,white_maggots_roots | cabbage_root_fly | extension.umn.edu root maggots
cabbage | v_shaped_margin_lesion,black_veins | black_rot | u.osu.edu/vegetablediseasefacts
cabbage | green_velvet_caterpillar,caterpillar_droppings | imported_cabbageworm | ag.umass.edu cabbageworm adults
kale | small_wriggling_caterpillar,shot_holes | diamondback | ag.umass.edu diamondback moth larvae
broccoli | looping_caterpillar,large_ragged_holes | cabbage_looper | bonide.com/insect/cabbage-loopers
radish | white_blisters_under,puckered_distorted_leaves | white_blister | plantix.net white rust
lettuce_head | large_ragged_holes,slime_trails | slugs | greenhousepestguide.umass.edu slugs
basil | damage_at_night_none_by_day,pincered_insects_hiding | earwigs | telegram.com 14 July 2011
lettuce_head | white_cottony_mould_base,black_sclerotia | lettuce_drop | ipm.ucanr.edu white mould
lettuce_head | grey_fuzzy_mould,cool_wet_spell | grey_mould | ipm.ucanr.edu botrytis rot
lettuce_head | bolting_flower_stalk,hot_dry_spell | bolting | gardening.cornell.edu common problems
chard | serpentine_mines,white_eggs_rows_under | beet_leafminer | frontrangefoodgardener.blogspot.com
chard | round_tan_red_rim,centres_fall_out | cercospora_beet | extension.umd.edu cercospora
onion_scallion | white_cottony_mould_base,black_sclerotia | onion_white_rot | allotmentor.com white rot
onion_scallion | maggots_in_bulb,uniform_pale_yellow_old | onion_fly | gardening-uk.org/root-flies
leek | silvery_streaks_black_dots,hot_dry_spell | onion_thrips | vegetables.bayer.com thrips damage
carrot | rusty_tunnels_root,wilt_midday_recovers | carrot_fly | gardening-uk.org; missouribotanicalgarden.org root maggots
pea_fall | white_powder_top,stunted_plant | pea_powdery_mildew | gardening.yardener.com/Problems-With-Peas
sweet_corn | silver_grey_galls,hot_dry_spell | corn_smut | hortsense.cahnrs.wsu.edu corn
sweet_corn | rusty_pustules_rub_off,cool_wet_spell | corn_rust | ipm.ucanr.edu common rust on corn
potato | striped_beetles_red_grubs,yellow_eggs_under | potato_beetle | gardeners.com potato beetle
potato | black_slimy_stem_base,wilt_no_recovery_moist | blackleg | memory
bean_bush | rusty_pustules_rub_off,lower_leaves_first | bean_rust | memory
cucumber_slicing | misshapen_fruit,few_bees | poor_pollination | memory
""".strip().splitlines()  # noqa: E501  # one case a line, with its source
]
# One sign that many troubles make.
THIN = """
tomato_indeterminate uniform_pale_yellow_old
tomato_indeterminate lower_leaves_first
tomato_indeterminate brown_stem_lesions
tomato_indeterminate honeydew_sticky
tomato_indeterminate wilt_midday_recovers
kale large_ragged_holes
kale wilt_midday_recovers
kale stunted_plant
summer_squash wilt_midday_recovers
cucumber_slicing leaf_edge_scorch
cucumber_slicing yellow_angular_veinlimited
bean_bush stunted_plant
bean_bush fine_pale_stippling
pepper_sweet puckered_distorted_leaves
lettuce_head wilt_no_recovery_moist
lettuce_leaf large_ragged_holes
pea_fall uniform_pale_yellow_old
onion_scallion uniform_pale_yellow_old
chard stunted_plant
sweet_corn uniform_pale_yellow_old
potato uniform_pale_yellow_old
potato leaf_edge_scorch
okra scattered_plants
basil large_ragged_holes
tomato_indeterminate interveinal_yellow_old
carrot stunted_plant
""".strip().splitlines()


def looked(crop: str, signs: str, region: str = "general") -> Looked:
    """A look at a planting of which the record knows nothing."""
    seen = tuple(signs.split(","))
    found = diagnose(TABLES, crop, region, seen)
    planting = Planting("bed", "Bed", crop, 8)
    return Looked(planting, seen, (), Known((), (), {}, ()), found, TABLES)


@pytest.mark.parametrize("case", CASES, ids=[f"{c[0]} {c[1]}" for c in CASES])
def test_telling_signs_settle_on_the_cause_that_textbooks_name(case: tuple[str, ...]) -> None:
    crop, signs, cause, _, *region = case
    chances = looked(crop, signs, *region).found.told.probabilities
    assert next(iter(chances)) == cause
    assert chances[cause] >= SETTLES


@pytest.mark.parametrize("case", CASES, ids=[f"{c[0]} {c[1]}" for c in CASES])
def test_what_is_counted_is_asked_to_be_counted(case: tuple[str, ...]) -> None:
    crop, signs, cause, _, *region = case
    lines = told(looked(crop, signs, *region))
    asked = [line for line in lines if "lattermath log count" in line or "log severity" in line]
    assert len(asked) == 1 or not followed_as(TABLES, cause, crop)
    assert "Do nothing yet" not in "\n".join(lines)


@pytest.mark.parametrize(("spell", "not_so"), [("warm_wet_spell", "hot_dry_spell"),
                                              ("hot_dry_spell", "cool_wet_spell")])  # fmt: skip
@pytest.mark.parametrize("case", CASES, ids=[f"{c[0]} {c[1]}" for c in CASES])
def test_weather_does_not_outweigh_telling_signs_nor_ask_for_other_troubles(
    case: tuple[str, ...], spell: str, not_so: str
) -> None:
    """Mites on a melon after a wet week: 48 %, and a look for spots on ripe fruit, once were told.

    What is looked for next is a sign of some cause that makes what was seen on the plant.
    """
    crop, signs, cause, _, *region = case
    seen = signs.split(",")
    if {spell, not_so} & set(seen):
        return
    found = diagnose(TABLES, crop, region[0] if region else "general", (*seen, spell), (not_so,))
    assert next(iter(found.told.probabilities)) == cause
    if (following := found.verdict.next_look) is not None:
        makers = {c.id for c in TABLES.causes.values() if set(seen) & set(c.chances)}
        assert makers & set(following.sign.chances)


@pytest.mark.parametrize("case", THIN)
def test_one_sign_that_many_troubles_make_settles_nothing(case: str) -> None:
    crop, sign = case.split()
    found = looked(crop, sign).found
    assert max(found.told.probabilities.values()) < SETTLES
    assert not found.verdict.certain_enough


def test_the_cases_are_of_many_crops_and_most_were_read() -> None:
    assert len(CASES) >= 40 and len({c[2] for c in CASES}) >= 35
    assert len({group_of(TABLES, c[0])[0] for c in CASES}) >= 12
    assert sum(c[3] == "memory" for c in CASES) < len(CASES) / 5
    assert len({tuple(c[:2]) for c in CASES}) == len(CASES)
