"""Rulings on practices told over the fence: refused with the reason, and a way without poison."""

from __future__ import annotations

import re
from dataclasses import dataclass

from lattermath.vocabulary.ruling import Because, Ruling, ruling


@dataclass(frozen=True, slots=True)
class Practice:
    """A practice, the words by which it is known, why it is refused, and what to do instead.

    Every group of words must be met by at least one word of the text.
    """

    key: str  # row of the table folk_practices, or of rule never_list
    words: tuple[str, ...]  # each a pattern; all must be found
    why: str
    instead: str
    forbidden: bool = True  # False: harmless, and only of little use


DUST = r"\bdust|\bpowders?\b|carbaryl|diatomaceous|pyreth|permethrin"
BAG = r"\bbag|\btents?\b|\benclos|\bsacks?\b"
NEVER = "rule:never_list"

# In the order in which they are asked; the first group are rows of the table folk_practices.
PRACTICES: tuple[Practice, ...] = (
    Practice(
        "table:folk_practices/bag_and_dust",
        (BAG, DUST + r"|spray|insecticide|pesticide|poison"),
        "dust or spray in a closed bag stands at breathing height when it is opened, is on no "
        "label, and wets so that it fails",
        "bag the shoot empty from dusk or before sunrise, shake, cut the worst leaves into the "
        "bag, tie it and take it off before the sun reaches it",
    ),
    Practice(
        "table:folk_practices/carbaryl_on_flowering_cucurbits",
        (r"\bdust|carbaryl", r"flower|bloom|squash|cucumber|courgette|zucchini|pumpkin|melon"),
        "bees carry dust home on their hairs; it flares mites and aphids, and costs the crop its "
        "own pollination",
        "pick egg masses and bugs by hand in the cool morning, lift boards for those below",
    ),
    Practice(
        "table:folk_practices/plastic_over_plants_in_sun",
        (r"plastic|polythene|clear sheet|cling|glass over", r"sun|heat|cook|bake|solari"),
        "air under clear sheet in sun reaches 35 to 60 C and kills the plant, while mites thrive",
        "sheet only over pulled debris; on living plants a strong water jet under the leaves",
    ),
    Practice(
        "table:folk_practices/dish_detergent",
        (r"detergent|washing.?up|dish ?soap|dishwash|dish liquid",),
        "detergents burn leaves and have no label, no crop list and no waiting period",
        "a strong water jet under the leaves, or insecticidal soap with a label for this crop",
    ),
    Practice(
        "table:folk_practices/sticky_cards_as_cure",
        (r"sticky|yellow (card|trap)",),
        "cards show flight and thin the adults a little; the young on the leaves stay",
        "one card to watch by, and take off the leaves that carry the young",
        forbidden=False,
    ),
    Practice(
        "table:folk_practices/wrong_bt",
        (r"\bbt\b|thuringiensis", r"^(?!.*tenebrionis)", r"beetle|bug|aphid|whitefly|mite"),
        "each strain kills its own kind only: kurstaki caterpillars, tenebrionis the larvae of "
        "leaf beetles; the wrong one does nothing",
        "hand picking, with the strain looked up on the label before anything is mixed",
    ),
    Practice(
        "table:folk_practices/bicarbonate_kitchen",
        (r"baking soda|bicarbonate of soda|sodium bicarb|kitchen bicarb",),
        "its sodium builds up and burns, and it is no labelled product in many places",
        "take off the worst leaves in dry weather and give the plants air",
    ),
    Practice(
        NEVER,
        (r"bleach|ammonia|kerosene|petrol|diesel|turpentine",),
        "it burns plants and people and is never a crop spray",
        "hands, water, mesh, or pulling the plant",
    ),
    Practice(
        NEVER,
        (r"tobacco|nicotine|cigarette",),
        "nicotine brew is a strong poison to the one who mixes it, and carries plant viruses",
        "a strong water jet under the leaves",
    ),
    Practice(
        NEVER,
        (r"vinegar|\bsalt\b",),
        "vinegar and salt burn leaves and spoil the soil",
        "hoe weeds while small; wash pests off with water",
    ),
    Practice(
        NEVER,
        (r"flea|veterinar|cattle|pool|filter.grade|ant powder|wasp powder|building",),
        "powders for animals, pools or buildings are not for food crops, and pool earth is "
        "crystalline silica",
        "hand picking and boards lifted each morning",
    ),
    Practice(
        NEVER,
        (DUST, r"shed|glasshouse|greenhouse|tunnel|indoors|inside"),
        "dust in a closed space is breathed by whoever opens it",
        "vacuum or shake the adults out at dawn, and freeze the catch",
    ),
    Practice(
        NEVER,
        (r"double|twice the|stronger than|extra strong|more than the label|over the label",),
        "more than the label's rate burns, poisons and breaks the law",
        "the label's rate on well wetted undersides, and a second look after some days",
    ),
    Practice(
        NEVER,
        (r"\bmix", r"two|both|together|with (soap|oil|sulfur|sulphur|copper|neem|vinegar)"),
        "mixtures made at home are on no label, and some burn or poison by themselves",
        "one product at a time, the interval of each kept",
    ),
    Practice(
        NEVER,
        (r"bottle|jar|jug", r"decant|pour|keep|store|left ?over"),
        "a spray in a drink bottle is drunk by somebody in the end",
        "keep it in its own pack, mix no more than this evening needs",
    ),
)


def folk_ruling(text: str) -> Ruling:
    """Rule on a practice told in words. What is not recognised is not allowed either.

    Refusals rest on the tables `folk_practices` and rule `never_list`.
    """
    told = text.casefold()
    found = [p for p in PRACTICES if all(re.search(word, told) for word in p.words)]
    if not found:
        return ruling([_not_known()])
    return ruling(
        Because(
            p.why, holds=not p.forbidden, who="our caution", rests_on=(p.key,), way_out=p.instead
        )
        for p in found
    )


def _not_known() -> Because:
    return Because(
        "this practice is not known here, and what is on no label is not done to a crop",
        holds=False,
        who="our caution",
        rests_on=("rule:label_in_hand",),
        way_out="hands, water, mesh, or a product whose label lists this crop",
    )
