"""Advice on standby lots: those in hand, what to sow in cups now, and what the tin lacks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from lattermath.belief.crop_growth import GrowingSeason
from lattermath.belief.crop_traits import BUTTONS_A_WEEK
from lattermath.belief.lot_belief import LotBelief
from lattermath.planning.cup_care import CupCare, cup_care
from lattermath.planning.cup_sowing import (
    Gap,
    Sowing,
    can_fill,
    makes_it,
    not_served,
    plants_wanted,
    ready_if_sown_today,
    sowing,
    sowings,
)
from lattermath.planning.cups_told import cup_odds_says
from lattermath.planning.season_left import gap_crops
from lattermath.planning.young_losses import BESIDE, YoungLoss, losses_of, stands
from lattermath.science.emergence import seeds_to_sow
from lattermath.vocabulary.calendar import said
from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.measure import measure
from lattermath.vocabulary.plan import StandbyAdvice
from lattermath.vocabulary.plot import Household, SeedPacket, Tin
from lattermath.vocabulary.ruling import Because

CHANCE_OF_ENOUGH = 0.9
HARDEN_DAYS = 6  # common practice: five to seven days before setting out
EXPECTED = "computed:table, weather and the looks before (decision 0044)"
SOW_AHEAD_DAYS = 7  # a sowing due within a week is said at this visit


def lot_advice(
    lot: LotBelief,
    season: GrowingSeason,
    visits: Sequence[int] = (),
    infested: Sequence[str] = (),
) -> StandbyAdvice:
    """One lot in hand: how full, its ready window, its water, and what waiting has cost it.

    infested : what stands on the plot with something that lives on this crop too, and with what:
               `Aubergines (greenhouse whitefly)`.
    """
    weather = season.weather
    care = cup_care(lot, season, visits)
    state = lot.state(weather.today)
    ready, closes = lot.ready_column(), lot.closes_column()
    return StandbyAdvice(
        crop=lot.lot.crop,
        says=_with_care(_lot_says(lot, season), lot, care, season, infested),
        lot=lot.lot.key,
        ready_from=weather.day(ready) if ready <= weather.n_days else None,
        ready_to=weather.day(closes) if closes <= weather.n_days else None,
        fill=round(float(np.median(state.fill)), 2),
        delay_days=round(float(np.median(state.delay_days)), 1),
        early_loss=round(float(np.median(state.early_loss)), 3),
        because=(
            Because(
                f"sown {said(lot.lot.sown)} in cups of {measure(lot.lot.cup_ml, 'ml')}",
                who="grower",
                rests_on=(f"plot:lot/{lot.lot.key}", f"table:{lot.nursery.address}"),
            ),
            *_looked(lot),
            *_at_odds(lot),
            care.because,
            *_beside(lot, infested),
        ),
        named=lot.traits.many,
        called=lot.lot.called,
        plants=lot.lot.plants,
        sown=lot.lot.sown,
        cup_ml=lot.lot.cup_ml,
        variety=lot.lot.variety,
    )


ROOTS = {
    "few": "roots few, the ball falls apart",
    "filling": "roots hold the ball",
    "coiled": "roots circle the cup",
}


def _looked(lot: LotBelief) -> Iterator[Because]:
    """What was seen in the cups, each look that changes what is believed."""
    for look in lot.lot.looks:
        found = [] if look.up is None else [f"{look.up} of {look.cups} came up"]
        found += [ROOTS[look.roots]] if look.roots else []
        yield Because(
            f"{', '.join(found)}, seen on {said(look.day)}",
            who="grower",
            rests_on=(f"plot:lot/{lot.lot.key}",),
        )


def _at_odds(lot: LotBelief) -> Iterator[Because]:
    """Where the newest look is not what was expected."""
    for says in cup_odds_says(lot):
        yield Because(says.rstrip("."), rests_on=(f"plot:lot/{lot.lot.key}", EXPECTED))


def _beside(lot: LotBelief, infested: Sequence[str]) -> Iterator[Because]:
    """What young plants catch where they stand."""
    if lot.lot.where == "plot" and infested:
        yield Because(
            f"{', '.join(infested)} on the same plot: {BESIDE.cause} is counted at "
            f"{round(100 * BESIDE.share)} in 100 of the young plants",
            who="our caution",
            rests_on=(f"plot:lot/{lot.lot.key}",),
            way_out="take the cups home, or net them",
        )


def sowing_advice(
    gaps: Sequence[Gap],
    lots: Sequence[LotBelief],
    tin: Tin,
    household: Household,
    season: GrowingSeason,
    chance: float = CHANCE_OF_ENOUGH,
) -> list[StandbyAdvice]:
    """What to sow in cups now so that a ready plant waits when each gap opens.

    Gaps that a lot in hand will fill want nothing. A gap that no packet of the tin can fill in
    time is answered with what to get, and by when.

    chance : wished-for chance that enough plants make it.
    """
    ready = [(lot.traits, lot.ready_column()) for lot in lots if not lot.lost]
    due: dict[str, list[Sowing]] = {}
    lacking: list[StandbyAdvice] = []
    for gap in not_served(gaps, ready):
        found = sowings(gap, tin, household, season)
        now = [s for s in found if s.due <= season.weather.today + SOW_AHEAD_DAYS]
        fresh = [s for s in now if s.traits.crop not in due]
        if now:
            chosen = fresh[0] if fresh else now[0]
            due.setdefault(chosen.traits.crop, []).append(chosen)
        elif not found:
            lacking.extend(_to_get(gap, tin, household, season))
    held = [lot for lot in lots if lot.lot.plants > 0]
    sow = [
        advice
        for same in due.values()
        if (advice := _to_sow(same, tin, household, season, chance, held)) is not None
    ]
    return sow + list({one.crop: one for one in lacking}.values())


def _to_sow(
    same: Sequence[Sowing],
    tin: Tin,
    household: Household,
    season: GrowingSeason,
    chance: float,
    lots: Sequence[LotBelief],
) -> StandbyAdvice | None:
    """One crop's sowing for all the gaps it is meant for; None where nobody eats it or it fails."""
    weather, first = season.weather, min(same, key=lambda s: s.due)
    traits, made = first.traits, makes_it(first.traits, season)
    in_cups = sum(lot.expected for lot in lots if lot.lot.crop == traits.crop)
    plants = min(sum(s.plants for s in same), plants_wanted(traits, household) - in_cups)
    if plants < 1:
        return None
    held = sum(packet.seeds for packet in tin.packets if packet.crop == traits.crop)
    losses = losses_of(traits, season, min(one.gap.opens for one in same))
    share = made.share * stands(losses)
    seeds = min(seeds_to_sow(plants, share, chance) or held, held)
    enough = min(plants, int(seeds * share)) if seeds == held else plants
    if enough < 1:
        return None
    by = weather.day(min(max(first.due, weather.today), first.last))
    ready = ready_if_sown_today(traits, season)
    cool = ", kept out of the heat" if made.too_warm else ""
    return StandbyAdvice(
        crop=traits.crop,
        says=f"{traits.counted(seeds)} in cups{cool} (you have seed; {enough} should make it)",
        sow=seeds,
        sow_by=by,
        ready_from=None if ready is None else weather.day(ready),
        missing=_short_of(seeds, tin),
        because=(
            *(_gap_reason(one.gap, season) for one in same),
            loss_reason(made.share, losses, made.untested),
            Because(
                f"last useful sowing about {said(weather.day(first.last))}",
                rests_on=(f"table:{traits.need('set out').address}", "computed:first frost"),
            ),
        ),
        named=traits.many,
        cup_ml=tin.cup_ml,
    )


def _to_get(
    gap: Gap, tin: Tin, household: Household, season: GrowingSeason
) -> Iterator[StandbyAdvice]:
    """The first crop of the gap list that suits and is not in the tin, and by when to get it."""
    held = {packet.crop for packet in tin.packets if packet.seeds > 0}
    fillers, address = gap_crops(season)
    for crop in fillers:
        traits = season.traits(crop)
        packet = SeedPacket(crop, plants_wanted(traits, household))
        if crop in held or not can_fill(gap, packet, season):
            continue
        one = sowing(gap, packet, household, season)
        if one.due > one.last:
            continue
        by = season.weather.day(max(one.due, season.weather.today))
        yield StandbyAdvice(
            crop=crop,
            says=f"nothing in the tin will fill {gap.ground.name} in time",
            sow_by=by,
            missing=f"{traits.one} seed, by {said(by)}",
            because=(
                _gap_reason(gap, season),
                Because(f"there are weeks enough left for {traits.many}", rests_on=(address,)),
            ),
        )
        return


def loss_reason(comes_up: float, losses: Sequence[YoungLoss], untested: str = "") -> Because:
    """Why more is sown than is wanted."""
    causes = ", ".join(one.cause for one in losses)
    guessed = f" (a guess: nobody tested them {untested})" if untested else ""
    return Because(
        f"of 10 seeds about {10 * comes_up:.0f} make a plant{guessed}; of 10 plants set out about "
        f"{10 * stands(tuple(losses)):.0f} stand after {causes}",
        who="our caution",
        rests_on=("computed:young losses",),
    )


def _gap_reason(gap: Gap, season: GrowingSeason) -> Because:
    return Because(
        f"{gap.ground.name} will be empty about {said(season.weather.day(gap.opens))}",
        rests_on=("computed:ground that comes free",),
    )


def _short_of(seeds: int, tin: Tin) -> str:
    """Cups or mix that the tin lacks for a sowing; what was not entered is not said to lack."""
    lacks = []
    if tin.cups is not None and tin.cups < seeds:
        lacks.append(counted(seeds - tin.cups, "more cups"))
    if tin.mix_litres is not None and tin.mix_litres < seeds * tin.cup_ml / 1000:
        lacks.append(f"mix for {counted(seeds, 'cups')}")
    return " and ".join(lacks)


def _with_care(
    says: str,
    lot: LotBelief,
    care: CupCare,
    season: GrowingSeason,
    infested: Sequence[str],
) -> str:
    """What the lot wants until it goes out: water, the open air, and distance from sick plants."""
    if care.lost:
        return f"{lot.traits.counted(lot.lot.plants)}: {care.says}."
    hardens = lot.ready_column() - HARDEN_DAYS <= season.weather.today
    harden = "; out by day and in by night to harden" if hardens else ""
    apart = ""
    if lot.lot.where == "plot":
        apart = f"; well apart from {' and '.join(infested) if infested else 'sick plants'}"
    return f"{says}; {care.says}{harden}{apart}"


def _lot_says(lot: LotBelief, season: GrowingSeason) -> str:
    """One lot in a line: how full, and the day that matters next."""
    weather = season.weather
    head = lot.traits.counted(lot.lot.plants)
    if lot.expected < lot.lot.plants:
        head = f"{head} in cups, of which about {lot.expected} came up"
    ready, coils = lot.ready_column(), lot.coils_column()
    if ready > weather.n_days:
        return f"{head}: not ready before the season ends"
    if weather.today < ready:
        return f"{head}: ready about {said(weather.day(ready))}"
    delay = round(float(np.median(lot.state(weather.today).delay_days)))
    late = f", which costs about {counted(delay, 'days')}" if delay else ""
    if delay and lot.lot.crop in BUTTONS_A_WEEK:
        late += " and some will button"
    if weather.today >= coils:
        return f"{head}: coiled{late}"
    when = f", coil about {said(weather.day(coils))}" if coils <= weather.n_days else ""
    return f"{head}: ready{when}"
