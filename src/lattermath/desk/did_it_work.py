"""Whether a treatment worked: what counts before and after say, and what is believed since."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta

import numpy as np

from lattermath.belief.cluster_untreated import grown_without
from lattermath.belief.clusters import ClusterBelief
from lattermath.belief.natural_enemies import METHOD as ENEMIES
from lattermath.belief.treatment_kills import MOST_KILL, Application
from lattermath.desk.season_facts import SeasonFacts
from lattermath.desk.totals_ranged import ranged
from lattermath.knowledge.stage_words import named_stages
from lattermath.planning.awaited_count import Awaited, awaited, tells
from lattermath.planning.treated_beside import (
    COUNTS,
    SOON_DAYS,
    Beside,
    Looked,
    before_and_after,
    beside_untreated,
    not_compared,
    tells_nothing,
)
from lattermath.science.efficacy import Efficacy
from lattermath.vocabulary.calendar import said, short
from lattermath.vocabulary.events import Event, Sighting
from lattermath.vocabulary.measure import roughly
from lattermath.vocabulary.ruling import Because
from lattermath.vocabulary.sentence import capital
from lattermath.vocabulary.tenths import about, span_of, tenths

LATELY_DAYS = 21  # judgement: older treatments are not spoken of any more
POORLY = "It works poorly here"  # the account finds these words in old plans
ELSE_POORLY = "Else it works poorly here"  # likewise, where only the counts say so
MORE = ". The counts say it takes more than is believed of it"
LESS = "that one of the two rose or fell by itself is believed sooner; count both after the next"
RISEN = ", and there are more than that: it took little, or more hatched or flew in than reckoned"
FELL = 0.5  # judgement: share left of untreated ones from which they are said to have fallen


def did_it_work(facts: SeasonFacts, belief: ClusterBelief) -> tuple[str, tuple[Because, ...]]:
    """A sentence for each method lately used on this insect, and its reasons.

    What the weather and the life cycle alone would have done is in the belief already: its share
    taken is the treatment's own. Counts beside untreated plants are compared by the formula that
    they allow.
    """
    says, reasons = [], []
    looks = _looks(facts, belief.organism)
    for newest, counted_after, since in _lately(facts, belief):
        if counted_after is not None:
            words, why = _worked(facts, belief, counted_after, since, looks)
            says.append(words)
            reasons += why
        waits = None if counted_after is newest else _waits(facts, belief, newest, looks)
        if waits is None:
            continue
        treated, day = _where_and_when(facts, belief, newest)
        due = said(max(waits[1].since, facts.today))
        where = "there" if len(treated) == 1 else f"on {facts.plot.planting(waits[0]).name}"
        says.append(
            f" {waits[1].treatment}: {_not_counted(where, due)}."
            if counted_after is None
            else f" {_the_newest(facts, belief, counted_after, waits[0], day)} is not counted yet: "
            f"count {where} from {due} on."
        )
    return "".join(says), tuple(reasons)


def counts_awaited(facts: SeasonFacts, belief: ClusterBelief) -> dict[str, tuple[Awaited, ...]]:
    """The treatments that wait for a count, by the planting whose look tells of them."""
    found: dict[str, tuple[Awaited, ...]] = {}
    looks = _looks(facts, belief.organism)
    for newest, counted_after, _ in _lately(facts, belief):
        waits = None if counted_after is newest else _waits(facts, belief, newest, looks)
        if waits is not None:
            found[waits[0]] = (*found.get(waits[0], ()), waits[1])
    return found


def _waits(
    facts: SeasonFacts, belief: ClusterBelief, one: Application, looks: list[Looked]
) -> tuple[str, Awaited] | None:
    """Where a count tells what a treatment took, and from when; None: nowhere, since none that it
    was done on was ever counted, and it was no work against this one."""
    treated, day = _where_and_when(facts, belief, one)
    there = tells(looks, treated, day)
    name = capital(called(facts, one.effect.method))
    return None if there is None else (there, awaited(name, day, one.serial))


def _worked(
    facts: SeasonFacts,
    belief: ClusterBelief,
    one: Application,
    since: tuple[int, ...],
    looks: list[Looked],
) -> tuple[str, list[Because]]:
    """The sentence of one treatment that was looked at since, and its reasons.

    since : the entries of those looks.
    """
    treated, day = _where_and_when(facts, belief, one)
    name = capital(called(facts, one.effect.method))
    applied = _applied(facts, belief)
    told = beside_untreated(looks, applied, day, treated, COUNTS)
    if told is not None:
        told = replace(told, found=ranged(facts, told.found, told.looks))
    untold = not_compared(looks, applied, day, treated, COUNTS) if told is None else [told]
    nothing = next((says for pair in untold if (says := _tells_nothing(facts, belief, pair))), "")
    told = None if nothing else told
    words, sure = _believed(facts, belief, one, told, nothing)
    if told is None:
        here = before_and_after(looks, applied, day, treated, COUNTS)
        if here is not None:
            fell = _before_and_after(belief, *here)
            fell += f"; {nothing}" if nothing else _alone(facts, belief, one, *here)
            words = f"{fell}; {words}"
    rests_on = tuple(f"event:{serial}" for serial in since)
    reasons = [Because(f"{name} here: {sure}", rests_on=rests_on)]
    if told is not None:
        reasons.append(_compared(facts, told, name))
    return f" {name} of {short(day)}: {words}.", reasons


def _where_and_when(
    facts: SeasonFacts, belief: ClusterBelief, one: Application
) -> tuple[set[str], date]:
    """The plantings that a treatment was done on, by key, and its day."""
    day = facts.first + timedelta(days=one.day + belief.first_day)
    return {belief.stands[place].key for place in one.places}, day


def _since(facts: SeasonFacts, belief: ClusterBelief, one: Application) -> tuple[int, ...]:
    """Entries of looks that can tell what it took: until the same plants are treated so anew, and
    the count of that evening is the last."""
    treated, day = _where_and_when(facts, belief, one)
    again = [
        _where_and_when(facts, belief, other)[1]
        for other in belief.applied
        if other.effect.method == one.effect.method
        and other.day > one.day
        and set(other.places) & set(one.places)
    ]
    return _looked_over(facts, belief.organism, treated, day, min(again, default=None))


def _looked_over(
    facts: SeasonFacts, organism: str, treated: set[str], day: date, until: date | None = None
) -> tuple[int, ...]:
    """Entries of looks at the treated plants from the day on which they can tell what it took.

    A level, or leaves with any, tells the belief as counts do; only a comparison wants counts.
    """
    return tuple(
        event.serial
        for event in facts.events
        if isinstance(seen := event.payload, Sighting)
        and (seen.what, seen.measure) in ((organism, "count"), (organism, "some"))
        and seen.planting in treated
        and (event.day - day).days >= SOON_DAYS
        and (until is None or event.day <= until)
    )


def _the_newest(
    facts: SeasonFacts, belief: ClusterBelief, counted_after: Application, there: str, day: date
) -> str:
    """What is not counted yet: by its day, or of one day by the planting that was not looked at."""
    if _where_and_when(facts, belief, counted_after)[1] != day:
        return f"That of {short(day)}"
    return f"That on {facts.plot.planting(there).name}"


def _not_counted(where: str, due: str) -> str:
    """From when a count can tell; which evening asks for one is for the looks to say."""
    return f"not counted since; a count {where} from {due} on tells what it took"


def called(facts: SeasonFacts, method: str) -> str:
    """The product of the shelf, where it is one; else the method's name."""
    names = [label.name for label in facts.plot.shelf if label.active == method]
    return names[0] if len(names) == 1 else facts.tables.methods[method].name


def _lately(
    facts: SeasonFacts, belief: ClusterBelief
) -> Iterator[tuple[Application, Application | None, tuple[int, ...]]]:
    """The last treatment by each method, where it lies not too far back; the last of them that was
    looked at since, and the entries of those looks: who counts and treats on the same evening has a
    look at the one before, and none yet at the newest."""
    by_method: dict[str, list[Application]] = {}
    for one in sorted(belief.applied, key=lambda a: a.day, reverse=True):
        if one.effect.method != ENEMIES and belief.today - one.day <= LATELY_DAYS:
            by_method.setdefault(one.effect.method, []).append(one)
    for done in reversed(by_method.values()):
        looked = ((one, since) for one in done if (since := _since(facts, belief, one)))
        counted_after, since = next(looked, (None, ()))
        yield done[0], counted_after, since


def _believed(
    facts: SeasonFacts,
    belief: ClusterBelief,
    one: Application,
    told: Beside[Looked] | None,
    nothing: str,
) -> tuple[str, str]:
    """What it takes here, in words, what counts beside untreated plants say first; and the same
    with its range.

    nothing : that such counts tell nothing, in words; "" else. What they moved is no proof then.
    """
    stages = belief.life.stages
    counted = [n for n, s in enumerate(stages) if s.startswith(belief.life.figures.habits.counted)]
    quantile = belief.unknowns.quantiles[one.effect.method]
    taken, usual = (
        np.clip(one.effect.draws(stages, draws) * one.reach, 0, MOST_KILL)[:, counted].mean(axis=1)
        for draws in (quantile, np.array([0.5]))
    )
    low, middle, high = np.quantile(taken, (0.1, 0.5, 0.9))
    word = belief.life.figures.habits.counted_word
    counts_lie = 0 if told is None else lies(told.found, low, high)
    span = f"{about(middle)} of the {word}{span_of(low, high)}"
    sure = (
        f"takes {span} by the tables and what was counted; {tenths(float(usual[0]))} would be usual"
        if not counts_lie and not nothing
        else f"the plan still reckons with {span}" + (f": {LESS}" if counts_lie < 0 else "")
    )
    words = sure if told is None else f"{_beside(facts, told)}; {sure}"
    if counts_lie < 0:
        return f"{words}. {ELSE_POORLY}: {_why(one)}", sure
    if poorly(float(usual[0]), float(high)):
        return f"{words}. {POORLY}: {_why(one)}", sure
    return f"{words}{MORE if counts_lie > 0 else ''}", sure


def _beside(facts: SeasonFacts, told: Beside[Looked]) -> str:
    there = facts.plot.planting(told.untreated).name
    return f"{_fewer(told.found)} by your counts beside untreated {there}"


def _tells_nothing(facts: SeasonFacts, belief: ClusterBelief, told: Beside[Looked]) -> str:
    """That untreated plants fell as well, or that counts beside them are too few; "" else."""
    there = facts.plot.planting(told.untreated).name
    if len(told.looks) == 4:
        before, after = (look.mean for look in told.looks[2:])
        fell = after <= FELL * before and before > 0
        if fell and (after == 0 or tells_nothing(told.found)):
            unit = "plant" if belief.life.figures.habits.counted_by_plant else "leaf"
            return (
                f"untreated {there} fell as well ({roughly(before)} to {roughly(after)} a {unit}), "
                "so your counts tell nothing of it"
            )
    if tells_nothing(told.found):
        return f"your counts beside untreated {there} are too few or too uneven to tell"
    return ""


def _before_and_after(belief: ClusterBelief, before: Looked, after: Looked) -> str:
    """What counts say where none stand beside them: how many fewer, and not what of it did it."""
    unit = "plant" if belief.life.figures.habits.counted_by_plant else "leaf"
    first, then = roughly(before.mean), roughly(after.mean)
    told = f"{first} a {unit} counted before, {then} on {short(after.day)}"
    if 0 < after.mean < before.mean:
        return f"{told}, {100 * (1 - after.mean / before.mean):.0f} % fewer"
    return told


def _alone(
    facts: SeasonFacts, belief: ClusterBelief, one: Application, before: Looked, after: Looked
) -> str:
    """How many weather, births, enemies and flights alone would have made of those counted before.

    "" where none were counted, or the look was before the days that are reckoned.
    """
    since, until = ((look.day - facts.first).days - belief.first_day for look in (before, after))
    if before.mean == 0 or since < 0 or belief.brought is None:
        return ""
    place = next(n for n, stand in enumerate(belief.stands) if stand.key == before.planting)
    named = before.what[1:]
    stages = [n for n, s in enumerate(belief.life.stages) if not named or s in named]
    grown = grown_without(belief, one, place, stages, range(since, until + 1))
    if not grown.size:
        return ""
    alone = before.mean * np.quantile(grown, (0.1, 0.5, 0.9))
    low, middle, high = (roughly(n) for n in alone)
    told = f"; without it about {middle} ({low} to {high}) by weather and life cycle"
    return told + (RISEN if after.mean > alone[2] else "")


def poorly(usual: float, high: float) -> bool:
    """Is what a treatment takes here surely less than is usual? Only where the range told, by
    tenths as it is told, ends below the usual. Shares, 0 to 1."""
    return round(10 * usual) > round(10 * high)


def lies(found: Efficacy, low: float, high: float) -> int:
    """-1 where the range of a comparison lies below what is believed, 1 above, 0 where they meet.

    low, high : share that is believed to be taken. [0 to 1]
    """
    if found.low_percent is None or found.high_percent is None:
        return 0
    return int(found.low_percent > 100 * high) - int(found.high_percent < 100 * low)


def _why(one: Application) -> str:
    """What may be behind a treatment that works poorly, in the order of the trade, and the look.

    `at_odds` ranks them where one count disagrees; here many counts say it, and no one look.
    """
    causes = ["undersides missed", "it washed off", "they flew in again", "they withstand it"]
    if not one.effect.by_surface:
        causes = ["some were passed over", "they flew in again"]
    look = "turn leaves an hour after the next spray and see if the undersides are wet"
    return f"{', '.join(causes[:-1])}, or {causes[-1]}" + (
        f"; {look}" if one.effect.by_surface else ""
    )


def _compared(facts: SeasonFacts, told: Beside[Looked], name: str) -> Because:
    """Treated beside untreated plants, by the formula that the counts allow."""
    here, there = (facts.plot.planting(key).name for key in (told.treated, told.untreated))
    return Because(
        f"{name} on {here} beside untreated {there} ({told.how}): {_fewer(told.found)}",
        rests_on=tuple(f"event:{serial}" for serial in sorted(w.serial for w in told.looks)),
    )


def _applied(facts: SeasonFacts, belief: ClusterBelief) -> list[tuple[date, str]]:
    """Every treatment that takes of this insect, by day and planting."""
    return [
        (facts.first + timedelta(days=one.day + belief.first_day), belief.stands[place].key)
        for one in belief.applied
        if one.effect.method != ENEMIES
        for place in one.places
    ]


def _looks(facts: SeasonFacts, organism: str) -> list[Looked]:
    """Counts of the insect on leaves, in order."""
    found = []
    for event in facts.events:
        if (look := _look(facts, event, organism)) is not None:
            found.append(look)
    return sorted(found, key=lambda w: (w.day, w.serial))


def _look(facts: SeasonFacts, event: Event, organism: str) -> Looked | None:
    seen = event.payload
    if not isinstance(seen, Sighting) or seen.what != organism or seen.measure != "count":
        return None
    if seen.counts:
        counts = tuple(float(n) for n in seen.counts)
    elif seen.total is not None and seen.looked_at:
        counts = (seen.total / seen.looked_at,)
    else:
        return None
    stages = named_stages(seen.stage, facts.tables.organisms[organism].stages)
    crop = facts.plot.planting(seen.planting).crop
    return Looked(event.day, seen.planting, crop, (seen.surface, *stages), counts, event.serial)


def _fewer(found: Efficacy) -> str:
    """By how much fewer or more, with the ends of its range; a minus is a sign nobody reads."""
    middle = round(found.percent)
    told = f"{abs(middle)} % {_side(middle)}"
    if found.low_percent is None or found.high_percent is None:
        return f"{told} (no range: one leaf alone was counted in a look)"
    ends = round(found.low_percent), round(found.high_percent)
    if ends[0] >= 0:
        return f"{told} ({ends[0]} to {ends[1]})"
    if ends[1] <= 0:
        return f"{told} ({-ends[1]} to {-ends[0]})"
    return f"{told} ({-ends[0]} % more to {ends[1]} % fewer)"


def _side(percent: int) -> str:
    return "more" if percent < 0 else "fewer"
