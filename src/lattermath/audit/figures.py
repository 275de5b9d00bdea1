"""The hard figures that the audit holds plans to, typed for itself and shared with nobody.

Each is the figure of a trade rule (its id in brackets), so that a slip in the tables or in the
code that reads them cannot pass unseen. Standing: common practice unless said.
"""

from __future__ import annotations

HOUR = 3600.0  # seconds
DAY = 86400.0  # seconds

# [wet_leaves] words in the names of leaf diseases; those that need no wet leaf; our own caution
LEAF_WORDS = ("blight", "mildew", "rust", "septoria", "leaf spot", "bacterial spot", "speck")
DRY_DISEASES = frozenset({"cucurbit_powdery_mildew"})
SPREADS_TO_ALL = frozenset({"late_blight"})  # [row late_blight, neighbour_effect]
WETS_LEAVES = frozenset({"water_jet"})
# [bloom] our own caution
NEVER_IN_BLOOM = frozenset(
    {
        *("carbaryl", "malathion", "permethrin", "bifenthrin"),
        *("lambda_cyhalothrin", "pyrethrins", "acetamiprid"),
    }
)
NEVER_IN_BLOOM_GROUPS = frozenset({"1A", "1B", "3A", "4A"})  # the four blocked classes by number
NEEDS_BEE_WORDS = frozenset({"spinosad"})
# [rows pyrethrins, acetamiprid, spinosad] "otherwise the evening window"
EVENING_ONLY = frozenset({"pyrethrins", "acetamiprid", "spinosad"})
# Judgement: the evening window opens this long before sunset, when the sun is off most leaves.
WINDOW_OPENS = 0.5 * HOUR

# [heat_ceiling] 10 C published (spray-oil injury, Washington State 2022); 32 C common practice
HOTTEST_C = 32.0
COOLEST_OIL_C = 10.0
# [sulfur_oil_gap] 14 days published (the same fact sheet: 2 to 4 weeks); 30 days seen on labels
OIL_SULFUR_DAYS = 14.0
OIL_SULFUR_DAYS_UNKNOWN = 30.0
# [rain]
DEPOSIT_DRY_HOURS = 2.0
RAIN_EXPECTED = 0.5  # judgement: more likely than not
# [wind] memory of spray-drift codes
STRONGEST_WIND_M_S = 4.0
# [drift_to_neighbour] judgement: how far fine drops of a hand sprayer carry
DRIFT_M = 3.0
BESIDE_M = 1.0  # judgement: nearer than that is beside
LATELY_DAYS = 14  # judgement: what was treated before that is called untreated
PLANTING_RADIUS_M = 0.5  # judgement: how far a planting spreads from its centre
# [re_entry] "until dry", by our caution not before 4 h; memory of labels
UNTIL_DRY_HOURS = 4.0
WATER_ROUNDED_MM = 0.02  # a plan tells water in hundredths: two of them, each half off
# [label_line_states] judgement: the earliest hour that "the next morning" can mean
MORNING_HOUR = 6
# [rotate_by_generation] memory of the resistance committee's document
SHORTEST_WINDOW_DAYS = 15.0
NOT_COMPARED = frozenset(
    {"UN", "UNE", "UNF", "UNM", "UNB", "UNP", "UNV", "NC", "BM01", "BM02", "", "NOTCLASSIFIED"}
)
# Numbers of modes of action, for labels that print none; by IRAC and FRAC, from memory.
GROUPS = {
    "spinosad": "5",
    "acetamiprid": "4",
    "btk": "11",
    "btt": "11",
    "myclobutanil": "3",
    **dict.fromkeys(("carbaryl", "malathion"), "1"),
    **dict.fromkeys(("pyrethrins", "permethrin", "bifenthrin", "lambda_cyhalothrin"), "3"),
}
# Actives with a row of their own; nothing is planned with another
TABLED = frozenset(
    {
        *("soap", "mineral_oil", "neem_oil", "azadirachtin", "kaolin", "diatomaceous_earth"),
        *("spinosad", "btk", "btt", "beauveria", "pyrethrins", "permethrin", "bifenthrin"),
        *("lambda_cyhalothrin", "carbaryl", "malathion", "acetamiprid", "iron_phosphate"),
        *("sulfur", "copper_hydroxide", "copper_octanoate", "potassium_bicarbonate", "qst713"),
        *("chlorothalonil", "myclobutanil"),
    }
)
BAITS = frozenset({"iron_phosphate"})
NEVER_COMPARED = frozenset({"kaolin", "diatomaceous_earth", "iron_phosphate"})
FUNGICIDES = frozenset(
    {
        *("sulfur", "copper_hydroxide", "copper_octanoate", "potassium_bicarbonate"),
        *("qst713", "chlorothalonil", "myclobutanil", "mineral_oil"),
    }
)
# [retreat_and_maximum] "a year" as any twelve months
YEAR_DAYS = 365

# [rows of methods, dry_h] hours until dry; the 4 h of [re_entry] where there is none
DRY_HOURS = {
    "soap": 4.0,
    "mineral_oil": 4.0,
    "neem_oil": 4.0,
    "pyrethrins": 2.0,
    "spinosad": 2.0,
    "acetamiprid": 2.0,
    "sulfur": 2.0,
    "copper_hydroxide": 12.0,
    "copper_octanoate": 4.0,
    "potassium_bicarbonate": 2.0,
    "chlorothalonil": 8.0,
    "myclobutanil": 2.0,
}
CONTACT = frozenset({"soap", "mineral_oil", "neem_oil", "pyrethrins", "potassium_bicarbonate"})

# [rows of methods, never] memory, days partly judgement: kinds that stay so many days apart
KEEP_APART = (
    ("carbaryl", "malathion", 7),
    ("myclobutanil", "3A", 1),
    ("myclobutanil", "4A", 1),
    ("copper", "oil", 1),
    ("copper", "soap", 1),
    ("chlorothalonil", "oil", 7),
    ("beauveria", "fungicide", 3),
)

# Methods with nothing in a pack: water, hands, mesh, released insects
LEAVE_NOTHING = frozenset(
    {
        *("water_jet", "hand_pick", "row_cover", "sticky_cards", "vacuum", "bag_enclosure"),
        *("prune_leaves", "trap_crop", "remove_plant", "board_trap"),
        *("encarsia", "phytoseiulus", "lacewing_ladybeetle"),
    }
)
CLOSED_COVERS = frozenset({"bag_enclosure", "clear sheet", "bag"})
HOSES = frozenset({"water_jet"})
# [rows of methods, limits] means without a pack; hours and degrees judgement where no figure stands
COVERS = frozenset({"row_cover"})
SITTING = frozenset({"vacuum", "bag_enclosure"})
LET_OUT = frozenset({"encarsia", "phytoseiulus", "lacewing_ladybeetle"})
SEARCHED = frozenset({"hand_pick", "prune_leaves", "phytoseiulus", "lacewing_ladybeetle"})
WRITTEN_AS = {  # method: words of the plot file, one of which must be there
    "vacuum": ("vacuum",),
    "row_cover": ("fine mesh", "mesh", "fleece"),
    "phytoseiulus": ("predatory mites",),
    "lacewing_ladybeetle": ("lacewing larvae", "ladybirds"),
    "encarsia": ("whitefly wasps",),
}
LEAF_DRY_HOURS = ((-100.0, 4.0), (15.0, 2.0), (22.0, 1.0))  # air from, hours to dry after a hose
BOARDS_BY_HOUR = "10:00"
FLEECE_TO_C = 27.0
MITES_LIVE_C = (15.0, 30.0)  # [row phytoseiulus, temp] memory
BEE_CROPS = frozenset(
    {"melon", "winter_squash", "summer_squash", "cucumber_slicing", "cucumber_pickling"}
)


def name_parts(active: str) -> set[str]:
    """The words inside an id or a common name."""
    kept = "".join(ch if ch.isalnum() else " " for ch in active.lower())
    return set(kept.split())


def holds_oil(active: str) -> bool:
    """Mineral, neem or vegetable oil."""
    return "oil" in name_parts(active) or "oils" in name_parts(active)


def holds_sulfur(active: str) -> bool:
    """Sulfur in any form."""
    return not name_parts(active).isdisjoint({"sulfur", "sulphur"})


def holds_soap(active: str) -> bool:
    """Insecticidal soap."""
    return "soap" in name_parts(active)


# [crops, spacing_cm] ground of one plant, by which plantings without a bed are measured. [m2]
PLANT_GROUND_M2 = {
    "radish": 0.006,
    "arugula": 0.008,
    "onion_scallion": 0.009,
    "corn_salad": 0.01,
    "cilantro": 0.0125,
    "carrot": 0.0225,
    "spinach": 0.028,
    "pea_fall": 0.03,
    **dict.fromkeys(("bean_bush", "beet"), 0.036),
    "turnip": 0.04,
    "garlic": 0.045,
    **dict.fromkeys(("lettuce_leaf", "leek", "kohlrabi"), 0.06),
    "bok_choy": 0.088,
    "endive": 0.105,
    **dict.fromkeys(("chard", "basil"), 0.1125),
    "lettuce_head": 0.12,
    "bean_pole": 0.135,
    "chinese_cabbage": 0.1575,
    "sweet_corn": 0.1725,
    **dict.fromkeys(("kale", "collard"), 0.18),
    "runner_bean": 0.225,
    "cabbage": 0.24,
    "potato": 0.245,
    "broccoli": 0.27,
    "cauliflower": 0.3,
    "okra": 0.315,
    "pepper_sweet": 0.3375,
    **dict.fromkeys(("cucumber_pickling", "cucumber_slicing"), 0.36),
    "eggplant": 0.375,
    "brussels_sprouts": 0.4125,
    **dict.fromkeys(("tomato_determinate", "tomato_indeterminate"), 0.6),
    **dict.fromkeys(("summer_squash", "melon"), 0.9),
    "winter_squash": 1.5,
}
