"""What the tables say to do about a disease where no spray is the answer."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from lattermath.planning.sick_leaves import SickLeaves
from lattermath.planning.task_ids import task_id
from lattermath.vocabulary.calendar import said
from lattermath.vocabulary.plan import Task
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.ruling import Because

MINUTES_A_SICK_PLANT = 5.0  # judgement: bag, cut, carry; how many show it nobody knows yet
SEALED = "Closed bags, off the plot tonight, never on the heap."
WASH = "Hands and blade washed before the next plant."
# What is done about blighted haulm at any share of leaf: `stop_when` tells of single plants to bag.
HAULM_ROW = "table:crops/potato/picking.decline"
DRY = "Only while the leaves are dry."


@dataclass(frozen=True, slots=True)
class MustGo:
    """A planting that comes out whole, and why.

    says      : what to do besides, for the task.
    not_again : crops that the same disease lives on, so that they do not follow.
    """

    says: str
    because: Because
    not_again: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class EachSick:
    """Single plants to take out, the others watched."""

    verdict: str
    task: str
    because: Because


@dataclass(frozen=True, slots=True)
class _Rule:
    """One disease: when the whole planting goes, and what is done while it does not.

    Every line stands in the disease's own row, `stop_when` or `control`; the words are ours.
    """

    whole: Literal["at once", "when general", "never"]
    goes: str
    verdict: str
    each: str

    def takes_all(self, sick: SickLeaves) -> bool:
        """Does the whole planting go for this?"""
        return self.whole == "at once" or (self.whole == "when general" and sick.general)


RULES: dict[str, _Rule] = {
    "late_blight": _Rule(
        "when general",
        "Sound fruit first, green too, unless it is barred from picking. Tell the plots around "
        "tonight: it flies",
        "take out what shows late blight; all of it once a stem is brown or one leaf in twenty is",
        "bag and cut every plant that shows late blight: brown stem, wet dark patch, white edge "
        "below. Tell the plots around tonight: it flies",
    ),
    "basil_downy_mildew": _Rule(
        "at once",
        "Unless it is barred from picking, use the clean leaves the same day. Resow a kind that "
        "resists it",
        "",
        "",
    ),
    "bacterial_wilt_cucurbits": _Rule(
        "never",
        "",
        "pull what wilts and draws threads; nothing cures it, and it feeds more beetles",
        "cut a wilted runner and draw the halves apart. Threads: bag and pull that plant. "
        "No threads: leave it, look for borer and dry soil",
    ),
    "lettuce_drop": _Rule(
        "never",
        "",
        "take out what collapses; nothing cures it. Keep the ground dry on top, next crop another",
        "take out each collapsed plant with a spadeful of its soil",
    ),
}


def leaves_tubers(sick: SickLeaves, crop: str) -> bool:
    """Is it blight on potatoes, of which the haulm goes and the tubers stay two weeks more?"""
    return crop == "potato" and sick.what == "late_blight"


def must_go(sick: SickLeaves, hosts: frozenset[str], crop: str = "") -> MustGo | None:
    """Whether a planting comes out whole for what was seen on it.

    hosts : crop ids that the disease lives on; crop : of the planting.
    """
    rule = RULES.get(sick.what)
    if rule is None or not rule.takes_all(sick) or leaves_tubers(sick, crop):
        return None
    return MustGo(rule.goes, _because(sick, f"{sick.name} {_how_much(sick)}"), hosts)


def each_sick(sick: SickLeaves, crop: str = "") -> EachSick | None:
    """What is done while only single plants show it; None where that is no answer.

    Blighted potatoes have a task of their own (`potatoes.py`), so theirs is empty here.
    """
    rule = RULES.get(sick.what)
    if leaves_tubers(sick, crop):
        because = _because(sick, f"{sick.name} {_how_much(sick)}", HAULM_ROW)
        return EachSick("cut all haulm at once, lift two weeks later", "", because)
    if rule is None and sick.pull:
        task = f"bag and pull each plant that shows {sick.name}"
        return EachSick(sick.does, task, _because(sick, f"{sick.name} {_how_much(sick)}"))
    if rule is None or rule.takes_all(sick):
        return None
    return EachSick(rule.verdict, rule.each, _because(sick, f"{sick.name} {_how_much(sick)}"))


def turns_on_a_look(sick: SickLeaves, crop: str = "") -> bool:
    """Does the next look decide whether the whole planting goes, by how much is ill by then?"""
    rule = RULES.get(sick.what)
    general = rule is not None and rule.whole == "when general" and not sick.general
    return general and not leaves_tubers(sick, crop)


def sick_plant_task(visit: date, planting: Planting, sick: SickLeaves, answer: EachSick) -> Task:
    """Take out the plants that show it: last, after all clean beds."""
    return Task(
        id=task_id(visit, "pull", planting.key, sick.what),
        kind="pull",
        part="sick plants last",
        planting=planting.key,
        says=f"{planting.name}: {answer.task}.",
        minutes=MINUTES_A_SICK_PLANT,
        cautions=(DRY, SEALED, WASH),
        because=(answer.because,),
        if_skipped=f"it goes on from {planting.name}",
        must=True,
    )


def _how_much(sick: SickLeaves) -> str:
    if sick.stem:
        return f"seen on stems {said(sick.day)}"
    if sick.percent is not None:
        return f"on {sick.percent:g} % of the leaf, seen {said(sick.day)}"
    many = f", {sick.level} leaves" if sick.level in ("many", "heavy") else ""
    return f"seen {said(sick.day)}{many}"


def _because(sick: SickLeaves, says: str, row: str = "") -> Because:
    """What was seen, and the row of the tables that says what to do about it."""
    table = row or sick.table or f"table:diseases/{sick.what}/stop_when"
    return Because(says, who="grower", rests_on=(f"event:{sick.serial}", table))


# What a planting wants that keeps a disease, said short; each line follows the row's `stop_when`.
ADVICE: dict[str, str] = {
    "bacterial_spot": "no copper once spots are general; do not work it wet; fruit with few spots "
    "is good peeled",
    "bacterial_speck": "it stops when days are warm and settled; do not work it wet",
    "angular_leaf_spot_cucurbits": "two dry weeks stop it; do not touch it wet",
    "cucurbit_downy_mildew": "pick what is there; from a quarter of the leaf on, another kind or "
    "family does better",
    "early_blight_tomato": "take off the lowest leaves, mulch, keep it watered at the foot",
    "septoria_leaf_spot_tomato": "take off the lowest leaves, water at the foot, do not work it "
    "wet",
    "bean_rust": "strip badly rusted leaves and bin them",
    "late_blight": "look every visit: stems, undersides, green fruit",
}


def advice(what: str, stop_when: str = "") -> str:
    """What to do besides, or the row's own words where we have none shorter."""
    return ADVICE.get(what, stop_when)
