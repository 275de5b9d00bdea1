"""Brings what was seen of diseases into courses, verdicts and work, also where none is followed."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING

from lattermath.desk.coming_over import with_coming_over
from lattermath.desk.disease_weather import with_weather
from lattermath.desk.disorder_weather import disorders_likely
from lattermath.desk.leaf_going import going_whole, with_going
from lattermath.desk.pest_parts import PestPlans
from lattermath.desk.plant_signs import UNTIL_THEN, look_at, names_a_disease, until_then
from lattermath.desk.reckoned_lost import with_looks_behind, with_lost
from lattermath.desk.season_facts import SeasonFacts
from lattermath.desk.unseen import with_unseen
from lattermath.planning.disease_answers import (
    DRY,
    EachSick,
    advice,
    each_sick,
    must_go,
    sick_plant_task,
)
from lattermath.planning.fates import Care
from lattermath.planning.sick_leaves import SickLeaves
from lattermath.vocabulary.events import Pulling
from lattermath.vocabulary.plan import Population, Task, Verdict
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.ruling import Because
from lattermath.vocabulary.sentence import capital, inside, verb

if TYPE_CHECKING:
    from lattermath.desk.permits import Permits
    from lattermath.desk.plan_crops import CropPlans

FIRST_CLAUSE = re.compile(r"[.,;:]")
WORTH_NAMING = 0.05  # judgement: share of what is to come from which what takes it is named
MOST_CLAUSES = 2  # judgement: more of one planting is not read on the front
WASH = "Wash hands and knife before any other planting."  # common practice


def with_sick(facts: SeasonFacts, pests: PestPlans, permits: Permits) -> PestPlans:
    """The plans with what must come out and what is sick."""
    cares = dict(pests.cares)
    for planting in facts.plot.standing():
        for sick in permits.sick_on(planting.key):
            gone = must_go(sick, _hosts(facts, sick.what), planting.crop)
            if gone is not None:
                cares[planting.key] = replace(cares.get(planting.key, Care()), must_go=gone)
    sick_ones = frozenset(p.key for p in facts.plot.standing() if permits.sick_on(p.key))
    return replace(pests, cares=cares, sick=pests.sick | sick_ones)


def with_diseases(facts: SeasonFacts, pests: PestPlans, permits: Permits) -> PestPlans:
    """The plans, told, with what is seen but not reckoned.

    What the weather lets in unseen comes with its line and its look, what else may have come unseen
    with its look, and disorders that look like either with theirs.
    """
    found = replace(
        pests,
        populations=tuple(
            with_going(facts, permits, pests.cares, one) for one in pests.populations
        ),
        warnings=(*pests.warnings, *_not_reckoned(facts, pests, permits)),
    )
    found = with_unseen(facts, with_weather(facts, found))
    going = going_whole(found.cares)
    return replace(found, warnings=(*found.warnings, *disorders_likely(facts, permits, going)))


def say_diseases(
    facts: SeasonFacts, crops: CropPlans, pests: PestPlans, permits: Permits
) -> CropPlans:
    """The decisions with what lives on them in their words: nothing sick or treated is let run
    without a word."""
    decisions = {
        key: replace(
            one,
            verdict=with_coming_over(
                facts,
                with_lost(facts, _told(facts, one.verdict, pests, permits), pests),
                crops.beliefs.get(key),
                pests,
            ),
        )
        for key, one in crops.decisions.items()
    }
    return replace(crops, decisions=decisions)


def look_behind(facts: SeasonFacts, crops: CropPlans, pests: PestPlans) -> PestPlans:
    """The plans with a look wherever one of these decisions rests on what nobody saw there."""
    return with_looks_behind(facts, [one.verdict for one in crops.decisions.values()], pests)


def sick_plant_tasks(
    facts: SeasonFacts, permits: Permits, visit: date, goes: set[str | None]
) -> list[Task]:
    """Single plants to bag and take out, until plants were pulled after the sighting."""
    return [
        sick_plant_task(visit, planting, sick, answer)
        for planting in facts.plot.standing()
        if planting.key not in goes
        for sick in permits.sick_on(planting.key)
        if (answer := each_sick(sick, planting.crop)) is not None
        and answer.task
        and not _pulled_since(facts, sick)
    ]


def carried_by_hands(facts: SeasonFacts, permits: Permits) -> frozenset[str]:
    """Own plantings with a disease that wet hands and tools carry on."""
    standing = (planting.key for planting in facts.plot.standing())
    return frozenset(key for key in standing if _splashes(permits, key))


def _splashes(permits: Permits, planting: str) -> bool:
    return any(sick.splash for sick in permits.sick_on(planting))


def _cautioned(tasks: list[Task], permits: Permits, caution: str) -> list[Task]:
    """The tasks, with a caution at plants whose disease wet hands carry on."""
    return [
        replace(task, cautions=(*task.cautions, caution))
        if task.planting and _splashes(permits, task.planting)
        else task
        for task in tasks
    ]


def handled_dry(tasks: list[Task], permits: Permits) -> list[Task]:
    """Tending of sick plants, with the caution that wet hands carry disease."""
    return _cautioned(tasks, permits, DRY)


def washed_after(tasks: list[Task], permits: Permits) -> list[Task]:
    """Pickings, which come before looks and tending, with the caution to wash after sick plants."""
    return _cautioned(tasks, permits, WASH)


def _told(facts: SeasonFacts, verdict: Verdict, pests: PestPlans, permits: Permits) -> Verdict:
    care = pests.cares.get(verdict.planting)
    if care is not None and care.must_go is not None:
        says = f"{verdict.says}: {care.must_go.because.says}"
        return replace(verdict, says=says, decide_by=None)
    left: list[SickLeaves] = []
    for sick in permits.sick_on(verdict.planting):
        if verdict.verdict not in ("let run", "fight"):
            break
        each = each_sick(sick, facts.plot.planting(verdict.planting).crop)
        verdict = _minding(verdict, facts, sick) if each is None else _each(verdict, each)
        left += [sick] if each is None else []
    if verdict.verdict != "let run":
        return verdict
    return _with_what_is_there(verdict, _there(facts, verdict.planting, pests, left))


@dataclass(frozen=True, slots=True)
class _There:
    """One thing that lives on a planting.

    takes : share of its yield, left alone; None: not reckoned.
    left  : why nothing is done about it there; "" where it is treated.
    """

    name: str
    seen: bool
    takes: float | None
    left: str
    advice: str = ""

    @property
    def order(self) -> tuple[bool, float]:
        """What was seen first, and of that the worst."""
        return not self.seen, -(WORTH_NAMING if self.takes is None else self.takes)


def _with_what_is_there(verdict: Verdict, there: Iterable[_There]) -> Verdict:
    """A planting that is let run names what is treated on it, and the worst of what is not.

    It says two things at most: what more was seen has its section or its warning.
    """
    ordered = sorted(there, key=lambda one: one.order)
    treated = tuple(dict.fromkeys(one.name for one in ordered if not one.left))
    left = [one for one in ordered if one.left and one.name not in treated]
    says, free = verdict.says, MOST_CLAUSES
    if treated:
        joins = " and" if ", with" in says else ", with"
        says, free = f"{says}{joins} the course against {' and '.join(treated)}", 1
    by_why: dict[str, list[_There]] = {}
    for one in left:
        by_why.setdefault(one.left, []).append(one)
    clauses = [clause for why, some in by_why.items() for clause in _on_it(some, why, free)]
    clauses += [one.advice for one in ordered if one.advice and not one.left]
    says = "; ".join((says, *clauses[:free]))
    return replace(verdict, says=says, minds=verdict.minds or bool(treated or clauses))


def _on_it(some: list[_There], why: str, most: int) -> tuple[str, ...]:
    """The clauses of what is left alone for one reason: what is on it, and what helps besides."""
    names = [one.name for one in some[:most]]
    on_it = f"{' and '.join(names)} {verb(names[0]) if len(names) == 1 else 'are'} on it{why}"
    return (on_it, some[0].advice) if some[0].advice else (on_it,)


def _there(
    facts: SeasonFacts, planting: str, pests: PestPlans, sick: Iterable[SickLeaves]
) -> Iterator[_There]:
    """What is treated on a planting, and what was seen there and is not.

    sick : diseases seen on it.
    """
    organisms, diseases = facts.tables.organisms, facts.tables.diseases
    ill = {one.what: one for one in sick}
    for one in pests.populations:
        row = organisms.get(one.organism) or diseases.get(one.organism)
        treated = any(planting in step.plantings for step in one.course)
        seen = any(here.planting == planting and here.seen for here in one.where)
        takes = pests.takes.get((one.organism, planting), 0.0)
        named = treated or (one.organism in organisms and seen and takes >= WORTH_NAMING)
        if row is not None and named and one.organism not in ill:
            yield _There(
                one.called or row.name,
                seen,
                takes,
                "" if treated else f", {_left_alone(planting, one)}",
            )
    for what, one_ill in ill.items():
        yield _ill(facts, planting, pests, what, one_ill)


def _ill(
    facts: SeasonFacts, planting: str, pests: PestPlans, what: str, sick: SickLeaves
) -> _There:
    """A disease seen there; a row without figures says so."""
    row = facts.tables.diseases.get(what)
    followed = next((one for one in pests.populations if one.organism == what), None)
    if row is not None and followed is not None and planting in followed.plantings:
        takes = pests.takes.get((what, planting), 0.0)
        return _There(sick.name, True, takes, _why_let_run(planting, followed), advice(what))
    known = row is not None or names_a_disease(what, facts.tables)
    unknown = "no figures" if known else "not named yet"
    does = advice(what, "" if row is None else row.stop_when)
    return _There(sick.name, True, None, f", not reckoned: {unknown}", does)


def _left_alone(planting: str, population: Population) -> str:
    """Why a planting on which something was seen has no treatment, in the words of its course."""
    if population.course:
        why = dict(population.not_there).get(planting, "")
        return f"treated on other plantings only{', since ' if why else ''}{why}"
    return "and " + inside(FIRST_CLAUSE.split(population.course_says, maxsplit=1)[0])


def _each(verdict: Verdict, each: EachSick) -> Verdict:
    """Single plants come out, so it is fought for whatever else pays."""
    because = (each.because, *verdict.because)
    return replace(verdict, verdict="fight", choice="fight", says=each.verdict, because=because)


def _minding(verdict: Verdict, facts: SeasonFacts, sick: SickLeaves) -> Verdict:
    """A verdict with the disease seen there among its reasons."""
    known = sick.what in facts.tables.diseases
    rests = (f"event:{sick.serial}", *((f"table:diseases/{sick.what}",) if known else ()))
    reason = Because(f"{sick.name} seen {sick.day:%d %b}".replace(" 0", " "), True, "grower", rests)
    return replace(verdict, minds=True, because=(reason, *verdict.because))


def _why_let_run(planting: str, followed: Population) -> str:
    """Why nothing is done about a leaf disease that is followed there; "" where it is treated."""
    if any(planting in step.plantings for step in followed.course):
        return ""
    return f", {_left_alone(planting, followed)}"


def _not_reckoned(facts: SeasonFacts, pests: PestPlans, permits: Permits) -> Iterator[str]:
    """Diseases seen that no course follows: what stands on the neighbour's plot among them."""
    followed = {(p.organism, key) for p in pests.populations for key in p.plantings}
    for planting in facts.plot.plantings:
        if planting.pulled is not None:
            continue
        for sick in permits.sick_on(planting.key):
            row = facts.tables.diseases.get(sick.what)
            if planting.neighbours_plot:
                yield f"{sick.name} on {planting.name}: tell them, and look at your own."
            elif sick.does:  # where plants come out for it, the verdict says what is done
                if not sick.pull:
                    does = capital(sick.does)
                    yield f"{capital(sick.name)} on {planting.name}: not reckoned. {does}."
            elif row is None:
                yield f"{capital(sick.name)} on {planting.name}: {_own_word(facts, sick, planting)}"
            elif not _lives_on(facts, sick.what, planting.crop):
                yield (
                    f"{capital(sick.name)} on {planting.name}: seen, and not reckoned: "
                    f"{_no_figures(sick)}."
                )
            elif (sick.what, planting.key) not in followed and must_go(sick, frozenset()) is None:
                does = advice(sick.what, row.stop_when) if each_sick(sick) is None else ""
                more = f" {capital(does)}." if does else ""
                yield f"{capital(sick.name)} on {planting.name}: not reckoned, no figures.{more}"


def _own_word(facts: SeasonFacts, sick: SickLeaves, planting: Planting) -> str:
    """What is said of a leaf disease logged in the grower's own words: the look that names it,
    where they are no name."""
    if names_a_disease(sick.what, facts.tables):
        return f"seen, not reckoned: {_no_figures(sick)}."
    if look := look_at(sick.what, planting, facts.tables):
        does = until_then(sick.what, planting, facts.tables, facts.plot.place.lies_in)
        return f"seen, not reckoned until it has a name: {look}. {does}."
    does = UNTIL_THEN["disease"]  # judgement: safe whatever it is
    return f"seen, not reckoned: the tables do not know it by that word. {does}."


def _no_figures(sick: SickLeaves) -> str:
    """Dry leaves where wet ones may feed it; what they do not feed is no reason for them."""
    does = UNTIL_THEN["disease" if sick.splash else "pest"]
    return f"the tables have no figures for it there. {does}"


def _hosts(facts: SeasonFacts, disease: str) -> frozenset[str]:
    return frozenset(crop for crop in facts.tables.crops if _lives_on(facts, disease, crop))


def _lives_on(facts: SeasonFacts, disease: str, crop: str) -> bool:
    row = facts.tables.diseases.get(disease)
    hosts: Mapping[str, object] = {} if row is None else row.hosts
    return facts.tables.crosswalk.host(crop, hosts) is not None


def _pulled_since(facts: SeasonFacts, sick: SickLeaves) -> bool:
    return any(
        isinstance(event.payload, Pulling)
        and event.payload.planting == sick.planting
        and event.serial > sick.serial
        for event in facts.events
    )
