"""The ways of treating that a season trial sets beside one another.

None replaces or resows a planting, since a played season has no standby lots; nature could.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date

from lattermath.desk.outside_treating import mixed_again, rule_on
from lattermath.desk.season_trial import LEAVES, Choice, Policy, Season
from lattermath.vocabulary.plan import Task

EVERY_DAYS, TIMES = 6, 3  # the rule of thumb: common practice, as the trial was asked for
ADULTS_MEANT = ("greenhouse_whitefly", "silverleaf_whitefly")  # action numbers of adults a leaf
CHANGES = ("pull", "set out", "sow")


@dataclass(slots=True)
class Nothing:
    """Picks and waters; `looks` turns leaves as the others do, and treats nothing all the same."""

    looks: bool = False
    name: str = "nothing"

    def choose(self, season: Season) -> Choice:  # noqa: ARG002 -- as every policy is asked
        """Nothing."""
        return Choice()


@dataclass(slots=True)
class RuleOfThumb:
    """When something is seen on a planting, spray it three times, six days apart.

    A spray that is barred is wanted again at the next visit, and does not count as one of three.
    """

    product: str
    name: str = "rule of thumb"
    looks: bool = True
    _left: dict[str, int] = field(default_factory=dict)  # sprays still to come, by planting

    def choose(self, season: Season) -> Choice:
        """Spray what is due of the three, and begin anew on what is seen and has none to come."""
        for (_, planting), counts in season.seen.items():
            if sum(counts) and not self._left.get(planting):
                self._left[planting] = TIMES
        due = [key for key, left in self._left.items() if left and self._rested(season, key)]
        choice = _spray(season, self.product, due)
        for task in choice.tasks:
            self._left[task.planting or ""] -= 1
        return choice

    def _rested(self, season: Season, planting: str) -> bool:
        last = max(season.sprayed.get(planting, [date.min]))
        return (season.today - last).days >= EVERY_DAYS


@dataclass(slots=True)
class Threshold:
    """Spray a planting when tonight's count a leaf reaches the action number of the tables."""

    product: str
    name: str = "action number"
    looks: bool = True

    def choose(self, season: Season) -> Choice:
        """Spray what is above it tonight, as often as the label lets it."""
        over = [
            key
            for (organism, key), counts in season.seen.items()
            if counts and _a_leaf(season, organism, key, counts) >= _action(season, organism)
        ]
        return _spray(season, self.product, dict.fromkeys(over))


@dataclass(slots=True)
class FollowsPlan:
    """Asks the plan at each visit, after the look round, and does its treatments.

    What waits for a look is looked at and left where nothing is found. Its other advice (looks,
    tending, watering, replacing) is not followed, so that only treatments differ.
    """

    name: str = "the plan"
    looks: bool = True

    def choose(self, season: Season) -> Choice:
        """The treatments of tonight's visit, whatever they are."""
        answer = season.seam.ask(season.today)
        asked = [task for task in answer.tasks if task.kind == "treat"]
        tasks = tuple(task for task in asked if self._holds(season, task))
        if len(tasks) < len(asked):
            tasks = mixed_again(season.seam.facts(season.today), tasks)
        left = sum(task.kind in CHANGES for task in answer.tasks)
        return Choice(tasks, left=left, faults=answer.faults)

    def _holds(self, season: Season, task: Task) -> bool:
        if task.planting is None or task.method not in season.nature.tables.methods:
            return False
        if not task.only_if:
            return True
        return sum(sum(season.look(task.planting, kind)) for kind in season.nature.swarms) > 0


def policies(product: str) -> tuple[Policy, ...]:
    """Every policy, new, with the product of the shelf that the first three would spray."""
    return Nothing(), RuleOfThumb(product), Threshold(product), FollowsPlan()


def _spray(season: Season, product: str, wanted: Iterable[str]) -> Choice:
    """What the rulings allow of it, as the last job tonight."""
    keys = list(wanted)
    if not keys:
        return Choice()
    ruled = rule_on(season.seam.facts(season.today), product, keys)
    return Choice(ruled.tasks, barred=len(ruled.barred))


def _a_leaf(season: Season, organism: str, planting: str, counts: tuple[int, ...]) -> float:
    """Insects a leaf, of the stages that the action number means."""
    if organism in ADULTS_MEANT:
        adults = season.nature.swarms[organism].creature.stages[-1:]
        counts = season.nature.look(planting, organism, LEAVES, stages=adults)
    return sum(counts) / len(counts)


def _action(season: Season, organism: str) -> float:
    """The number from which growers treat; none stated is never reached."""
    action = season.nature.tables.habits[organism].action
    return float("inf") if action is None else action.value
