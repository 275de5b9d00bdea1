"""What a sheet says of pickings that are not what was expected, and the look that tells."""

from __future__ import annotations

from lattermath.belief.picking_check import PickingOdds
from lattermath.vocabulary.at_odds import LEAST_NAMED, MOST_NAMED
from lattermath.vocabulary.calendar import short
from lattermath.vocabulary.measure import measure

FEW = {
    "chance": "chance",
    "missed": "fruit missed under the leaves",
    "somebody": "somebody else picked too",
    "weighed": "another unit was weighed in",
    "season": "heat, cold or dull days took more than is reckoned",
    "ails": "something ails the plants that nobody has seen",
    "left before": "",
    "other yield": "this kind on this ground bears less than the tables say",
}
MANY = {
    **FEW,
    "missed": "",
    "somebody": "",
    "season": "heat, cold or dull days took less than is reckoned",
    "ails": "",
    "left before": "fruit that had been left at the picking before",
    "other yield": "this kind on this ground bears more than the tables say",
}
LOOKS = {
    "missed": "go through the plants once more and look under the leaves for fruit past size",
    "somebody": "ask who else has picked",
    "weighed": "weigh a litre of water on the same scales, which is a kilogram",
    "season": "count open flowers and small fruit: many flowers and few fruit, and they fell",
    "ails": "turn ten leaves, and look at the stem base and at what hangs at noon",
    "left before": "pick all that has its size, so that the next picking tells",
    "other yield": "weigh the next two pickings",
}
MOST_LOOKS = 2


def picking_odds_says(odds: PickingOdds) -> str:
    """That pickings and belief disagree, what may explain it, and how to tell."""
    words = MANY if odds.check.more else FEW
    named = [(key, share) for key, share in odds.ranked if share >= LEAST_NAMED and words[key]]
    causes = ", ".join(words[key] for key, _ in named[:MOST_NAMED])
    looks = [LOOKS[key] for key, _ in named if key in LOOKS][:MOST_LOOKS]
    what = "in all so far" if odds.whole else f"on {short(odds.day)}"
    led = "tables" if odds.whole else "earlier pickings and the tables"
    says = (
        f"{measure(odds.kg, 'kg')} picked {what}, where the {led} led one to expect "
        f"{measure(_about(odds.check.low), 'kg')} to {measure(_about(odds.check.high), 'kg')}."
    )
    may_be = f" May be {causes}." if causes else ""
    return f"{says}{may_be}" + (f" To tell: {'; or '.join(looks)}." if looks else "")


def _about(kg: float) -> float:
    """To two figures, as roughly as it is known. [kg]"""
    return float(f"{kg:.2g}")
