"""Frost at the plot: what it has probably killed already, and when it is about to come."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from lattermath.desk.season_facts import SeasonFacts, with_visit
from lattermath.planning import frost_work
from lattermath.planning.frost_work import WITH_FLEECE, Cloth
from lattermath.planning.garden_limits import FLEECE_OFF_ABOVE_C
from lattermath.planning.visit_days import WEEKDAYS, coming_visits, is_away
from lattermath.science.ground_frost import leaf_minimum
from lattermath.science.harvest_curve import first_frost
from lattermath.vocabulary.calendar import said, short
from lattermath.vocabulary.events import Care, Picking, Sighting
from lattermath.vocabulary.measure import measure
from lattermath.vocabulary.plot import Planting

if TYPE_CHECKING:
    from lattermath.belief.crop_belief import CropBelief
    from lattermath.vocabulary.plan import NotToday, Verdict

BEARS = ("bearing", "past its peak")
# Judgement, on the days of first picking: fruit is full-grown about three weeks before it is ripe.
FULL_GROWN_DAYS = 21.0
CLEAR_NIGHT = (
    " Leaves are colder than the screen in a clear night, by how much was not measured: did the "
    "frost take them? Look before you clear."
)
HOT_CHANCE = 0.9  # judgement: so sure must be that no day is too hot for cloth left lying
LIKELY = 0.5  # judgement: from this chance on the sheet calls everybody out


def without_frosted(facts: SeasonFacts) -> SeasonFacts:
    """The same facts with plantings taken for gone that a frost of the record has killed.

    As leaves felt it, and as the days to come are reckoned: what a plan gave up for a clear night
    does not stand again when the night is over. A planting that was picked, tended or looked at
    since lives on; `rough` names the others, so that a grower with fleece can say that they stand.
    """
    leaves = _leaf_lows(facts)
    killed = {p.key: day for p in facts.plot.standing() if (day := _killed_on(facts, p, leaves))}
    if not killed:
        return facts
    screen = [p for p in facts.plot.standing() if _killed_on(facts, p, facts.t_min[0])]
    doubt = "" if len(screen) == len(killed) else CLEAR_NIGHT
    plantings = tuple(
        replace(p, pulled=killed[p.key]) if p.key in killed else p for p in facts.plot.plantings
    )
    names = ", ".join(facts.plot.planting(key).name for key in killed)
    words = (
        f"Frost since {short(min(killed.values()))} has probably killed {names}: clear them, or "
        f"log a look at what still stands.{doubt}"
    )
    rough = (*facts.plot.rough, words)
    return replace(facts, plot=replace(facts.plot, plantings=plantings, rough=rough))


def _leaf_lows(facts: SeasonFacts) -> NDArray[np.float64]:
    """Lows of every day at the leaves, at the screen where a day is a guess, (n_days,). [C]

    How far the leaves of a night fell is read from its day's range, which a filled gap has not.
    Of spring nights the screen's counts too: what was written down since then lived through them.
    """
    record, screen = facts.record, facts.t_min[0]
    place = np.arange(len(screen)) + (facts.first - record.first).days
    guessed = (record.filled_min | record.filled_max) & ~record.seen.forecast
    known = (place >= 0) & (place < record.n_days)
    known[known] = ~guessed[place[known]]
    known[: max(facts.day_index(_solstice(facts)), 0)] = False
    return np.where(known, leaf_minimum(screen, facts.t_max[0]), screen)


def _solstice(facts: SeasonFacts) -> date:
    """The summer solstice of the season, of this hemisphere."""
    last = date(facts.today.year, 12 if facts.plot.place.southern else 6, 21)
    return last if last <= facts.today else last.replace(year=last.year - 1)


def _killed_on(facts: SeasonFacts, planting: Planting, lows: NDArray[np.float64]) -> date | None:
    """The first past day whose low kills this crop, if nothing was seen of it since.

    lows : of every day, at the leaves or at the screen, (n_days,). [C]
    """
    if planting.crop not in facts.tables.crops or planting.started is None:
        return None
    kill_c = facts.tables.crops[planting.crop].frost_kill_c.value
    begins = max(facts.day_index(planting.started), 0)
    cold = np.flatnonzero(lows[begins : facts.today_index] <= kill_c)
    if cold.size == 0:
        return None
    last = facts.first + timedelta(days=begins + int(cold[-1]))
    if any(event.day > last and _tells_of(event.payload, planting.key) for event in facts.events):
        return None
    return facts.first + timedelta(days=begins + int(cold[0]))


def _tells_of(payload: object, key: str) -> bool:
    return isinstance(payload, (Care, Picking, Sighting)) and payload.planting == key


@dataclass(frozen=True, slots=True)
class FrostNight:
    """The first frost that is likelier than not: its morning, and the low at the leaves. [C]"""

    morning: date
    low_c: float
    forecast: bool  # the night is forecast, and not only usual

    @property
    def evening(self) -> date:
        """The day before it."""
        return self.morning - timedelta(days=1)


def frost_night(facts: SeasonFacts) -> FrostNight | None:
    """Give the first frost likelier than not, at the leaves; None where nothing tender stands.

    In a clear night leaves freeze before the screen does.
    """
    if not any(p.crop in facts.tables.crops for p in facts.plot.standing()):
        return None
    tomorrow = facts.today_index + 1
    ground = leaf_minimum(facts.t_min, facts.t_max)
    column = int(np.quantile(first_frost(ground, 0.0, tomorrow), LIKELY, method="inverted_cdf"))
    if column >= ground.shape[1]:
        return None
    lows = ground[:, tomorrow : column + 1].min(axis=1)
    day = facts.first + timedelta(days=column)
    ahead = (day - facts.runs.first).days
    return FrostNight(day, float(np.median(lows)), ahead < facts.runs.forecast_days)


def with_frost_visit(facts: SeasonFacts) -> SeasonFacts:
    """The same facts with a visit of its own on the evening before a forecast frost.

    None is added where a visit falls on that evening or the one before, where the holder is away,
    or where that evening has passed.
    """
    night = frost_night(facts)
    if night is None or not night.forecast or is_away(facts.plot.visiting, night.evening):
        return facts
    near = (night.evening, night.evening - timedelta(days=1))
    if any(day in facts.visits for day in near):
        return facts
    extra = replace(facts.plot.visiting, days=WEEKDAYS)
    if night.evening not in coming_visits(extra, facts.now, night.evening):
        return facts
    return with_visit(facts, night.evening)


def frost_visit(facts: SeasonFacts) -> date | None:
    """The visit at which a coming frost is met: the last one before it, if it is near."""
    night = frost_night(facts)
    if night is None or night.morning > _until(facts):
        return None
    return max((day for day in facts.visits if day <= night.evening), default=None)


def standing_before_frost(
    facts: SeasonFacts, beliefs: Mapping[str, CropBelief]
) -> list[frost_work.Standing]:
    """Own plantings with what ends them, and whether they bear."""
    found = []
    for key, belief in beliefs.items():
        planting, crop = facts.plot.planting(key), facts.tables.crops.get(belief.traits.crop)
        if crop is not None:
            kill = crop.frost_kill_c
            bears = planting.bears or belief.stage in BEARS
            colours = -FULL_GROWN_DAYS <= float(np.median(belief.age[:, belief.today])) < 0
            colours = colours and planting.crop.startswith(frost_work.COME_IN)
            one = frost_work.Standing(planting, kill.value, kill.address, bears, colours)
            found.append(one)
    return found


def cloth_before(facts: SeasonFacts, night: FrostNight) -> Cloth:
    """The fleece on hand before a frost, and until when it would lie where nobody is there."""
    there = "fleece" in facts.plot.means.on_hand
    back = next(
        (last for first, last in facts.plot.visiting.away if first <= night.morning <= last), None
    )
    if back is None:
        return Cloth(there)
    home = next((day for day in facts.visits if day > back), back + timedelta(days=1))
    begins = facts.day_index(night.evening)
    days = facts.t_max[:, begins : facts.day_index(home) + 1].max(axis=1)
    hot = float(np.quantile(days, HOT_CHANCE))
    return Cloth(there, home, hot <= FLEECE_OFF_ABOVE_C)


def lost_to_frost(facts: SeasonFacts) -> dict[str, FrostNight]:
    """Plantings that a coming frost kills more likely than not, as they are covered or not.

    Potatoes are not among them: what is done to them is done for the tubers.
    """
    night = frost_night(facts)
    if night is None or night.morning > _until(facts):
        return {}
    return {one.planting.key: night for one in _ended_by(facts, night)}


def ends_unhelped(facts: SeasonFacts, visit: date) -> list[frost_work.Standing]:
    """Plantings for which nothing is worth doing at a visit but picking: frost ends them first.

    From the visit on at which a coming frost is met; before that they are kept up.
    """
    night, met = frost_night(facts), frost_visit(facts)
    if night is None or met is None or visit < met:
        return []
    return list(_ended_by(facts, night))


def no_work_for(facts: SeasonFacts, visit: date) -> list[NotToday]:
    """Say that nothing else is done for what a coming frost ends; none where it ends none."""
    night, ending = frost_night(facts), ends_unhelped(facts, visit)
    return [] if night is None or not ending else [frost_work.for_nothing(ending, night.morning)]


def _ended_by(facts: SeasonFacts, night: FrostNight) -> Iterator[frost_work.Standing]:
    cloth = cloth_before(facts, night)
    for planting in facts.plot.standing():
        crop = facts.tables.crops.get(planting.crop)
        if crop is None or planting.crop == "potato":
            continue
        kill = crop.frost_kill_c
        one = frost_work.Standing(planting, kill.value, kill.address, planting.bears)
        if night.low_c <= kill.value and not cloth.carries(one, night.low_c):
            yield one


def told_before_frost(facts: SeasonFacts, verdicts: Sequence[Verdict]) -> list[Verdict]:
    """The same verdicts; none promises fleece where a coming frost is beyond it."""
    lost = lost_to_frost(facts)

    def told(one: Verdict) -> Verdict:
        if one.planting not in lost or WITH_FLEECE not in one.says:
            return one
        morning = said(lost[one.planting].morning)
        says = one.says.replace(WITH_FLEECE, f", though the frost by {morning} is likely to end it")
        return replace(one, says=says)

    return [told(one) for one in verdicts]


def _until(facts: SeasonFacts) -> date:
    """The morning after the second coming visit."""
    return (facts.visits[1] if len(facts.visits) > 1 else facts.today) + timedelta(days=1)


def frost_coming(facts: SeasonFacts, does: str) -> str:
    """What to do before a frost that is likelier than not by the second coming visit; "" else.

    does : what is done before it; "": nothing is.
    """
    night = frost_night(facts)
    if night is None or night.morning > _until(facts):
        return ""
    low = measure(round(night.low_c), "C")
    does = f": before it, {does}" if does else ""
    return f"FROST LIKELY by the morning of {said(night.morning)}, about {low} at the ground{does}"
