"""The ways of keeping a plot that a season trial sets beside one another."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from datetime import date

from lattermath.desk.outside_treating import mixed_again, rule_on
from lattermath.desk.season_trial import Policy
from lattermath.desk.trial_choice import Choice
from lattermath.desk.trial_ground import changes_of
from lattermath.desk.trial_replacing import FIXED_AGE, HOLDERS, Replacing
from lattermath.desk.trial_season import LEAVES, Season
from lattermath.vocabulary.plan import Task

EVERY_DAYS, TIMES = 6, 3  # the rule of thumb: common practice, as the trial was asked for
ADULTS_MEANT = ("greenhouse_whitefly", "silverleaf_whitefly")  # action numbers of adults a leaf
CHANGES = ("pull", "set out", "sow")
BY_HAND = {"melon_aphid": "water_jet", "twospotted_spider_mite": "water_jet"}  # a holder's, and
OTHER_BY_HAND = "prune_leaves"  # for whitefly, whose young sit on the old leaves (judgement)
HAND_FROM, HAND_AGAIN, HAND_MINUTES = 2.0, 6, 6.0  # judgement: a leaf, days, minutes a planting
HARDLY_SPRAYS = 3.0  # judgement: times the action number


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

    It replaces at a fixed age. A spray that is barred is wanted again at the next visit, and does
    not count as one of three.
    """

    product: str
    name: str = "rule of thumb"
    looks: bool = True
    replacing: Replacing = FIXED_AGE
    _left: dict[str, int] = field(default_factory=dict)  # sprays still to come, by planting

    def choose(self, season: Season) -> Choice:
        """Spray what is due of the three, and begin anew on what is seen and has none to come."""
        for (_, planting), counts in season.seen.items():
            if sum(counts) and not self._left.get(planting):
                self._left[planting] = TIMES
        due = [key for key, left in self._left.items() if left and self._rested(season, key)]
        choice = _spray(season, self.product, due, self.replacing)
        for task in choice.tasks:
            self._left[task.planting or ""] -= 1
        return choice

    def _rested(self, season: Season, planting: str) -> bool:
        last = max(season.sprayed.get(planting, [date.min]))
        return (season.today - last).days >= EVERY_DAYS


@dataclass(slots=True)
class Threshold:
    """Spray a planting when tonight's count a leaf reaches the action number of the tables.

    It replaces at the same fixed age as the rule of thumb.
    """

    product: str
    name: str = "action number"
    looks: bool = True
    replacing: Replacing = FIXED_AGE

    def choose(self, season: Season) -> Choice:
        """Spray what is above it tonight, as often as the label lets it."""
        over = [
            key
            for (organism, key), counts in season.seen.items()
            if counts and _a_leaf(season, organism, key, counts) >= _action(season, organism)
        ]
        return _spray(season, self.product, dict.fromkeys(over), self.replacing)


@dataclass(slots=True)
class Holder:
    """An experienced holder: replaces early, hoses and strips by hand, hardly sprays.

    Mesh, which such a holder would use, keeps nothing off in nature, and is left out.
    """

    product: str
    name: str = "holder"
    looks: bool = True
    replacing: Replacing = HOLDERS
    _last: dict[str, date] = field(default_factory=dict)  # handwork, by planting

    def choose(self, season: Season) -> Choice:
        """Handwork where some are seen, a spray where there are very many."""
        over, by_hand = [], {}
        for (organism, key), counts in season.seen.items():
            if not counts:
                continue
            action = HARDLY_SPRAYS * _action(season, organism)
            if _a_leaf(season, organism, key, counts) >= action:
                over.append(key)
            elif sum(counts) / len(counts) >= HAND_FROM and self._rested(season, key):
                by_hand[key] = BY_HAND.get(organism, OTHER_BY_HAND)
        choice = _spray(season, self.product, dict.fromkeys(over), self.replacing)
        goes = {change.task.planting for change in choice.changes}
        busy = goes | {task.planting for task in choice.tasks}
        work = [_hand(season, key, how) for key, how in by_hand.items() if key not in busy]
        self._last |= {task.planting or "": season.today for task in work}
        return replace(choice, tasks=(*work, *choice.tasks))

    def _rested(self, season: Season, planting: str) -> bool:
        return (season.today - self._last.get(planting, date.min)).days >= HAND_AGAIN


@dataclass(slots=True)
class FollowsPlan:
    """Asks the plan at each visit, after the look round, and does its treatments and changes.

    What waits for a look is looked at and left where nothing is found. Of its advice, looks,
    tending, watering and sowing in cups are not followed, since they are alike for all.
    replaces : whether ground is changed as it says.
    """

    name: str = "the plan"
    looks: bool = True
    replaces: bool = True

    def choose(self, season: Season) -> Choice:
        """What tonight's visit asks for, whatever it is."""
        season.tell_looks()
        answer = season.seam.ask(season.today)
        asked = [task for task in answer.tasks if task.kind == "treat"]
        tasks = tuple(task for task in asked if self._holds(season, task))
        if len(tasks) < len(asked):
            tasks = mixed_again(season.facts(), tasks)
        wanted = [task for task in answer.tasks if task.kind in CHANGES and task.part != "at home"]
        changes = tuple(changes_of(season, season.seam.plot, wanted)) if self.replaces else ()
        left = len(wanted) - len(changes)
        return Choice(tasks, changes, left=left, faults=answer.faults)

    def _holds(self, season: Season, task: Task) -> bool:
        if task.planting is None or task.method not in season.nature.tables.methods:
            return False
        if not task.only_if:
            return True
        at = task.decided_at or task.planting
        return sum(sum(season.look(at, kind)) for kind in season.nature.swarms) > 0


def policies(product: str) -> tuple[Policy, ...]:
    """Every policy, new, with the product of the shelf that all but the first may spray."""
    return (Nothing(), RuleOfThumb(product), Threshold(product), Holder(product), FollowsPlan())


def _spray(season: Season, product: str, wanted: Iterable[str], replacing: Replacing) -> Choice:
    """What is replaced, and of the rest what the rulings allow to spray, as the last job."""
    changes = replacing.changes(season)
    gone = {change.task.planting for change in changes}
    keys = [key for key in wanted if key not in gone]
    if not keys:
        return Choice(changes=changes)
    ruled = rule_on(season.facts(), product, keys)
    return Choice(ruled.tasks, changes, barred=len(ruled.barred))


def _hand(season: Season, planting: str, method: str) -> Task:
    """Hosing or stripping one planting, on arrival."""
    at = season.arrival.replace(tzinfo=season.zone)
    says = f"{method} {planting}"
    return Task(says, "treat", "care", says, HAND_MINUTES, planting, None, method, at, at)


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
