"""What would change a verdict: the same planting weighed again with one input moved."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from datetime import date, timedelta

from lattermath.belief.crop_growth import GrowingSeason
from lattermath.belief.lot_belief import believe_lot
from lattermath.desk.crop_season import believe_planting, growing_season
from lattermath.desk.drought import dried
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning import turning
from lattermath.planning.asked_again import verdict_again
from lattermath.planning.fates import Choices
from lattermath.planning.keep_or_replace import LEADERS, Decision, Table, best, word_of
from lattermath.planning.season_left import usual_frost
from lattermath.vocabulary.calendar import short
from lattermath.vocabulary.close_call import close_call
from lattermath.vocabulary.plan import Turn, Verdict_
from lattermath.vocabulary.plot import Planting, Vigour
from lattermath.vocabulary.ruling import Because
from lattermath.weather.futures import season_weather
from lattermath.weather.moved_frost import with_frost_moved

SETTLED = 0.02  # a chance of replacing so small, or so large, that only far moves are tried


class MovedFrosts:
    """The season with its frosts some days earlier or later; each is worked out once."""

    def __init__(self, facts: SeasonFacts, season: GrowingSeason) -> None:
        """Begin from the season as it is."""
        self._facts = facts
        self._seasons = {0: season}

    def by(self, days: int) -> GrowingSeason:
        """The season with the first frost so many days later; below 0: earlier."""
        if days not in self._seasons:
            facts, runs = self._facts, with_frost_moved(self._facts.runs, days)
            low, high, _ = season_weather(facts.record, runs, facts.first)
            self._seasons[days] = growing_season(replace(facts, t_min=low, t_max=high))
        return self._seasons[days]


def with_turns(
    facts: SeasonFacts,
    frosts: MovedFrosts,
    decisions: Mapping[str, Decision],
    asked: Mapping[str, tuple[Choices, Table]],
) -> dict[str, Decision]:
    """Give the decisions with what would turn each, one input at a time, on the same draws.

    asked : what each decision was made from.
    """
    return {
        key: _with_turns(facts, frosts, *asked[key], decision) if key in asked else decision
        for key, decision in decisions.items()
    }


def _with_turns(
    facts: SeasonFacts, frosts: MovedFrosts, choices: Choices, table: Table, decision: Decision
) -> Decision:
    """One decision with its turns.

    Pests, water and what else the plot gives stay as they were reckoned. A planting that must go
    for a disease has no such price, nor one that waits for a look. Where more draws were asked and
    decided otherwise, two fates lie so close that anything turns them, and that is said. So it is
    of a close call: a plan made anew moves by more than what would turn it.
    """
    care = choices.care
    if care.must_go is not None or care.look_first or not decision.weighed:
        return decision
    verdict = decision.verdict
    if not decision.waits and word_of(best(decision.weighed).outlook) != verdict.verdict:
        return decision
    turns = tuple(_turns(facts, frosts, choices, table, decision))
    usual = usual_frost(choices.season)
    there = usual < choices.season.weather.n_days
    told = replace(verdict, turns=turns)
    if close_call(told):
        because: tuple[Because, ...] = (turning.CLOSE,)
    else:
        because = turning.reasons(turns, short(choices.day(int(usual))) if there else "")
    return replace(decision, verdict=replace(told, because=(*verdict.because, *because)))


def _turns(
    facts: SeasonFacts, frosts: MovedFrosts, choices: Choices, table: Table, decision: Decision
) -> Iterator[Turn]:
    planting, verdict = choices.belief.planting, decision.verdict
    settled = verdict.verdict == "let run" and verdict.chance_replacing_better < SETTLED
    moved = _Moved(facts, choices, table, decision, leaders_only=settled)
    yield moved.hour_turn(decision)
    by_frost = moved.by_frost(frosts)
    frost = usual_frost(choices.season)
    yield turning.shift_turn(
        turning.FROST, frost, turning.ends_first(by_frost) if settled else by_frost, "day"
    )
    yield turning.vigour_turn(planting.vigour, moved.by_vigour)
    if planting.started is not None and not settled:
        age = float((facts.today - planting.started).days)
        yield turning.shift_turn(turning.AGE, age, moved.by_age)


class _Moved:
    """Verdicts on one planting with one input moved."""

    def __init__(
        self,
        facts: SeasonFacts,
        choices: Choices,
        table: Table,
        decision: Decision,
        *,
        leaders_only: bool,
    ) -> None:
        self._facts, self._choices, self._table = facts, choices, table
        self._as_is, self._decided = decision.verdict.verdict, decision.chosen
        new = [one for one in decision.weighed if one.outlook.crop]
        first = sorted(new, key=lambda one: -one.mean)[:LEADERS]
        leaders = {(one.outlook.crop, one.outlook.lot) for one in first}
        self._among = leaders if leaders_only else None

    def hour_turn(self, decision: Decision) -> Turn:
        """The price of an hour that turns it: exact where no waiting is weighed, else by halves."""
        price = self._table.household.worth_of_hour
        exact = turning.hour_turn(decision.weighed, price)
        if self._among is not None and exact.at is None:
            return exact
        choices, table = self._choices.asked_again(), replace(self._table, eaten={})

        def says(price: float) -> Verdict_:
            return verdict_again(choices, table.at_price(price), self._decided)

        return turning.price_turn(price, says)

    def by_frost(self, frosts: MovedFrosts) -> Callable[[int], Verdict_]:
        """The verdict with the first frost so many days later."""
        same = self._choices.belief.planting
        return lambda days: self._verdict(frosts.by(days), same) if days else self._as_is

    def by_vigour(self, vigour: Vigour) -> Verdict_:
        """The verdict were the planting of another vigour."""
        same = self._choices.belief.planting
        if vigour == same.vigour:
            return self._as_is
        return self._verdict(self._choices.season, replace(same, vigour=vigour))

    def by_age(self, days: int) -> Verdict_:
        """The verdict were the planting so many days older, bearing included."""
        same, ago = self._choices.belief.planting, timedelta(days=days)

        if not days:
            return self._as_is

        def earlier(day: date | None) -> date | None:
            return None if day is None else min(day - ago, self._facts.today)

        older = replace(
            same,
            sown=earlier(same.sown),
            set_out=earlier(same.set_out),
            bearing_since=earlier(same.bearing_since),
        )
        return self._verdict(self._choices.season, older)

    def _verdict(self, season: GrowingSeason, planting: Planting) -> Verdict_:
        choices = self._choices
        anew = believe_planting(self._facts, planting, season)
        if choices.belief.water is not None:
            anew = dried(anew, choices.belief.water)
        lots = choices.lots
        if season is not choices.season:
            lots = tuple(
                replace(believe_lot(lot.lot, season), lost=lot.lost, sound=lot.sound)
                for lot in lots
            )
        other = choices.widened(season, anew, lots, 1)
        return verdict_again(other, self._table, self._decided, self._among)
