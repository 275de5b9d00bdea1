"""What a plan must say aloud: disagreements, a rough sky, and what the garden wants soon."""

from __future__ import annotations

from collections.abc import Mapping

from lattermath.desk.plan_tasks import WorkedOut
from lattermath.desk.season_facts import SeasonFacts
from lattermath.vocabulary.calendar import said

TIDY_AHEAD_DAYS = 21  # judgement


def warnings(facts: SeasonFacts, worked: WorkedOut) -> tuple[str, ...]:
    """Give the warnings of a plan, one sentence each."""
    runs, made = facts.runs, worked
    told = [] if runs.method == "past years" else [f"{runs.says[:1].upper()}{runs.says[1:]}."]
    told += _named(facts, {k: b.disagrees for k, b in made.crops.beliefs.items()})
    told += _named(facts, {k: soil.disagrees for k, soil in worked.ground.items()})
    tidy = facts.plot.rules.tidy_by
    if tidy is not None and 0 <= (tidy - facts.today).days <= TIDY_AHEAD_DAYS:
        told.append(f"The garden wants the plot tidy by {said(tidy)}.")
    return (*told, *made.pests.warnings)


def _named(facts: SeasonFacts, disagrees: Mapping[str, str]) -> list[str]:
    return [
        f"{facts.plot.planting(key).name}: {words}" for key, words in disagrees.items() if words
    ]
