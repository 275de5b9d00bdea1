"""What a plan must say aloud: disagreements, a rough sky, and what the garden wants soon."""

from __future__ import annotations

from collections.abc import Mapping

from lattermath.desk.far_weather import far_words, unplaced_words
from lattermath.desk.gone_plantings import gone_told
from lattermath.desk.not_treated import cut_out
from lattermath.desk.plan_outlook import usual_frost
from lattermath.desk.plan_tasks import WorkedOut
from lattermath.desk.planted_early import planted_early
from lattermath.desk.season_facts import SeasonFacts
from lattermath.desk.soil_rest import soil_rests
from lattermath.planning.cups_told import cup_odds_says
from lattermath.planning.next_spring import next_spring, rests_said
from lattermath.planning.picking_told import picking_odds_says
from lattermath.vocabulary.calendar import said
from lattermath.vocabulary.sentence import capital

TIDY_AHEAD_DAYS = 21  # judgement
SPRING_AHEAD_DAYS = 28  # judgement: garlic and green manure go in about then


def warnings(facts: SeasonFacts, worked: WorkedOut) -> tuple[str, ...]:
    """Give the warnings of a plan, one sentence each."""
    runs, made = facts.runs, worked
    says = runs.says.replace("rough: ", "the weather to come is rough: ", 1)
    told = [f"{capital(says)}."]
    if runs.method == "past years":  # then only an old forecast is worth a word
        told = [f"{capital(runs.stale)}."] if runs.stale else []
    told += far_words(facts.stations, facts.plot.place)
    told += [
        f"{label.name} holds {label.active.replace('_', ' ')}, which is not in our tables: nothing "
        "is planned with it. What you log of it bars picking by its label."
        for label in facts.plot.shelf
        if label.active not in facts.tables.methods
    ]
    told += gone_told(facts.events, facts.tables)
    told += planted_early(facts, worked.permits.cautions)
    told += unplaced_words(facts.unplaced)
    told += _to_come(facts)
    odds = {key: one.disagrees for key, one in made.crops.beliefs.items()}
    told += _named(facts, {key: picking_odds_says(one) for key, one in odds.items() if one})
    told += [f"{capital(lot.lot.called)} in cups: {says}" for lot in made.crops.lots
             for says in cup_odds_says(lot)]  # fmt: skip
    told += _named(facts, {k: soil.disagrees for k, soil in worked.ground.items()})
    tidy = facts.plot.rules.tidy_by
    if tidy is not None and 0 <= (tidy - facts.today).days <= TIDY_AHEAD_DAYS:
        told.append(f"The garden wants the plot tidy by {said(tidy)}.")
    told += _next_spring(facts)
    told += [rest.says for rest in soil_rests(facts)]
    return (*told, *made.pests.warnings, *cut_out(facts, made.pests.populations))


def _next_spring(facts: SeasonFacts) -> list[str]:
    """What each bed should not bear next spring, once this season nears its end."""
    frost = usual_frost(facts)
    if frost is None or (frost - facts.today).days > SPRING_AHEAD_DAYS:
        return []
    families = {key: crop.family for key, crop in facts.tables.crops.items()}
    rests = next_spring(facts.plot.beds, facts.plot.plantings, families)
    return [f"Next spring, {rests_said(rests)}."] if rests else []


def _to_come(facts: SeasonFacts) -> list[str]:
    """What stands in the plot file but begins only after the day asked about."""
    later = [p for p in facts.plot.standing() if p.started is not None and p.started > facts.today]
    begins = [f"{p.name} on {said(p.started)}" for p in later if p.started is not None]
    if not begins:
        return []
    return [
        f"Not begun yet by {said(facts.today)}, so nothing is planned for them: "
        f"{'; '.join(begins)}."
    ]


def _named(facts: SeasonFacts, disagrees: Mapping[str, str]) -> list[str]:
    return [
        f"{facts.plot.planting(key).name}: {words}" for key, words in disagrees.items() if words
    ]
