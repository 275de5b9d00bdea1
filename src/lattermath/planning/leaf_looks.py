"""What to look for on leaves, by disease, and where on the plant; follows the rows' `surface`."""

from __future__ import annotations

# `{n}` is the number of leaves. Each says what tells it from its look-alike.
LOOKS: dict[str, str] = {
    "cucurbit_downy_mildew": "turn {n} leaves: yellow patches between the veins, grey down below",
    "early_blight_tomato": "look over {n} low leaves: brown spots with rings like a target",
    "septoria_leaf_spot_tomato": "look over {n} low leaves: many small pale spots, dark rim",
    "late_blight": "look at stems, {n} leaves above and below, green fruit: "
    "dark wet patches, white edge below",
    "bacterial_spot": "look over {n} leaves: small dark greasy spots, scabs on fruit",
    "bacterial_speck": "look over {n} leaves and fruit: black specks smaller than a pinhead",
    "angular_leaf_spot_cucurbits": "turn {n} leaves: wet spots between veins, white crust",
    "basil_downy_mildew": "turn {n} leaves: yellow blocks above, grey fuzz below",
    "bean_rust": "turn {n} leaves, rub: rust on the finger",
    "lettuce_drop": "look at the foot of each: wet rot, white felt",
    "bacterial_wilt_cucurbits": "look for runners that hang: cut one, draw the halves apart",
}


def what_to_look_for(disease: str) -> str:
    """The words of a look; "" where the list of things to count has its own."""
    return LOOKS.get(disease, "")
