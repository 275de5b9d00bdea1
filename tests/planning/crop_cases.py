"""An invented plot for keep-or-replace: cucumbers, a lot in cups, and a tin of seed."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from tests.belief.season_cases import dice

from lattermath.belief.crop_belief import believe
from lattermath.belief.crop_growth import GrowingSeason
from lattermath.belief.lot_belief import LotBelief, believe_lot
from lattermath.planning.fates import Care, Choices
from lattermath.planning.ground import Ground, ground_of
from lattermath.vocabulary.place import Place
from lattermath.vocabulary.plot import Bed, Household, Planting, Plot, SeedPacket, StandbyLot, Want

PLOT = Plot(
    "14",
    "a holder",
    Place("somewhere", 41.0, -93.0, "America/Chicago"),
    beds=(Bed("c", "bed C", 0, 0, 6.0, 1.2),),
)
HOUSEHOLD = Household(2, (Want("cucumber_slicing", 8.0), Want("bean_bush", 6.0)))
WORN = Planting(
    "row2", "Cucumbers row 2", "cucumber_slicing", 4, "c", sown=date(2025, 5, 20), vigour="worn"
)
SOUND = Planting("row1", "Cucumbers row 1", "cucumber_slicing", 4, "c", sown=date(2025, 6, 15))


def lots(season: GrowingSeason, *given: StandbyLot) -> tuple[LotBelief, ...]:
    return tuple(believe_lot(lot, season) for lot in given)


def cups(season: GrowingSeason, days: int, crop: str = "cucumber_slicing") -> StandbyLot:
    """Six plants in cups, sown that many days before today."""
    return StandbyLot("cups", crop, 6, season.weather.day(season.weather.today - days))


def visits(season: GrowingSeason) -> tuple[int, ...]:
    """Tuesdays, Thursdays and Saturdays to the end of the weather, today's first."""
    weather = season.weather
    days = range(weather.today, weather.n_days)
    return tuple(c for c in days if weather.day(c).weekday() in (1, 3, 5))


def choices(
    season: GrowingSeason,
    planting: Planting,
    *,
    waiting: Sequence[LotBelief] = (),
    packets: Sequence[SeedPacket] = (),
    care: Care | None = None,
    ground: Ground | None = None,
) -> Choices:
    belief = believe(planting, season, [], dice)
    return Choices(
        belief,
        season,
        ground or ground_of(PLOT, planting, belief.traits),
        visits(season),
        dice,
        tuple(waiting),
        tuple(packets),
        care or Care(),
    )


def days_ago(season: GrowingSeason, days: int) -> date:
    return season.weather.day(season.weather.today) - timedelta(days=days)
