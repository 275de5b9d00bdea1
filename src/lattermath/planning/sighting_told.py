"""What a sheet says of a sighting that disagrees: what may explain it, and the look that tells."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations
from math import isinf

from lattermath.belief.explanations import Explained
from lattermath.belief.sighting_check import Check
from lattermath.planning.telling_look import TellingLook
from lattermath.vocabulary.at_odds import LEAST_NAMED, MOST_NAMED, MayBe
from lattermath.vocabulary.counted import counted

NEVER_CAME = "never came"
WORDS = {
    "chance": "chance",
    "undersides missed": "the spray missed undersides",
    "washed off": "rain washed the spray off",
    "withstood": "they withstand the spray or it is stale",
    "flown in": "more flew in",
    "miscounted": "a miscount",
    "another pest": "another insect",
    "slip": "the wrong planting or a slip of the pen",
    "here longer": "they came earlier, or more of them, than is reckoned",
    "looked elsewhere": "the {} looked at were not theirs",
    "taken": "enemies or a storm took them",
    "worked better": "the treatment took more than usual",
    NEVER_CAME: "they never came there",
}
LEAF_WORDS = {
    "chance": "chance",
    "spray failed": "the spray did less than usual",
    "suited more": "the weather suited it better than is reckoned here",
    "suited less": "the weather suited it less than is reckoned here",
    "leaves off": "the worst leaves are off",
    "misjudged": "a severity judged wrongly",
    "another disease": "another disease",
    "slip": "the wrong planting or a slip of the pen",
    "here longer": "it has been there for longer than is reckoned",
}
OF_A_SPRAY = ("undersides missed", "washed off", "withstood")
WET_LOOK = "turn leaves an hour after the next spray and see if the undersides are wet"
LENS = (
    "see some under a lens beside a picture, or take {} in a closed bag to a plant clinic, for "
    "what it is"
)
NEW_DAYS = 7  # judgement: after a week a sighting is not spoken of as new any more
MOST_TOLD = 1000.0  # stands for what cannot be counted
SOMETHING_ELSE = "something else"


def at_odds_says(what: str, check: Check, *, in_all: bool = False) -> str:
    """That belief and sighting disagree.

    what   : the sighting in words, as in "Cucumbers: 130 counted on 10 leaves on 21 Jul".
    in_all : it was a class, of the usual leaf; what was expected is a total.
    """
    return f"{what}, where {_between_all(check, in_all)} {_were(check)} expected."


def never_came_says(what: str, check: Check, *, in_all: bool = False) -> str:
    """That they seem not to have come to a planting; what and in_all as for `at_odds_says`."""
    between = _between_all(check, in_all)
    return f"{what}: it seems they did not come there, though {between} {_were(check)} expected."


def _between_all(check: Check, in_all: bool) -> str:
    return f"{_between(check)} in all" if in_all and check.high > 0 else _between(check)


def may_be(ranked: Sequence[Explained], units: str = "leaves") -> tuple[MayBe, ...]:
    """What may explain it, the likeliest first; the hardly likely is not named, but told together.

    units : what was looked at, many of it.
    """
    return _named([(WORDS[one.key].format(units), one.share) for one in ranked])


def _between(check: Check) -> str:
    if check.high <= 0:
        return "none"
    if check.low == check.high:
        return f"about {check.high:g}"
    return f"{check.low:g} to {check.high:g}"


def _were(check: Check) -> str:
    return "was" if check.high <= 0 else "were"


def look_says(
    look: TellingLook | None,
    name: str,
    word: str,
    ranked: Sequence[Explained],
    units: str = "leaves",
) -> str:
    """The look that would tell them apart, with about what it would find by two of them.

    name  : of the planting to look at; of the sighting itself where no look tells.
    units : what was looked at, many of it.

    Those two are of the ones that are named. No count tells what another insect is, however likely
    it is: that takes a lens. Where no look parts what is named, another look there is the least
    that can be done.
    """
    named = [one for one in ranked if one.share >= LEAST_NAMED][:MOST_NAMED]
    spray = [one for one in named if one.key in OF_A_SPRAY]
    other = [n for n, one in enumerate(named) if one.key == "another pest"]
    pair = None if look is None else _apart(look, named)
    ways = []
    if look is not None and pair is not None:
        told = ", ".join(f"{_about(look.finds[key])} if {_if(key, units)}" for key in pair)
        ways.append(f"{_how(look, name, word)}: {told}")
    if len(spray) > len(ways):
        ways.append(WET_LOOK)
    if other and (not ways or other[0] == 0):
        ways.append(LENS.format("a leaf" if units == "leaves" else "some"))
    if not ways and named:
        ways.append(f"look at {name} again")
    return f"To tell: {'. And '.join(ways)}." if ways else ""


def _apart(look: TellingLook, ranked: Sequence[Explained]) -> tuple[str, str] | None:
    """Two likely explanations that this look parts well, the likelier first; None where none."""
    likely = [one for one in ranked if one.key in look.finds]

    def gap(pair: tuple[Explained, Explained]) -> float:
        ends = [min(look.finds[one.key], MOST_TOLD) + 1 for one in pair]
        return pair[0].share * pair[1].share * (max(ends) / min(ends) - 1)

    best = max(combinations(likely, 2), key=gap, default=None)
    return None if best is None or gap(best) <= 0 else (best[0].key, best[1].key)


def _how(look: TellingLook, name: str, word: str) -> str:
    minutes = f"({look.minutes:g} min)"
    if look.measure == "shake":
        return f"shake {counted(look.units, 'plants')} of {name} {minutes} and count what rises"
    what = "eggs" if look.stage else word
    if look.whole:
        return f"look {counted(look.units, 'plants')} of {name} over {minutes} and count {what}"
    return f"turn {counted(look.units, 'leaves', 'leaf')} of {name} {minutes} and count {what}"


def _about(total: float) -> str:
    if isinf(total):
        return "more than can be counted"
    return f"about {total:g}" if total else "none"


def _if(key: str, units: str) -> str:
    """An explanation as the end of "if ..."."""
    return {
        "chance": "it was chance",
        "miscounted": "it was a miscount",
        "another pest": "it is another insect",
        "slip": "it was a slip",
    }.get(key, WORDS[key].format(units))


def ranked_says(ranked: Sequence[Explained], units: str = "leaves") -> str:
    """The reckoning behind the ranking, for the reasons: odds beside chance, weights apart."""
    chance = next(one for one in ranked if one.key == "chance")
    told = [
        f"{WORDS[one.key].format(units)} {_odds(one.log_likelihood - chance.log_likelihood)}"
        for one in ranked
        if one is not chance
    ]
    return (
        "how well each would give all that was seen since, beside chance alone "
        f"(the same model run again with that one thing changed): {', '.join(told)}"
    )


def _odds(log: float) -> str:
    """A ratio of likelihoods, roughly; held to its ends in logs, where no number is too large."""
    tens = round(log / 2.302585, 1)
    if tens >= 3:
        return "above 1000 to 1"
    if tens < -2:
        return "below 1 to 100"
    ratio = 10**tens
    return f"{ratio:.1f} to 1" if ratio < 9.5 else f"{ratio:.0f} to 1"


def leaf_at_odds_says(what: str, check: Check) -> str:
    """That a severity disagrees.

    what : the sighting in words; the check's ends are in per cent.
    """
    were = "none was" if check.high <= 0 else f"{check.low:g} to {check.high:g} % were"
    return f"{what}, where {were} expected."


def leaf_may_be(ranked: Sequence[tuple[str, float]]) -> tuple[MayBe, ...]:
    """What may explain it, the likeliest first; the hardly likely is not named."""
    return _named([(LEAF_WORDS[key], share) for key, share in ranked])


def _named(ranked: Sequence[tuple[str, float]]) -> tuple[MayBe, ...]:
    """The likely ones, and how much is left to those that are not named."""
    named = [MayBe(*one) for one in ranked if one[1] >= LEAST_NAMED][:MOST_NAMED]
    left = sum(share for _, share in ranked) - sum(one.chance for one in named)
    return (*named, *((MayBe(SOMETHING_ELSE, left),) if named and left >= LEAST_NAMED else ()))


def leaf_look_says(ranked: Sequence[tuple[str, float]], name: str) -> str:
    """The looks that would tell: the leaves again, and what is particular to the likeliest."""
    likely = {key for key, share in ranked if share >= LEAST_NAMED}
    says = f"To tell: judge ten leaves of {name} again beside the drawn ones (4 min)."
    if "another disease" in likely:
        says += " Look at both sides with a lens for what grows there."
    return f"{says} And {WET_LOOK}." if "spray failed" in likely else says
