"""The water that a helper carries while the holder is away: how much to which planting, by day."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date, timedelta

from lattermath.belief.soil import BedSoil, between, watered
from lattermath.desk.plan_tasks import WorkedOut
from lattermath.desk.plan_water import Grounds, needs_at
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning.watering import share_water
from lattermath.planning.watering_tasks import cans
from lattermath.vocabulary.plan import Closed, Drink


def drinks(
    facts: SeasonFacts, worked: WorkedOut, shut: Sequence[Closed], missed: Sequence[date]
) -> tuple[Drink, ...]:
    """Give what each planting that stays is due on the visits that absences take, by can.

    The holder waters at the visits before, by the rule of a sheet, and the helper by the same:
    what carries a planting to the next of these days or to the holder's own next visit. Nothing is
    due where nobody may go.

    missed : of all absences that are told, rising.
    """
    back = next((day for day in facts.visits if day > missed[-1]), missed[-1] + timedelta(days=7))
    days = sorted({day for day in facts.visits if day < missed[-1]} | set(missed))
    ground = _staying(worked, (back - facts.today).days)
    found: list[Drink] = []
    now = facts.today
    for day, after in zip(days, (*days[1:], back), strict=True):
        ground = {k: between(s, (day - now).days, s.n_coming) for k, s in ground.items()}
        now = day
        for drink in _round(facts, worked, ground, _closed_on(shut, day), day, after):
            ground[drink.planting] = watered(ground[drink.planting], drink.litres)
            found += [drink] if day in missed else []
    return tuple(found)


def _staying(worked: WorkedOut, last: int) -> dict[str, BedSoil]:
    """The ground of what is not taken out, as far as it counts."""
    goes = {
        key
        for key, made in worked.crops.decisions.items()
        if made.verdict.verdict in ("replace", "pull")
    }
    return {
        key: between(soil, 0, min(last, soil.n_coming))
        for key, soil in worked.ground.items()
        if key not in goes
    }


def _round(
    facts: SeasonFacts,
    worked: WorkedOut,
    ground: Grounds,
    closed: frozenset[str],
    day: date,
    after: date,
) -> Iterator[Drink]:
    """One round with cans; a helper may not know the hose, nor whether it is allowed."""
    left = {key: soil for key, soil in ground.items() if soil.n_coming >= (after - day).days}
    needs = needs_at(facts, day, after, worked.crops.beliefs, left, closed)
    first = bool(facts.visits) and day == facts.visits[0]
    needs = [replace(need, wilted=need.wilted and first) for need in needs]
    supply = facts.plot.water
    share = share_water(needs, supply.cans_a_visit, supply.can_litres, hose=False)
    for one in share.shares:
        if one.given_litres > 0:
            said = cans(one.given_litres / supply.can_litres)
            yield Drink(day, one.need.key, round(one.given_litres, 1), said)


def _closed_on(shut: Sequence[Closed], day: date) -> frozenset[str]:
    """Plantings that nobody may enter all that day; one that opens on it is watered after."""
    return frozenset(
        one.planting
        for one in shut
        if not one.entering.clear_now
        and (one.entering.safe_from is None or one.entering.safe_from.date() > day)
    )
