"""Products that must not meet on a plant within some days, besides oil and sulfur.

Source: the `never` lines of the method rows (memory, not read on a label), so each refusal is our
caution; where a row gives no days, the days are judgement. A label that permits a pair outright
has no line for it here, and the refusal stands.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, time, timedelta

from lattermath.planning.own_cautions import Cautions
from lattermath.planning.treatment_request import TreatmentRequest
from lattermath.vocabulary.calendar import said
from lattermath.vocabulary.ruling import Because


@dataclass(frozen=True, slots=True)
class Pair:
    """Two kinds that stay `days` whole days apart, in either order; 1 is: not on one day."""

    one: str
    other: str
    days: int
    why: str
    row: str  # method row whose `never` line says so

    def keeps_apart(self, these: frozenset[str], those: frozenset[str]) -> bool:
        """True when the one is among these and the other among those, or the other way round."""
        return (self.one in these and self.other in those) or (
            self.other in these and self.one in those
        )


PAIRS = (
    Pair("carbaryl", "malathion", 7, "together they poison twice over", "carbaryl"),
    Pair("myclobutanil", "nerve poison", 1, "it makes the other worse for bees", "myclobutanil"),
    Pair("copper", "oil", 1, "together they burn leaves", "copper_hydroxide"),
    Pair("copper", "soap", 1, "together they burn leaves", "copper_hydroxide"),
    Pair("chlorothalonil", "oil", 7, "together they burn leaves", "chlorothalonil"),
    Pair("beauveria", "fungicide", 3, "a fungicide kills the fungus that was put on", "beauveria"),
)
NERVE_POISONS = frozenset({"3A", "4A"})  # pyrethrins, pyrethroids and neonicotinoids


def never_together(r: TreatmentRequest, c: Cautions) -> Iterator[Because]:
    """No pair of kinds that harm plant, bee or each other within its days."""
    if r.label is None:
        return
    mine = kinds(r.label.active, r.label.group, c)
    for a in r.applied:
        if a.planting != r.planting.key:
            continue
        gap = abs((a.at.astimezone(r.starts.tzinfo).date() - r.starts.date()).days)
        theirs = kinds(a.active, a.group, c)
        for pair in PAIRS:
            if gap < pair.days and pair.keeps_apart(mine, theirs):
                yield _refused(pair, a.at, r)


def kinds(active: str, group: str, c: Cautions) -> frozenset[str]:
    """The kinds an active belongs to, beside its own name."""
    found = {active}
    found |= {"oil"} if c.is_oil(active) else {"soap"} if c.burns_in_heat(active) else set()
    if active.startswith("copper"):
        found.add("copper")
    if group.upper().replace(" ", "") in NERVE_POISONS:
        found.add("nerve poison")
    if c.facts(active).scheme == "FRAC" and not c.is_oil(active):
        found.add("fungicide")
    return frozenset(found)


def _refused(pair: Pair, at: datetime, r: TreatmentRequest) -> Because:
    day = at.astimezone(r.starts.tzinfo).date()
    free = datetime.combine(day + timedelta(days=pair.days), time(), tzinfo=r.starts.tzinfo)
    return Because(
        f"{pair.one} and {pair.other} met on {said(day)}: {pair.why}",
        holds=False,
        who="our caution",
        rests_on=(f"table:methods/{pair.row}/never[0]", "rule:overlap"),
        lapses=free,
        way_out="wait, or use something else",
    )
