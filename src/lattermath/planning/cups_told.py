"""What a sheet says of a look at cups that is not what was expected, and what would tell why."""

from __future__ import annotations

from collections.abc import Iterator

from lattermath.belief.cup_check import CupOdds
from lattermath.belief.lot_belief import LotBelief
from lattermath.vocabulary.at_odds import LEAST_NAMED, MOST_NAMED
from lattermath.vocabulary.calendar import short

MOST_LOOKS = 2  # judgement
FEW = {
    "chance": "chance",
    "late": "seed that is still to come up",
    "old seed": "old seed",
    "died": "seedlings that dried up or damped off",
    "eaten": "slugs or mice",
    "other cups": "another lot's or empty cups counted in",
}
MANY = {"chance": "chance", "two seeds": "two seeds to a cup"}
SLOW = {
    "chance": "chance",
    "place": "a place colder or darker than is reckoned, or hunger",
    "other size": "cups that hold more than is written down",
    "other day": "sown later than is written down",
    "misjudged": "roots called less than they are",
}
FAST = {
    "chance": "chance",
    "place": "a place warmer than is reckoned",
    "other size": "cups that hold less than is written down",
    "other day": "sown earlier than is written down",
    "misjudged": "roots called more than they are",
}
LOOKS = {
    "late": "count again in three days",
    "old seed": "dig up the seed of two empty cups: firm, or soft and rotten",
    "died": "lift an empty cup (dry is light) and look for stems thin as a thread at the soil",
    "eaten": "look for bitten stems and slime, and once by lamp after dark",
    "other cups": "tell the lots apart by their labels and count once more",
    "two seeds": "look for two stems in a cup",
    "place": "lay a thermometer among the cups for a day",
    "other size": "fill an empty cup with water and measure it",
    "other day": "see what day stands on the label of the cups",
    "misjudged": "turn out two more cups",
}
ROOTS = {
    "few": "roots few",
    "filling": "roots that hold the ball",
    "coiled": "roots that circle",
}


def cup_odds_says(lot: LotBelief) -> Iterator[str]:
    """That looks at cups and belief disagree, what may explain it, and how to tell."""
    return (_says(one) for one in lot.disagrees)


def _says(odds: CupOdds) -> str:
    named = [(key, share) for key, share in odds.ranked if share >= LEAST_NAMED]
    words = _words(odds)
    known = [key for key, _ in named if key in words][:MOST_NAMED]
    causes = ", ".join(words[key] for key in known)
    looks = [LOOKS[key] for key in known if key in LOOKS][:MOST_LOOKS]
    may_be = f" May be {causes}." if causes else ""
    return f"{_found(odds)}.{may_be}" + (f" To tell: {'; or '.join(looks)}." if looks else "")


def _words(odds: CupOdds) -> dict[str, str]:
    if odds.roots is None:
        return MANY if odds.check.more else FEW
    return FAST if odds.check.more else SLOW


def _found(odds: CupOdds) -> str:
    when = short(odds.day)
    if odds.roots is not None:
        expected = " or ".join(ROOTS[one] for one in odds.expected)
        return f"{ROOTS[odds.roots]} on {when}, where {expected} were expected"
    low, high = int(odds.check.low), int(odds.check.high)
    span = f"{low} to {high}" if low < high else f"{low}"
    return f"{odds.up} of {odds.cups} came up by {when}, where {span} were expected"
