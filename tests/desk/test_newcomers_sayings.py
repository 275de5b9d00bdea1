"""Sentences of people who are new to a plot, each with what it must be taken for.

What each means was written down from general knowledge of plots before any reading was looked at:
the crop, the words, the signs taken, and after a further stroke the signs that must stand among
those offered where it is asked back. A sentence with neither must not be taken for any sign.
"""

from __future__ import annotations

import pytest

from lattermath.desk.sayings_read import reads, signs_meant
from lattermath.knowledge.tables import load_tables
from lattermath.vocabulary.errors import InputError
from lattermath.vocabulary.plot import Planting

TABLES = load_tables()
FRUIT = """
summer_squash | white powder on the leaves | white_powder_top |
summer_squash | the little fruit go yellow and rot at the end | | misshapen_fruit
summer_squash | whole plant wilts in the afternoon but is fine in the morning | wilt_midday_recovers |
cucumber_slicing | bitter fruit and leaves yellow with angular patches | | yellow_angular_veinlimited
cucumber_slicing | leaves are mottled with dark green bumps and the plant is stunted | mosaic_mottle stunted_plant |
melon | sticky leaves and black soot | honeydew_sticky sooty_mould |
winter_squash | one vine suddenly collapsed, sawdust at the base | sudden_wilt_one_vine frass_stem_base |
tomato_indeterminate | brown patches on leaves and stems going black, spread overnight after rain | brown_stem_lesions | large_dark_watersoaked_blotch
tomato_indeterminate | black bottom on the fruit | sunken_dark_blossom_end |
tomato_indeterminate | leaves curl up but otherwise green | | leaf_roll_upward_firm
tomato_determinate | big holes in leaves and black droppings | large_ragged_holes | caterpillar_droppings
eggplant | tiny holes like shot in the leaves | shot_holes |
eggplant | leaves look dusty and bronze with little webs | bronzed_leaves webbing |
pepper_sweet | flowers drop off | flowers_drop_no_fruit |
pepper_sweet | a pale papery patch on the side of the fruit | pale_papery_sun_side |
potato | black spots with rings on the lower leaves | target_rings |
potato | yellow and black striped bugs eating the leaves | striped_beetles_red_grubs |
okra | pods are curled and have warts | curled_warty_pods |
okra | buds drop | flowers_drop_no_fruit |
sweet_corn | big grey swellings on the cob | silver_grey_galls |
sweet_corn | worm at the tip of the ear | caterpillar_cob_tip |
sweet_corn | ears with missing kernels | gappy_cob |
winter_squash | grey flat bugs under the leaves, bronze eggs | grey_flat_bugs_stem_base bronze_eggs_vein_angle |
winter_squash | leaves wilt and do not recover, slimy thread when I cut the stem | wilt_no_recovery_moist sticky_strands_cut_stem |
tomato_indeterminate | leaves stripped from the top and big green droppings | stripped_top_shoots caterpillar_droppings |
tomato_indeterminate | huge green worm with a horn | large_horned_caterpillar |
tomato_indeterminate | bottom leaves have little spots with dark rim | | small_grey_centre_specks
tomato_indeterminate | yellow shoulders on the fruit | hard_yellow_shoulders |
tomato_indeterminate | fruit cracked after rain | fruit_cracks |
eggplant | yellow and black striped beetles eating leaves | striped_beetles_red_grubs |
sweet_corn | silks are chewed off | | metallic_beetles
okra | green stink bugs on the pods | shield_bugs_on_fruit |
pepper_sweet | leaves have dark greasy spots and fall | small_dark_greasy_spots |
pepper_sweet | holes in the fruit | fruit_hole_at_stem_end |
cucumber_slicing | yellow beetles with black stripes | yellow_black_striped_beetle |
cucumber_slicing | plant wilted and died in two days | | sudden_wilt_one_vine
melon | leaves speckled yellow and crispy, fine webs | webbing | fine_pale_stippling
potato | orange fat grubs eat the leaves | striped_beetles_red_grubs |
tomato_indeterminate | white flies under the leaves | white_insect_cloud |
sweet_corn | worm in the ear | caterpillar_cob_tip |
cucumber_slicing | leaves dry out from below | | lower_leaves_first
tomato_indeterminate | blight | | large_dark_watersoaked_blotch target_rings
tomato_indeterminate | the leaves are going brown from the bottom | | lower_leaves_first target_rings
tomato_indeterminate | leaves rolled up | leaf_roll_upward_firm |
summer_squash | fruits rot at the flower end | | sunken_dark_blossom_end misshapen_fruit
summer_squash | flowers but no fruit | flowers_drop_no_fruit |
cucumber_slicing | white flies | white_insect_cloud |
melon | no fruit | | flowers_drop_no_fruit few_bees
potato | leaves have holes | | large_ragged_holes
sweet_corn | leaves have rows of holes | | shot_holes
okra | leaves wilted and roots have knots | small_root_galls | wilt_no_recovery_moist
"""
LEAF = """
kale | green caterpillars on the leaves | | green_velvet_caterpillar looping_caterpillar
kale | grey sticky bugs in the heart | | soft_insect_clusters
broccoli | plants wilt and the roots have knobbly swellings | swollen_club_roots | wilt_midday_recovers
cabbage | holes in leaves and slime trails | slime_trails | large_ragged_holes
cabbage | heads split open | split_head |
bok_choy | it bolted | bolting_flower_stalk |
bok_choy | tiny jumping beetles | jumping_beetles |
radish | maggots in the root | white_maggots_roots |
arugula | little round holes | shot_holes |
bean_pole | black bugs all over the tips | | soft_insect_clusters
bean_pole | orange powdery dots under the leaf | rusty_pustules_rub_off |
bean_pole | no beans, the flowers drop | flowers_drop_no_fruit |
bean_bush | seedlings eaten at ground level | | stems_cut_at_soil slime_trails
pea_fall | white powder on leaves | white_powder_top |
pea_fall | little grubs in the pods | caterpillar_in_pod |
lettuce_leaf | plant rots at the base with white fluff | white_cottony_mould_base |
lettuce_leaf | brown edges on inner leaves | inner_leaf_edge_brown |
spinach | pale winding lines in the leaves | serpentine_mines |
spinach | yellow patches with grey purple fuzz underneath | grey_purple_down_under |
chard | round spots with red edge | round_tan_red_rim |
chard | blisters in leaves with maggots | serpentine_mines |
beet | small round grey spots with purple edge | round_tan_red_rim |
beet | roots have black corky patches inside | blackened_root_heart |
carrot | rusty tunnels in the root | rusty_tunnels_root |
carrot | leaves gone red and plants stunted | stunted_plant |
carrot | roots are forked | forked_stubby_root |
onion_scallion | silvery streaks on the leaves | silvery_streaks_black_dots |
onion_scallion | seedlings fall over, maggots in the bulb | maggots_in_bulb | seedling_pinched_collapse
leek | orange spots on the leaves | rusty_pustules_rub_off |
leek | caterpillars tunnelling in the middle | leek_windows_caterpillar |
garlic | yellow leaf tips | | white_flecks_onion_leaf
cilantro | went to flower | bolting_flower_stalk |
cilantro | leaves white and powdery | white_powder_top |
basil | leaves yellow on top grey fuzz below | grey_purple_down_under |
basil | something eats the leaves at night | damage_at_night_none_by_day |
turnip | holes in leaves and beetles jumping | jumping_beetles | shot_holes
corn_salad | white powder | white_powder_top |
kale | leaves yellow at the bottom | | uniform_pale_yellow_old
kale | harlequin orange and black bugs | black_red_shield_bugs |
kale | white specks fly up when I shake the kale | white_insect_cloud |
kale | white butterflies flying around | white_butterflies |
kale | white butterflies and green caterpillars | white_butterflies | green_velvet_caterpillar
kale | small holes and little wriggling caterpillars | shot_holes small_wriggling_caterpillar |
bean_pole | leaves look like lace | windowpane_skeletonised |
bean_pole | leaves look like lace, yellow bugs with spots | windowpane_skeletonised | copper_16_spot_beetle
bean_pole | leaves pale with dots and webs | fine_pale_stippling | webbing
carrot | carrots have tunnels | rusty_tunnels_root |
leek | orange powder | rusty_pustules_rub_off |
broccoli | grey powdery aphids | soft_insect_clusters |
chard | snails | slime_trails |
bean_pole | blackfly on the tips | soft_insect_clusters |
bean_pole | greenfly on the tips | soft_insect_clusters |
bean_pole | black aphids on the tips | soft_insect_clusters |
bean_pole | black bugs | | soft_insect_clusters
bean_pole | little black insects clustered on the shoots | soft_insect_clusters |
bean_pole | ants running up the plants | ants_running |
kale | grey mealy aphids | soft_insect_clusters |
kale | caterpillars | | green_velvet_caterpillar small_wriggling_caterpillar
kale | something eats my kale | | large_ragged_holes
cabbage | big white butterfly eggs yellow | yellow_eggs_under |
spinach | bolted | bolting_flower_stalk |
spinach | leaf miner | serpentine_mines |
chard | leaf mines | serpentine_mines |
beet | leaves have tunnels | serpentine_mines |
carrot | tops are feathery and sticky with greenfly | honeydew_sticky soft_insect_clusters |
pea_fall | pods have maggots inside | caterpillar_in_pod |
leek | white streaks on leaves and maggots | | leek_windows_caterpillar
cilantro | bolted | bolting_flower_stalk |
cilantro | greenfly | soft_insect_clusters |
onion_scallion | white mould at the roots | | white_cottony_mould_base
lettuce_leaf | slugs | slime_trails |
"""
OTHERS = """
kale | blackfly on the shoots | soft_insect_clusters |
runner_bean | black fly all over the growing tips | soft_insect_clusters |
broccoli | whitefly everywhere | white_insect_cloud |
cauliflower | heads have caterpillar poo in them | bored_heart_frass |
cabbage | caterpillars in the heart | | bored_heart_frass
brussels_sprouts | grey aphids inside the sprouts | soft_insect_clusters |
turnip | tunnels in the turnips with white maggots | white_maggots_roots |
radish | tiny holes all over the leaves | shot_holes |
kohlrabi | roots are swollen like a club | swollen_club_roots |
chinese_cabbage | slugs in the heart | slime_trails |
endive | went to seed | bolting_flower_stalk |
lettuce_leaf | started to flower | bolting_flower_stalk |
lettuce_leaf | brown slimy rot at the base | | stem_base_brown_rot
basil | leaves have yellow patches with grey fluff underneath | grey_purple_down_under |
basil | holes in the leaves and slime trails | slime_trails | large_ragged_holes
basil | whole plant drooping | | wilt_midday_recovers
beet | pale blotches in the leaves with maggots inside | serpentine_mines |
spinach | maggots inside the leaves | serpentine_mines |
chard | white maggots in the leaf | serpentine_mines |
carrot | little white maggots in the carrots | rusty_tunnels_root |
onion_scallion | little white maggots in the bulbs | maggots_in_bulb |
garlic | orange powder on the leaves | rusty_pustules_rub_off |
leek | little caterpillars eating the inside of the leaves | leek_windows_caterpillar |
leek | maggots in the leaves | | leek_windows_caterpillar
onion_scallion | white fluffy mould on the bulb | white_cottony_mould_base |
pea_fall | notches round the edges of the leaves | notched_leaf_edges |
pea_fall | tiny caterpillars eating the peas in the pod | caterpillar_in_pod |
bean_pole | rusty brown spots under the leaves | rusty_pustules_rub_off |
bean_bush | leaves speckled with fine webs underneath | webbing | fine_pale_stippling
bean_bush | young beans have dark sunken spots | sunken_round_spots |
runner_bean | flowers fall and no beans set | flowers_drop_no_fruit |
sweet_corn | grey lumps on the ears | silver_grey_galls |
sweet_corn | the silks have been eaten | | metallic_beetles
sweet_corn | top broke off and there is sawdust in the stalk | bored_stalk_broken_tassel |
okra | ants all over the stems | ants_running |
melon | tiny white flies when I touch it | white_insect_cloud |
cucumber_slicing | young fruit shrivel and drop | misshapen_fruit |
summer_squash | baby courgettes turn yellow and rot from the tip | | misshapen_fruit
winter_squash | fat white grub inside the stem | white_grub_in_stem |
potato | fat red grubs stripping the leaves | striped_beetles_red_grubs |
potato | big dark wet patches spreading fast | large_dark_watersoaked_blotch |
tomato_indeterminate | lower leaves have brown spots with yellow halo | | target_rings
tomato_indeterminate | leaves dying from the bottom up | | lower_leaves_first
tomato_indeterminate | fruit has a hole with a caterpillar in it | fruit_hole_at_stem_end |
tomato_indeterminate | blackfly all over | soft_insect_clusters |
pepper_sweet | black mushy end on the fruit | sunken_dark_blossom_end |
eggplant | fat orange grubs | striped_beetles_red_grubs |
eggplant | shiny black beetles jump off | jumping_beetles |
corn_salad | grey fuzz below the leaves | grey_purple_down_under |
arugula | harlequin bugs | black_red_shield_bugs |
collard | orange and black shield bugs | black_red_shield_bugs |
bok_choy | black and red bugs on the leaves | black_red_shield_bugs |
"""
NOTHING = """
summer_squash | I see nothing wrong
cucumber_slicing | it just looks sad
chard | chickens got in
broccoli | tiny heads formed early
radish | all leaves and no root
sweet_corn | purple leaves
summer_squash | leaves have silver patches
basil | black spots on leaves
tomato_indeterminate | tiny hopping bugs and sugar-like grains on leaves
kale | no blackfly on the tips
bean_pole | no greenfly all over
bean_pole | ladybirds on the tips
bean_pole | black smears on the tips
bean_pole | lovely new tips
potato | no orange grubs
potato | fat orange potatoes
carrot | orange fat roots
kale | fat orange grubs
kale | orange and black butterflies
kale | orange and black ladybirds
kale | harlequin pattern on the pot
sweet_corn | silks are nice and long
sweet_corn | no swellings on the cob
sweet_corn | big grey birds on the cob
lettuce_leaf | not bolting
cilantro | no flowers yet
tomato_indeterminate | went to flower
summer_squash | went to flower
potato | started to flower
tomato_indeterminate | the leaves are green from the bottom
tomato_indeterminate | no brown leaves at the bottom
tomato_indeterminate | fat orange fruit
tomato_indeterminate | grubs in the fruit basket
pea_fall | no grubs in the pods
leek | no caterpillars in the middle
chard | no maggots in the leaves
spinach | maggots in the fruit
spinach | red maggots in the leaves
basil | leaves are fine below
basil | grey fuzz on the soil
summer_squash | no rot at the end of the fruit
summer_squash | yellow fruit and healthy
winter_squash | orange grub inside the stem
okra | green caterpillars eating pods
leek | blisters on my hands
kale | grubs in the compost
cabbage | nothing in the heart
"""


def rows(told: str) -> list[list[str]]:
    return [[one.strip() for one in line.split("|")] for line in told.strip().splitlines()]


def answered(crop: str, words: str) -> tuple[set[str], str]:
    """The signs taken of a sentence, and all that is said of what was not."""
    try:
        taken, unread = signs_meant(TABLES, planting_of(crop), words, "--seen")
    except InputError as refused:
        return set(), refused.faults[0].remedy
    return set(taken), " ".join(unread)


def planting_of(crop: str) -> Planting:
    return Planting(crop, TABLES.crosswalk.named(crop), crop, 4)


@pytest.mark.parametrize(("crop", "words", "taken", "offered"), rows(FRUIT + LEAF[1:] + OTHERS[1:]))
def test_a_newcomers_sentence_is_taken_for_what_it_says_or_the_right_one_is_offered(
    crop: str, words: str, taken: str, offered: str
) -> None:
    signs, told = answered(crop, words)
    assert signs == set(taken.split())
    for sign in offered.split():
        assert TABLES.symptoms[sign].text in told


@pytest.mark.parametrize(("crop", "words"), rows(NOTHING))
def test_what_says_no_sign_or_denies_it_is_never_taken_for_one(crop: str, words: str) -> None:
    assert reads(TABLES, planting_of(crop), words) is not True
