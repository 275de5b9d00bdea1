"""What a plan must say aloud: disagreements, a rough sky, and what the garden wants soon."""

from __future__ import annotations

from lattermath.desk.plan_tasks import WorkedOut
from lattermath.desk.season_facts import SeasonFacts
from lattermath.vocabulary.calendar import said

TIDY_AHEAD_DAYS = 21  # judgement


def warnings(facts: SeasonFacts, worked: WorkedOut) -> tuple[str, ...]:
    """Give the warnings of a plan, one sentence each."""
    runs, made = facts.runs, worked
    told = [] if runs.method == "past years" else [f"{runs.says[:1].upper()}{runs.says[1:]}."]
    told += [belief.disagrees for belief in made.crops.beliefs.values() if belief.disagrees]
    told += [soil.disagrees for soil in worked.ground.values() if soil.disagrees]
    tidy = facts.plot.rules.tidy_by
    if tidy is not None and 0 <= (tidy - facts.today).days <= TIDY_AHEAD_DAYS:
        told.append(f"The garden wants the plot tidy by {said(tidy)}.")
    return (*told, *made.pests.warnings)
