"""What would change what a plan does with its ground, bare beds included, on the same draws."""

from __future__ import annotations

from dataclasses import replace

from lattermath.belief.crop_growth import GrowingSeason
from lattermath.belief.lot_belief import believe_lot
from lattermath.desk.plan_crops import CropPlans
from lattermath.desk.season_facts import SeasonFacts
from lattermath.desk.verdict_turns import MovedFrosts, with_turns
from lattermath.planning import turning
from lattermath.planning.bare_ground import Filling, pays
from lattermath.planning.fates import Choices
from lattermath.planning.season_left import usual_frost
from lattermath.vocabulary.calendar import short
from lattermath.vocabulary.plan import Verdict_

BARE = "leaving it bare"


def crops_with_turns(facts: SeasonFacts, season: GrowingSeason, crops: CropPlans) -> CropPlans:
    """Give the decisions, and what fills bare ground, with what would turn each."""
    frosts = MovedFrosts(facts, season)
    decisions = with_turns(facts, frosts, crops.decisions, crops.asked)
    fillings = {bed: _with_turns(frosts, filling) for bed, filling in crops.fillings.items()}
    return replace(crops, decisions=decisions, fillings=fillings)


def _with_turns(frosts: MovedFrosts, filling: Filling) -> Filling:
    """One bed: lots and seasons are worked out anew for each frost, what else stands is not."""
    if filling.asked is None:
        return filling
    choices, table = filling.asked

    def says(days: int) -> Verdict_:
        return "replace" if not days or pays(_moved(choices, frosts.by(days)), table) else "let run"

    usual = usual_frost(choices.season)
    by_frost = turning.shift_turn(turning.FROST, usual, says, "day")
    if by_frost.at is not None:
        by_frost = replace(by_frost, turns_to=BARE)
    by_hour = turning.bare_turn(filling.weighed, table.household.worth_of_hour, BARE)
    there = usual < choices.season.weather.n_days
    because = turning.reasons((by_hour, by_frost), short(choices.day(int(usual))) if there else "")
    verdict = filling.verdict
    told = replace(verdict, turns=(by_hour, by_frost), because=(*verdict.because, *because))
    return replace(filling, verdict=told)


def _moved(choices: Choices, season: GrowingSeason) -> Choices:
    lots = tuple(
        replace(believe_lot(lot.lot, season), lost=lot.lost, sound=lot.sound)
        for lot in choices.lots
    )
    return choices.widened(season, choices.belief, lots, 1)
