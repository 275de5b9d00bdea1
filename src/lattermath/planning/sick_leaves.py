"""Leaves seen to be diseased stay dry: no jet, no watering from above, whatever else is wrong."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date

from lattermath.vocabulary.calendar import said
from lattermath.vocabulary.ruling import Because, Ruling
from lattermath.vocabulary.sentence import verb

WETS_LEAVES = ("water_jet",)
DRY_WAY = "take off the worst leaves by hand when they are dry"
MANY_PERCENT = 5.0  # judgement of the table: about 5 to 10 % of the leaf
MANY = ("many", "heavy")

# Wet leaves feed no powdery mildew: the row of cucurbits says so, of the others from memory.
POWDERY = "powdery mildew"
# A grower's own words that most likely mean a disease of leaves: not diagnosed, only kept dry.
LEAF_WORDS = re.compile(
    r"spot|blight|mildew|rust|speck|anthracnose|alternaria|septoria|cercospora|mou?ld|lesion|canker"
    r"|blotch|\brot"
)
WET_SPREADS = "water on the leaves spreads it"


@dataclass(frozen=True, slots=True)
class SickLeaves:
    """One disease seen on one planting and not missed since.

    what    : disease id, or the grower's own word.
    percent, level : how much of the leaf, as last said; None: nobody said.
    stem    : seen on stems as well.
    splash  : water on the leaves carries it or lets it in.
    does    : what is done about one that nothing reckons, in words; "" for the others.
    pull    : plants that show such a one come out.
    table   : address of the row that says so.
    """

    planting: str
    what: str
    name: str
    day: date
    serial: int
    percent: float | None = None
    level: str | None = None
    stem: bool = False
    splash: bool = True
    does: str = ""
    pull: bool = False
    table: str = ""
    known: bool = True  # the tables have it; False where it has only the grower's own words

    @property
    def general(self) -> bool:
        """More than first spots: stems, many leaves, or from one twentieth of the leaf on."""
        much = self.percent is not None and self.percent >= MANY_PERCENT
        return self.stem or much or self.level in MANY


def kept_dry(ruling: Ruling, method: str, sick: Iterable[SickLeaves]) -> Ruling:
    """The ruling with the bars of diseased leaves, and no way out that wets them."""
    wet = [one for one in sick if one.splash]
    if not wet:
        return ruling
    reasons = tuple(replace(b, way_out=_dry(b.way_out)) for b in ruling.reasons)
    return Ruling((*reasons, *_bars(method, wet)))


def wets_beside(method: str, beside: Iterable[SickLeaves]) -> Iterator[Because]:
    """No jet where a disease that water carries was seen on the same crop, or in the same bed."""
    if method not in WETS_LEAVES:
        return
    for one in beside:
        if one.splash:
            about = f"{one.name} {verb(one.name)} about, seen {said(one.day)}"
            yield Because(
                f"{about}: wet leaves would catch it",
                holds=False,
                who="our caution",
                rests_on=(f"event:{one.serial}", "table:methods/water_jet/limits"),
                way_out=DRY_WAY,
            )


def _bars(method: str, wet: Iterable[SickLeaves]) -> Iterator[Because]:
    for one in wet:
        if method in WETS_LEAVES:
            yield Because(
                f"{one.name} seen on it {said(one.day)}: {WET_SPREADS}",
                holds=False,
                who="our caution",
                rests_on=(f"event:{one.serial}",),
                way_out=DRY_WAY,
            )


def _dry(way: str) -> str:
    """A way out without water on leaves; watering at the foot may stay."""
    if "water" not in way or "at the foot" in way:
        return way
    return way.replace("hands, water, mesh", "hands, mesh") if "mesh" in way else DRY_WAY


def wet_feeds(word: str) -> bool:
    """May wet leaves feed what a grower's own word means? Not where it is a powdery mildew."""
    return POWDERY not in word.replace("_", " ").casefold()


def leaf_word(word: str) -> bool:
    """Does a grower's own word most likely mean a disease of leaves?"""
    return bool(LEAF_WORDS.search(word.replace("_", " ").casefold()))
