"""Disorders of what was done or reported: pot-bound plants, hunger, drift. No spray helps any.

Figures are the table's own unless named here; how much of what makes a line is judgement.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from lattermath.knowledge.rows import Row
from lattermath.vocabulary.calendar import short
from lattermath.vocabulary.measure import measure
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.sentence import listed

CHECK_DAYS = 14  # judgement: the longest check of growth in the table, rounded up
LEACHES_MM = {True: 40.0, False: 75.0}  # judgement: rain of a fortnight, on light ground, on other
# Large users of nitrogen: a state's garden notes, second-hand; cucurbits and tomatoes need less.
HUNGRY = ("potato", "brassica", "sweet_corn", "corn")
ALSO_HUNGRY = ("tomato", "squash", "cucumber", "melon", "pepper", "eggplant", "beet", "lettuce")
MANY_MORE = 1.5  # judgement: rain that starves crops of less need, beside the hungry ones'
NEXT = 2  # lines at most, judgement
TWISTED = re.compile(r"twist|cupp|strap|fern.?like|herbicide|weed ?killer|\bdrift")
PALE = re.compile(r"\bpale|yellow")
HUNGER = re.compile(r"\bhunger|hungry|starv|nitrogen|nutrient")
LEAVES = re.compile(r"\bleaf\b|\bleaves\b|foliage")
# What else is named, or where: then it is no sign of hunger; young leaves pale of other lacks.
OTHER = re.compile(
    r"spot|mildew|mosaic|mottl|virus|blight|wilt|dots|margin|speck|stippl|\bweb|streak|blotch"
    r"|patch|\bring|\bedge|\btip|vein|\bside|lesion|rust|mou?ld|fuzz|grey|brown|black|powder|curl|distort"
    r"|\begg|beetle|\bbugs?\b|caterpillar|\bworm|grub|insect|larva|aphid|\bmite|thrips|scales"
    r"|moth|fly|flies|ladybird|ladybug|wasp|\bbees?\b|fruit|flower|blossom|\bpod|stem|\broot"
    r"|card|trap|\bnew|young|\btop"
)
DENIED = re.compile(
    r"\b(no|not|none|never|nothing|without|hardly|any ?more|no longer|green again)\b|n't\b|gone"
)


@dataclass(frozen=True, slots=True)
class Standing:
    """One planting as these disorders ask about it.

    host     : host word of the crop: tomato, brassica, ...
    kin      : word of the table of cup ages; "" for a crop that it lacks.
    in_cup   : days from sowing to setting out; None: not known, or sown in place.
    days_out : days since it was set out; None: not set out.
    rain_mm  : rain of the last fortnight since it was last fed; None: hardly measured. [mm]
    light    : sand or sandy loam, which holds little.
    said     : the grower's own words of the last weeks.
    pale     : some of them are a sign of hunger.
    """

    planting: Planting
    host: str
    kin: str
    in_cup: int | None
    days_out: int | None
    rain_mm: float | None
    light: bool
    said: tuple[str, ...]
    pale: bool = False


def sign_lines(
    standing: Sequence[Standing], today: date, hot: float | None, rows: Mapping[str, Row]
) -> tuple[str, ...]:
    """The lines of a sheet, what was reported first.

    hot : highest temperature of the last fortnight; None: not measured. [C]
    """
    found = (
        _drift(standing, hot, rows["herbicide_drift"]),
        _pale(standing, rows["nitrogen_hunger"]),
        _pot_bound(standing, today, rows["transplant_shock_root_bound"]),
        _leached(standing, rows["nitrogen_hunger"]),
    )
    return tuple(line for line in found if line)[:NEXT]


def twisted(words: str) -> bool:
    """Does a grower's own word name new leaves that came twisted, or a weedkiller?"""
    return bool(TWISTED.search(_plain(words)))


def names_paleness(words: str) -> bool:
    """Does a grower's own word name anything yellow or pale, or hunger itself?"""
    said = _plain(words)
    return bool(PALE.search(said) or HUNGER.search(said))


def plainly_pale(words: str) -> bool:
    """Does a grower's own word say that leaves are pale, or hunger, and nothing beside it?

    Not what is denied, what is not of leaves, and what names another sign or an animal.
    """
    said = _plain(words)
    if OTHER.search(said) or DENIED.search(said):
        return False
    return bool(HUNGER.search(said) or (PALE.search(said) and LEAVES.search(said)))


def _plain(words: str) -> str:
    return words.replace("_", " ").casefold()


def _drift(standing: Sequence[Standing], hot: float | None, row: Row) -> str:
    """New leaves that came twisted: several kinds at once point to a weedkiller."""
    hit = [one for one in standing if any(map(twisted, one.said))]
    if not hit:
        return ""
    kinds = len({one.host for one in hit})
    low, high = (f"{days:g}" for days in row.figure("onset_days").span)
    limit = row.figure("vapour_risk_c").value
    warm = ""
    if hot is not None and hot >= limit:
        warm = f" It has been over {measure(limit, 'C')}: some drift as vapour."
    many = "several kinds at once, so likely" if kinds > 1 else "maybe"
    return (
        f"{listed([one.planting.name for one in hit])}: twisted new leaves, {many} weedkiller, "
        f"from next door or in manure or straw, {low} to {high} days ago.{warm} No pest: no spray, "
        "leave them. Later leaves normal: drift. Still twisted: virus, pull. Ask before eating."
    )


def _pale(standing: Sequence[Standing], row: Row) -> str:
    """Pale old leaves that somebody reported: a feed is the test."""
    hit = [one.planting.name for one in standing if one.pale]
    if not hit:
        return ""
    low, high = (f"{days:g}" for days in row.figure("response_days").span)
    return (
        f"{listed(hit)}: pale. Oldest leaves first, even, no spots: hunger. Feed once, water in; "
        f"green again in {low} to {high} days proves it. No pest: no spray."
    )


def _leached(standing: Sequence[Standing], row: Row) -> str:
    """Rain that washed nitrogen out of the ground before anybody saw it."""
    hit = [one for one in standing if _starves(one)]
    if not hit:
        return ""
    rain = measure(round(max(one.rain_mm or 0.0 for one in hit)), "mm")
    low, high = (f"{days:g}" for days in row.figure("response_days").span)
    return (
        f"{listed([one.planting.name for one in hit])}: {rain} of rain in a fortnight washes "
        "nitrogen out. If oldest leaves pale evenly, without spots, feed once: green again in "
        f"{low} to {high} days. No pest: no spray."
    )


def _starves(one: Standing) -> bool:
    if one.rain_mm is None or one.host not in (*HUNGRY, *ALSO_HUNGRY):
        return False
    return one.rain_mm >= LEACHES_MM[one.light] * (1.0 if one.host in HUNGRY else MANY_MORE)


def _pot_bound(standing: Sequence[Standing], today: date, row: Row) -> str:
    """Plants set out too old: they stand still and wilt, and nothing is eating them."""
    hit = [one for one in standing if _too_old(one, row)]
    if not hit:
        return ""
    worst = max(hit, key=lambda one: one.in_cup or 0)
    stand_still, wilt = row.figure("growth_check_days"), row.figure("wilt_recovery_days")
    out = min(one.days_out or 0 for one in hit)
    until = today + timedelta(days=int(stand_still.span[1]) - out)
    age = row.figure(f"max_age_days.{worst.kin}").value
    names = listed([one.planting.name for one in hit])
    return (
        f"{names}: {worst.in_cup} days in the cup where {age:g} "
        f"are enough, so pot-bound: little growth until about {short(until)}, noon wilting for "
        f"{wilt.span[0]:g} to {wilt.span[1]:g} days. No pest: water in, shade, take off flowers."
    )


def _too_old(one: Standing, row: Row) -> bool:
    limit = row.find(f"max_age_days.{one.kin}") if one.kin else None
    if limit is None or one.in_cup is None or one.days_out is None:
        return False
    slack = one.planting.about_days
    return one.in_cup - slack > limit.value and 0 <= one.days_out <= CHECK_DAYS
