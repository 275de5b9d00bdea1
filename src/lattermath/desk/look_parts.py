"""A look at a planting as parts for a page: answers, looks to take, causes, what to do."""

from __future__ import annotations

from dataclasses import dataclass

from lattermath.desk.diagnose import said_look
from lattermath.desk.look import Looked
from lattermath.desk.look_words import (
    counted_here,
    deed_said,
    in_a_hundred,
    likely,
    notes,
    unreckoned,
    untold,
    what_to_count,
)
from lattermath.vocabulary.errors import Fault
from lattermath.vocabulary.sentence import capital

MOST_ASKED = 5  # looks offered at once; more than the terminal's three, since a press answers one


@dataclass(frozen=True, slots=True)
class Asked:
    """One sign: its id, how to look for it, the minutes it takes, and what was answered."""

    sign: str
    says: str
    minutes: float
    answer: str = ""  # "seen", "not" or ""


@dataclass(frozen=True, slots=True)
class Suspect:
    """One cause with its chance of a hundred, and what it would ask for."""

    name: str
    chance: int
    deed: str


@dataclass(frozen=True, slots=True)
class Count:
    """What to count now, and the subject it is logged under. `severity`: a share of the leaf."""

    says: str
    subject: str
    severity: bool


@dataclass(frozen=True, slots=True)
class LookParts:
    """Everything the page of a look shows; `nothing_seen`: then only looks are offered."""

    planting: str
    name: str
    nothing_seen: bool
    answered: tuple[Asked, ...]
    to_ask: tuple[Asked, ...]
    because: tuple[str, ...]
    look_alikes: tuple[str, ...]
    causes: tuple[Suspect, ...]
    untold: int  # something listed that is not among the causes; 0 where hardly any
    none_of_these: int
    next_look: Asked | None
    enough: bool  # no further look would change what to do
    hold_back: bool  # too little is known to treat
    clinic: bool
    count: Count | None
    known_signs: tuple[str, ...]  # in plain words, to choose among
    counted: str = ""  # the day of a count within the week, which is not asked for again
    unexplained: tuple[str, ...] = ()  # signs seen that no cause listed here makes
    unreckoned: tuple[str, ...] = ()  # what hands can do where no plan would have a course
    notes: tuple[str, ...] = ()  # parts that were not read, natural enemies that were named
    asked: tuple[Fault, ...] = ()  # sayings that are not clear, each with what it may mean


def look_parts(looked: Looked) -> LookParts:
    """The parts of a look that was taken."""
    tables, verdict, told = looked.tables, looked.found.verdict, looked.found.told
    chances, answers = told.probabilities, {**dict.fromkeys(looked.seen, "seen")}
    answers |= dict.fromkeys(looked.not_seen, "not")
    spells = [tables.symptoms[s].text for s in looked.known.present]
    open_ = verdict.worth_taking if looked.seen else verdict.looks
    offered = [w.look for w in open_ if w.look.sign.id not in answers][:MOST_ASKED]
    next_look = verdict.next_look
    signs = [w.look.sign.id for w in verdict.looks if w.look.sign.id in tables.symptoms]
    return LookParts(
        looked.planting.key,
        looked.planting.name,
        not looked.seen,
        tuple(Asked(s, _called(looked, s), 0.0, answer) for s, answer in answers.items()),
        tuple(Asked(one.sign.id, _look(looked, one.sign.id), one.minutes) for one in offered),
        (*(f"{capital(spell)}." for spell in spells), *looked.known.says, *looked.at_odds),
        tuple(tables.causes[c].name for c in looked.found.look_alikes),
        tuple(
            Suspect(tables.causes[c].name, in_a_hundred(chances[c]), deed_said(looked, c))
            for c in likely(looked)
        ),
        in_a_hundred(left) if (left := untold(looked)) else 0,
        in_a_hundred(told.other),
        None
        if next_look is None
        else Asked(next_look.sign.id, _look(looked, next_look.sign.id), next_look.minutes),
        next_look is None and verdict.deed is not None and not looked.at_odds,
        verdict.deed is None,
        looked.found.clinic,
        _count(looked),
        tuple(sorted(tables.symptoms[s].text for s in signs)),
        counted_here(looked),
        tuple(tables.symptoms[s].text for s in looked.found.unexplained),
        tuple(f"{capital(line)}." for line in unreckoned(looked)),
        tuple(notes(looked)),
        looked.said.asked,
    )


def _called(looked: Looked, sign: str) -> str:
    symptom = looked.tables.symptoms.get(sign)
    return capital(symptom.text if symptom else said_look(looked.tables, sign))


def _look(looked: Looked, sign: str) -> str:
    return capital(said_look(looked.tables, sign))


def _count(looked: Looked) -> Count | None:
    found = what_to_count(looked)
    if found is None or counted_here(looked):
        return None
    subject, says = found
    return Count(capital(says), subject, subject in looked.tables.diseases)
