"""A planting that is kept and from which nothing is to come: to what it is reckoned lost."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from lattermath.desk.kind_words import kind_of
from lattermath.desk.pest_parts import last_looked
from lattermath.desk.picks_barred import never_clear
from lattermath.desk.stand_ins import name_of
from lattermath.planning.own_cautions import own_cautions
from lattermath.planning.sick_leaves import WET_SPREADS
from lattermath.vocabulary.sentence import inside, verb

if TYPE_CHECKING:
    from lattermath.desk.pest_parts import PestPlans
    from lattermath.desk.season_facts import SeasonFacts
    from lattermath.planning.watch import Watch
    from lattermath.vocabulary.plan import Population, Verdict
    from lattermath.vocabulary.ruling import Because

NOTHING_KG = 0.05  # a sheet prints less as 0 kg
MOST_OF_IT = 0.5  # judgement: what takes so much of the yield is what it is lost to
HANGS = "whether the crop is lost"  # what hangs on a look nobody took
HAS_IT = ("litres_left", "active")  # lines of a label that bar though nothing is missing


def with_lost(facts: SeasonFacts, verdict: Verdict, pests: PestPlans) -> Verdict:
    """The verdict of a planting that is let run, saying so where what is to come is lost.

    Lost is it where the middle of what it still gives prints as nothing, and one organism or
    disease takes most of it. Where what might help is barred by a line that nobody wrote down, that
    is said as well.
    """
    worst = _worst(facts, verdict, pests)
    if worst is None:
        return verdict
    name = inside(name_of(worst, facts.tables))
    lost, says = f"reckoned lost to {name}{_if_so(verdict, pests)}", verdict.says
    if any(verdict.planting in step.plantings for step in worst.course):
        return replace(verdict, says=f"{says}; it may well give nothing even so", minds=True)
    if _unseen(verdict, worst):
        says += f"; {lost}, {_not_seen(facts, verdict, worst)}"
        return replace(verdict, says=says, minds=True)
    on_it = f"; {name} {verb(name)} on it"
    says = says.replace(on_it, f", {lost}", 1) if on_it in says else f"{says}; {lost}"
    if not worst.course and (missing := tuple(_missing(facts, worst, verdict.planting))):
        begin, of_it, rest = says.partition(lost)
        clause, ends, more = rest.partition("; ")
        lacks = f"; not weighed, for want of it in the plot file: {', '.join(missing)}"
        says = f"{begin}{of_it}{clause}{lacks}{ends}{more}"
    return replace(verdict, says=says, minds=True)


def with_looks_behind(
    facts: SeasonFacts, verdicts: Iterable[Verdict], pests: PestPlans
) -> PestPlans:
    """The plans with a look wherever a crop is given up for what nobody saw there.

    It is owed whatever it is reckoned to be worth: the belief that it rests on came from beside.
    """
    hangs = {
        (verdict.planting, worst.organism)
        for verdict in verdicts
        if (worst := _worst(facts, verdict, pests)) is not None and _unseen(verdict, worst)
    }
    here = {key: {w.organism for w in pests.watches if w.planting.key == key} for key, _ in hangs}

    def asked(watch: Watch, planting: str, organism: str) -> bool:
        like = kind_of(facts, watch.organism) == kind_of(facts, organism)
        same = watch.organism == organism or (organism not in here[planting] and like)
        return watch.planting.key == planting and same

    watches = tuple(
        replace(watch, hangs=HANGS, suspected=True, unseen=0.0)
        if any(asked(watch, *lost) for lost in hangs)
        else watch
        for watch in pests.watches
    )
    return replace(pests, watches=watches)


def _worst(facts: SeasonFacts, verdict: Verdict, pests: PestPlans) -> Population | None:
    """What takes most of a planting that is given up for it: let run for nothing.

    None comes out for what nobody saw on it: such a verdict stands if only what was seen counts. Of
    one that nobody may ever pick it is not known what else would have taken it.
    """
    takers = sorted(_takers(verdict, pests), key=lambda one: -one[0])
    given_up = (
        verdict.verdict == "let run"
        and _gives_nothing(verdict)
        and never_clear(facts, verdict.planting, own_cautions(facts.tables)) is None
    )
    return takers[0][1] if takers and given_up else None


def _unseen(verdict: Verdict, worst: Population) -> bool:
    return not any(here.planting == verdict.planting and here.seen for here in worst.where)


def _if_so(verdict: Verdict, pests: PestPlans) -> str:
    """That what was counted there is doubted; "" where it is not."""
    care = pests.cares.get(verdict.planting)
    doubted = care is not None and care.seen is not None and care.seen.doubted
    return " if that count holds" if doubted else ""


def _not_seen(facts: SeasonFacts, verdict: Verdict, worst: Population) -> str:
    looked = last_looked(facts, verdict.planting, worst.organism)
    return "not seen on it yet" if looked is not None else "though nobody looked for it there yet"


def _gives_nothing(verdict: Verdict) -> bool:
    kept = [one for one in verdict.options if one.fate == verdict.choice]
    return bool(kept) and kept[0].kg.median < NOTHING_KG


def _takers(verdict: Verdict, pests: PestPlans) -> Iterator[tuple[float, Population]]:
    """What takes most of the planting's yield, with its share."""
    for one in pests.populations:
        share = pests.takes.get((one.organism, verdict.planting), 0.0)
        if one.found and share >= MOST_OF_IT:
            yield share, one


def _missing(facts: SeasonFacts, population: Population, planting: str) -> Iterator[str]:
    """What a means against it wants, that nobody wrote down, in words; no hose where water on the
    leaves spreads what they have."""
    names = {label.key: label.name for label in facts.plot.shelf}
    bars = [one for one in population.because if not one.holds and one.who == "our caution"]
    lacking = dict.fromkeys(key for bar in bars if (key := _label_lacking(bar)) in names)
    yield from (f"a line for {names[key]}" for key in lacking)
    if any("plot:water/hose" in bar.rests_on for bar in bars) and not _kept_dry(
        facts, bars, planting
    ):
        yield "a hose"


def _kept_dry(facts: SeasonFacts, bars: Iterable[Because], planting: str) -> bool:
    """Whether something seen on a planting bars water on its leaves."""
    wet = {address for bar in bars if WET_SPREADS in bar.says for address in bar.rests_on}
    return any(
        f"event:{event.serial}" in wet and getattr(event.payload, "planting", "") == planting
        for event in facts.events
    )


def _label_lacking(bar: Because) -> str:
    """The product of which a line was not written down; "" where it bars for another reason."""
    for address in bar.rests_on:
        key, _, line = address.removeprefix("label:").partition("/")
        if address.startswith("label:") and line not in HAS_IT:
            return key
    return ""
