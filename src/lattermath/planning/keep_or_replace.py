"""Keep or replace: the same futures under every fate of one planting, and until when it matters."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.crop_belief import CropBelief
from lattermath.belief.crop_growth import GrowingSeason
from lattermath.belief.lot_belief import LotBelief
from lattermath.planning.fates import Choices, FateOutlook, keeping, replacing_at
from lattermath.planning.worth import DrawWeeks, Weeks, cost, eaten, want_for
from lattermath.science.plant_recovery import bearing_if_left
from lattermath.vocabulary.calendar import said
from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.plan import Option, Span, Verdict, Verdict_
from lattermath.vocabulary.plot import Household
from lattermath.vocabulary.ruling import Because

Draws = NDArray[np.float64]  # (n_draws,)
Again = Callable[[GrowingSeason], tuple[CropBelief, tuple[LotBelief, ...]]]

KEEPING = ("fight", "leave", "cover", "pull")
CLOSER = 5  # times the draws, when two fates lie close
CLOSE_ERRORS = 2.0  # a mean difference within two standard errors asks for more draws
WORTH_SAYING = 0.05  # judgement: a smaller loss of yield to drought is not worth a line
LEADERS = 2  # replacements followed when looking for the last day
STRIDE = 3  # visits skipped at first when looking for the last one at which replacing still pays
MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August",
          "September", "October", "November", "December")  # fmt: skip


@dataclass(frozen=True, slots=True)
class Table:
    """What the household wants, and what it eats besides: portions by food, (n_draws, n_weeks)."""

    household: Household
    others: Mapping[str, DrawWeeks] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Weighed:
    """One fate with its worth to the household in every draw. [portions]"""

    outlook: FateOutlook
    value: Draws

    @property
    def mean(self) -> float:
        """Mean worth over the draws."""
        return float(self.value.mean())


@dataclass(frozen=True, slots=True)
class Decision:
    """A verdict, what it would have put in the ground, and whether more draws are wanted."""

    verdict: Verdict
    chosen: FateOutlook
    replacement: FateOutlook | None  # the best of them, chosen or not
    close: bool
    weighed: tuple[Weighed, ...] = ()  # every fate at the next visit


def decide(choices: Choices, table: Table, again: Again | None = None) -> Decision:
    """Weigh every fate of one planting on the same draws, and say which to choose.

    Best is the highest mean worth. The chance that replacing is better is the share of draws with
    a positive difference between the best replacement and the best way of keeping. New plants are
    reckoned without pests, so sound ones that do not bear yet are held against them without pests
    too: whatever took their place would meet the same.

    again : works planting and lots out afresh under a season of more draws. Where it is given and
            the mean difference is within two standard errors, the two best are weighed again on
            five times the draws.
    """
    kept = weigh(keeping(choices), choices, table)
    visit = choices.visits[0] if choices.visits else choices.today
    judged = choices.unharmed() if choices.young else choices
    new = weigh(replacing_at(judged, visit), judged, table)
    keep, swap = best(kept), best(new) if new else None
    rival = keep if judged is choices else best(weigh(keeping(judged), judged, table))
    difference = -rival.value if swap is None else swap.value - rival.value
    if swap is not None and again is not None and is_close(difference):
        difference = _difference_again(judged, table, rival, swap, again)
    chosen = keep if swap is None or difference.mean() <= 0 else swap
    chance = 0.0 if swap is None else float((difference > 0).mean())
    verdict = Verdict(
        planting=choices.belief.planting.key,
        verdict=word_of(chosen.outlook),
        choice=chosen.outlook.fate,
        options=options_of([*kept, *new]),
        difference=span(difference, "portions"),
        chance_replacing_better=chance,
        chance_error=float(np.sqrt(chance * (1 - chance) / len(difference))),
        decide_by=None if swap is None else _decide_by(judged, table, rival, new),
        says=_says(choices, chosen, table.household),
        because=_because(choices, chosen, swap, float(difference.mean())),
    )
    close = swap is not None and is_close(difference)
    replacement = None if swap is None else swap.outlook
    return Decision(verdict, chosen.outlook, replacement, close, (*kept, *new))


def rest_of_plot(
    beliefs: Sequence[CropBelief],
    besides: str,
    household: Household,
    season: GrowingSeason,
    decided: Mapping[str, FateOutlook] | None = None,
    filled: Sequence[FateOutlook] = (),
) -> dict[str, DrawWeeks]:
    """Portions by food that the rest of the plot gives, (n_draws, n_weeks).

    decided : what was chosen already for some plantings; all others are let run.
    filled  : what goes into bare ground.
    """
    weather = season.weather
    weeks = Weeks.of(weather.day(weather.today), weather.n_days - weather.today)
    parts = [part for outlook in filled for part in outlook.parts]
    for belief in beliefs:
        key = belief.planting.key
        if key != besides and decided is not None and key in decided:
            parts += decided[key].parts
        elif key != besides:
            kg = belief.kg[:, weather.today :]
            parts.append((belief.traits, kg * bearing_if_left(belief.condition, kg.shape[1])))
    portions: dict[str, DrawWeeks] = {}
    for traits, kg in parts:
        food = want_for(traits.crop, household).food
        weekly = weeks.sums(kg) / traits.portion_kg
        portions[food] = portions[food] + weekly if food in portions else weekly
    return portions


def weigh(outlooks: Sequence[FateOutlook], choices: Choices, table: Table) -> list[Weighed]:
    """The worth of each fate: food used, less minutes, litres and treatments."""
    weather = choices.season.weather
    weeks = Weeks.of(weather.day(weather.today), weather.n_days - weather.today)
    return [Weighed(outlook, _value(outlook, table, weeks)) for outlook in outlooks]


def best(weighed: Sequence[Weighed]) -> Weighed:
    """The fate of the highest mean worth; the first of equals."""
    return max(weighed, key=lambda w: w.mean)


def last_still_better(visits: Sequence[int], better: Callable[[int], bool]) -> int | None:
    """The last of the visits at which something is still better; None if it is not at any.

    Exact where it is better up to some visit and not after; strides first, to ask seldom.
    """
    found = next((k for k in range(0, len(visits), STRIDE) if better(visits[k])), None)
    if found is None:
        return None
    step = found
    while step + STRIDE < len(visits) and better(visits[step + STRIDE]):
        step += STRIDE
    for k in range(min(step + STRIDE, len(visits)) - 1, step, -1):
        if better(visits[k]):
            return visits[k]
    return visits[step]


def span(values: Draws, unit: str) -> Span:
    """10th, 50th and 90th percentile of the draws."""
    low, median, high = np.percentile(values, (10, 50, 90))
    return Span(float(low), float(median), float(high), unit)


def _value(outlook: FateOutlook, table: Table, weeks: Weeks) -> Draws:
    household = table.household
    spent = cost(household, outlook.minutes, outlook.litres, outlook.treatments)
    return eaten(outlook.parts, table.others, household, weeks) - spent


def _decide_by(
    choices: Choices, table: Table, keep: Weighed, new: Sequence[Weighed]
) -> date | None:
    """The last coming visit at which the best replacement begun then still beats keeping.

    Only the replacements that are best today are followed.
    """
    leaders = sorted(new, key=lambda w: -w.mean)[:LEADERS]
    among = {(w.outlook.crop, w.outlook.lot) for w in leaders}

    def still(visit: int) -> bool:
        if visit == choices.visits[0]:
            return leaders[0].mean > keep.mean
        begun = weigh(replacing_at(choices, visit, among), choices, table)
        return bool(begun) and best(begun).mean > keep.mean

    last = last_still_better(choices.visits, still)
    return None if last is None else choices.day(last)


def _difference_again(
    choices: Choices, table: Table, keep: Weighed, swap: Weighed, again: Again
) -> Draws:
    """The best replacement less the best keeping, on five times the draws."""
    season = choices.season.widened(CLOSER)
    wide = choices.widened(season, *again(season), CLOSER)
    others = {food: np.tile(portions, (CLOSER, 1)) for food, portions in table.others.items()}
    wide_table = Table(table.household, others)
    kept = [f for f in keeping(wide) if f.fate == keep.outlook.fate]
    into = {(swap.outlook.crop, swap.outlook.lot)}
    new = replacing_at(wide, choices.visits[0] if choices.visits else choices.today, into)
    if not new:
        return swap.value - keep.value
    values = weigh([kept[0], new[0]], wide, wide_table)
    return values[1].value - values[0].value


def is_close(difference: Draws) -> bool:
    """Tell whether a mean difference lies within two standard errors of nothing."""
    error = float(difference.std()) / np.sqrt(len(difference))
    return bool(abs(float(difference.mean())) < CLOSE_ERRORS * error)


def word_of(outlook: FateOutlook) -> Verdict_:
    """The verdict that a fate amounts to."""
    if outlook.fate == "fight":
        return "fight"
    if outlook.fate == "pull":
        return "pull"
    return "let run" if outlook.fate in KEEPING else "replace"


def options_of(weighed: Sequence[Weighed]) -> tuple[Option, ...]:
    """Every fate with its yield, its worth, and the share of draws in which it is the best."""
    values = np.array([w.value for w in weighed])
    winners = values.argmax(axis=0)
    options = [
        Option(
            w.outlook.fate,
            w.outlook.says,
            span(w.outlook.kg(), "kg"),
            span(w.value, "portions"),
            float((winners == k).mean()),
        )
        for k, w in enumerate(weighed)
    ]
    order = sorted(range(len(options)), key=lambda k: -weighed[k].mean)
    return tuple(options[k] for k in order)


def _says(choices: Choices, chosen: Weighed, household: Household) -> str:
    """The verdict as the front of the sheet says it; at most one range."""
    outlook = chosen.outlook
    if outlook.fate == "leave":
        return "let run"
    if outlook.fate == "cover":
        return "let run, with fleece on cold nights"
    if outlook.fate == "fight":
        meals = _meals(choices, outlook, household)
        return f"fight, {meals}" if meals else "fight"
    does = "take out" if outlook.fate == "pull" else "replace"
    if outlook.begins == choices.today:
        return f"{does} tonight"
    return f"{does} on {said(choices.day(outlook.begins or choices.today))}"


def _meals(choices: Choices, outlook: FateOutlook, household: Household) -> str:
    """How many meals a week it gives while it bears, and about how long it bears."""
    weather = choices.season.weather
    weeks = Weeks.of(weather.day(weather.today), weather.n_days - weather.today)
    traits, kg = outlook.parts[0]
    weekly = weeks.sums(kg) / traits.portion_kg / max(household.people, 1) / weeks.share
    median = np.median(weekly, axis=0)
    bearing = median > max(median.max() / 4, 0.25)
    if not bearing.any():
        return ""
    a_week = weekly[:, bearing].mean(axis=1)
    low, high = (max(round(float(q)), 1) for q in np.percentile(a_week, (20, 80)))
    last = weeks.mondays[int(np.flatnonzero(bearing)[-1])]
    count = f"{low}" if low == high else f"{low} to {high}"
    return f"about {count} {'meal' if high == 1 else 'meals'} a week to {_part_of_month(last)}"


def _part_of_month(day: date) -> str:
    """About when in the month: `early`, `mid-` or `late`."""
    month = MONTHS[day.month - 1]
    if day.day <= 10:
        return f"early {month}"
    return f"mid-{month}" if day.day <= 20 else f"late {month}"


def _because(
    choices: Choices, chosen: Weighed, swap: Weighed | None, gain: float
) -> tuple[Because, ...]:
    """Why: what the planting is, what the chosen fate rests on, and what the other would bring.

    gain : mean worth of the best replacement less that of keeping. [portions]
    """
    belief, plant = choices.belief, f"plot:planting/{choices.belief.planting.key}"
    look = f"it is {belief.planting.vigour} and {belief.stage}"
    reasons = [Because(look, who="grower", rests_on=(plant, *_picking_addresses(choices)))]
    if belief.disagrees:
        reasons.append(Because(belief.disagrees, rests_on=_picking_addresses(choices)))
    reasons.extend(chosen.outlook.because)
    if swap is not None:
        if chosen is not swap:
            reasons.extend(_if_replaced(reason) for reason in swap.outlook.because)
        more = "more" if gain > 0 else "fewer"
        words = (
            f"replacing gives about {counted(f'{abs(gain):.0f}', 'portions')} {more} than keeping"
        )
        reasons.append(Because(words, rests_on=("computed:same futures for every fate",)))
    if (thirst := _thirst(belief)) is not None:
        reasons.append(thirst)
    if belief.rough:
        reasons.append(Because(belief.rough, who="grower", rests_on=(plant,)))
    return tuple(reasons)


def _thirst(belief: CropBelief) -> Because | None:
    """What the ground's water takes of the yield, whatever stands there; None where hardly any."""
    if belief.water is None:
        return None
    sound = belief.kg[:, belief.today :] / np.maximum(belief.water, 1e-6)
    whole = float(sound.sum())
    lost = 1.0 - float(belief.kg[:, belief.today :].sum()) / whole if whole > 0 else 0.0
    if lost < WORTH_SAYING:
        return None
    return Because(
        f"between waterings it goes short, which takes about {max(round(10 * lost), 1)} in 10 of "
        "its yield",
        rests_on=(f"computed:soil water of {belief.planting.key}", "plot:water/cans_a_visit"),
        way_out="mulch, shade, more cans or more visits",
    )


def _if_replaced(reason: Because) -> Because:
    return replace(reason, says=f"if replaced, {reason.says}")


def _picking_addresses(choices: Choices) -> tuple[str, ...]:
    return tuple(f"event:{serial}" for serial in choices.belief.events)
