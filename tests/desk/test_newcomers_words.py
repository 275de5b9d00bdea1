"""Newcomers' phrasings of the commonest troubles: each is read as its sign, or offered it.

Written before they were tried, by what the trouble looks like; the sign is the one whose own words
say it. Two of a second list of sixty-six were wrong truths of ours and were set right: *crinkled
and narrow* says puckered, *pale and small* says small.
"""

from __future__ import annotations

import pytest

from lattermath.desk.sayings_read import signs_meant
from lattermath.knowledge.tables import load_tables
from lattermath.vocabulary.errors import InputError
from lattermath.vocabulary.plot import Planting

TABLES = load_tables()
SAYINGS = """
potato | brown spots with pale edge | large_dark_watersoaked_blotch
potato | dark brown blotches | large_dark_watersoaked_blotch
potato | brown blotches on the leaves | large_dark_watersoaked_blotch
potato | black blotches spreading from the leaf tips | large_dark_watersoaked_blotch
potato | leaves going black and mushy | large_dark_watersoaked_blotch
potato | leaves turning brown fast | large_dark_watersoaked_blotch
potato | brown patches with light green border | large_dark_watersoaked_blotch
potato | white fuzz under the brown spots | white_down_edge_under
potato | big brown spots | large_dark_watersoaked_blotch
tomato_indeterminate | dark brown blotches | large_dark_watersoaked_blotch
tomato_indeterminate | brown spots with pale edge | large_dark_watersoaked_blotch
tomato_indeterminate | brown marks on the stems | brown_stem_lesions
tomato_indeterminate | brown patches on green tomatoes | greasy_brown_firm_fruit
tomato_indeterminate | greasy looking leaves | large_dark_watersoaked_blotch
tomato_indeterminate | spots like a bullseye | target_rings
tomato_indeterminate | brown spots with a yellow ring around | target_rings
tomato_indeterminate | bottom leaves with brown spots | target_rings
tomato_indeterminate | loads of little spots on the lower leaves | small_grey_centre_specks
tomato_indeterminate | bottom of the tomato is black | sunken_dark_blossom_end
tomato_indeterminate | tomatoes have black bums | sunken_dark_blossom_end
tomato_indeterminate | leathery brown patch on the bottom of the fruit | sunken_dark_blossom_end
tomato_indeterminate | white papery patch on tomatoes | pale_papery_sun_side
tomato_indeterminate | sunburned tomatoes | pale_papery_sun_side
tomato_indeterminate | leaves curling like ferns | twisted_strap_leaves
tomato_indeterminate | new leaves thin and twisted | twisted_strap_leaves
tomato_indeterminate | new growth is all curly and weird | twisted_strap_leaves
tomato_indeterminate | leaves are rolling up | leaf_roll_upward_firm
tomato_indeterminate | grey fluffy stuff on the stem | grey_fuzzy_mould
tomato_indeterminate | white dots on leaves and cobwebs | webbing
cucumber_slicing | leaves look dusty and speckled | fine_pale_stippling
cucumber_slicing | tiny yellow specks all over | fine_pale_stippling
cucumber_slicing | white talcum powder on leaves | white_powder_top
cucumber_slicing | leaves look like they have flour on | white_powder_top
summer_squash | white blotches on the leaves | white_powder_top
cucumber_slicing | yellow squares on the leaves | yellow_angular_veinlimited
cucumber_slicing | grey mould under the leaves | grey_purple_down_under
basil | black fuzz under the leaves | grey_purple_down_under
basil | leaves yellow with grey dust below | grey_purple_down_under
bean_bush | orange bumps under the leaves | rusty_pustules_rub_off
bean_bush | rust coloured dots | rusty_pustules_rub_off
leek | orange streaks on the leaves | rusty_pustules_rub_off
bean_bush | tiny black bugs all over the stems | soft_insect_clusters
bean_bush | black flies on the tips | soft_insect_clusters
kale | grey mealy stuff under the leaves | soft_insect_clusters
kale | clumps of grey bugs | soft_insect_clusters
lettuce_head | little green bugs in the middle | soft_insect_clusters
pepper_sweet | tiny green bugs on new leaves | soft_insect_clusters
kale | tiny white moths fly up | white_insect_cloud
tomato_indeterminate | little white flies | white_insect_cloud
leek | silvery patches | silvery_streaks_black_dots
onion_scallion | white streaks on the leaves | silvery_streaks_black_dots
leek | scratchy white marks | silvery_streaks_black_dots
radish | leaves peppered with holes | shot_holes
arugula | hundreds of pinprick holes | shot_holes
eggplant | tiny holes like from a shotgun | shot_holes
chard | see-through patches in the leaves | serpentine_mines
spinach | squiggly lines in the leaves | serpentine_mines
beet | brown papery blotches in the leaf | serpentine_mines
tomato_indeterminate | white squiggles in leaves | serpentine_mines
kale | big chunks missing from leaves | large_ragged_holes
cabbage | leaves shredded | large_ragged_holes
cabbage | green poop | caterpillar_droppings
kale | green worms | green_velvet_caterpillar
kale | V shaped yellow patches from the leaf edge | v_shaped_margin_lesion
kale | yellow V at the leaf edge | v_shaped_margin_lesion
cabbage | v-shaped yellow marks | v_shaped_margin_lesion
lettuce_head | leaves munched overnight | damage_at_night_none_by_day
lettuce_head | shiny trails | slime_trails
lettuce_head | snails | slime_trails
kale | pale leaves at the bottom | uniform_pale_yellow_old
sweet_corn | lower leaves yellowing | uniform_pale_yellow_old
pepper_sweet | leaves yellow but veins green | interveinal_yellow_old
summer_squash | floppy leaves at lunch time | wilt_midday_recovers
cucumber_slicing | leaves flop in the afternoon but are fine next morning | wilt_midday_recovers
summer_squash | little squash go yellow and rot at the end | misshapen_fruit
bean_bush | leaf edges crispy and brown | leaf_edge_scorch
lettuce_head | crispy brown edges inside the lettuce | inner_leaf_edge_brown
cabbage | plant flops and root is knobbly | swollen_club_roots
pea_fall | white coating on pea leaves | white_powder_top
carrot | brown tunnels in carrots | rusty_tunnels_root
potato | stripy beetles | striped_beetles_red_grubs
potato | white stuff under the leaves | white_down_edge_under
potato | leaves rotting | large_dark_watersoaked_blotch
potato | wet looking dark patches | large_dark_watersoaked_blotch
tomato_indeterminate | leaves have brown blotches | large_dark_watersoaked_blotch
tomato_indeterminate | black spots on the leaves | target_rings
pepper_sweet | white patch on the pepper where the sun hits | pale_papery_sun_side
potato | brown rot spreading over the leaves | large_dark_watersoaked_blotch
potato | haulms collapsing and black | large_dark_watersoaked_blotch
potato | black patches on the stems | brown_stem_lesions
potato | dark spots with light green halo | large_dark_watersoaked_blotch
potato | brown spots on the leaves | large_dark_watersoaked_blotch
potato | black spots on leaves | large_dark_watersoaked_blotch
potato | brown rings | target_rings
tomato_indeterminate | dark blotches on leaves | large_dark_watersoaked_blotch
tomato_indeterminate | brown hard patches on fruit | greasy_brown_firm_fruit
tomato_indeterminate | black stems | brown_stem_lesions
tomato_indeterminate | tomato going black at the bottom | sunken_dark_blossom_end
tomato_indeterminate | flat black patch at the end | sunken_dark_blossom_end
pepper_sweet | peppers with a black end | sunken_dark_blossom_end
summer_squash | end of the courgette is rotting | sunken_dark_blossom_end
tomato_indeterminate | bleached patch on the fruit | pale_papery_sun_side
pepper_sweet | pale soft patch on peppers | pale_papery_sun_side
tomato_indeterminate | leaves cupped and twisted | twisted_strap_leaves
bean_bush | leaves crinkled and narrow | puckered_distorted_leaves
tomato_indeterminate | deformed leaves at the top | twisted_strap_leaves
pepper_sweet | webs between the leaves | webbing
eggplant | leaves yellow and speckled with webs | webbing
bean_bush | leaves going pale and mottled with tiny dots | fine_pale_stippling
bean_bush | leaves going bronze | bronzed_leaves
cucumber_slicing | red specks crawling under leaves | moving_specks_white_paper
summer_squash | white spots on leaves | white_powder_top
summer_squash | leaves turning white | white_powder_top
pea_fall | white dust | white_powder_top
lettuce_head | fluffy white stuff under leaves | white_down_edge_under
lettuce_head | yellow patches on old leaves | yellow_angular_veinlimited
spinach | purple fuzz underneath | grey_purple_down_under
onion_scallion | grey fur on the leaves | grey_purple_down_under
bean_bush | brown powder comes off on my fingers | rusty_pustules_rub_off
garlic | orange spots | rusty_pustules_rub_off
sweet_corn | brown bumps on leaves | rusty_pustules_rub_off
bean_bush | grey mould on pods | grey_fuzzy_mould
lettuce_head | slimy brown rot at the bottom | stem_base_brown_rot
kale | white flies when I touch it | white_insect_cloud
kale | white dots under leaves | scales_under_leaf
broccoli | greenfly in the heads | soft_insect_clusters
chard | black bugs under leaves | soft_insect_clusters
spinach | curled leaves with bugs inside | curled_leaves_insects_inside
leek | white flecks | silvery_streaks_black_dots
onion_scallion | leaves silvery and dull | silvery_streaks_black_dots
cucumber_slicing | leaves silvery with black specks | silvery_streaks_black_dots
bok_choy | full of tiny holes | shot_holes
turnip | small round holes | shot_holes
potato | little holes in leaves | shot_holes
chard | brown trails in leaves | serpentine_mines
tomato_indeterminate | wiggly white lines | serpentine_mines
spinach | blisters in the leaf | serpentine_mines
kale | holes all over | large_ragged_holes
cabbage | holes and green droppings | caterpillar_droppings
broccoli | caterpillars in the broccoli head | bored_heart_frass
cabbage | hairy yellow caterpillars | yellow_black_caterpillars
lettuce_leaf | seedlings vanished overnight | stems_cut_at_soil
lettuce_leaf | slug slime | slime_trails
tomato_indeterminate | yellow lower leaves | uniform_pale_yellow_old
sweet_corn | pale and small | stunted_plant
tomato_indeterminate | yellow leaves with green veins | interveinal_yellow_old
pepper_sweet | young leaves yellow with green veins | interveinal_yellow_young
kale | drooping but soil is wet | wilt_no_recovery_moist
cucumber_slicing | droopy in the sun | wilt_midday_recovers
lettuce_head | dry crispy leaf tips | leaf_edge_scorch
tomato_indeterminate | scorched after spraying | bleached_patches_after_spray
tomato_indeterminate | flowers falling without fruit | flowers_drop_no_fruit
basil | black blotches after cold night | blackened_overnight_cold
""".strip().splitlines()


@pytest.mark.parametrize("line", SAYINGS)
def test_a_newcomers_words_are_read_as_the_sign_or_offered_it(line: str) -> None:
    crop, words, sign = (part.strip() for part in line.split("|"))
    try:
        signs, _ = signs_meant(TABLES, Planting("bed", "Bed", crop, 4), words, "--seen")
    except InputError as refused:
        offered = " ".join(fault.remedy for fault in refused.faults)
        assert TABLES.crosswalk.sign_texts[sign] in offered
    else:
        assert sign in signs


def test_what_is_clear_of_the_fruit_is_not_asked_of_the_leaf() -> None:
    """A white patch on the pepper is on its fruit; of a white patch on a leaf it is asked."""
    peppers = Planting("bed", "Bed", "pepper_sweet", 4)
    signs, _ = signs_meant(TABLES, peppers, "white patch on the pepper", "--seen")
    assert signs == ("pale_papery_sun_side",)
    with pytest.raises(InputError):
        signs_meant(TABLES, peppers, "white patch on the leaf", "--seen")
