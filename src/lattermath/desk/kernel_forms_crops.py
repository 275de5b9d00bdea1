"""Forms of the kernels of seedlings, plantings and fruit."""

from __future__ import annotations

import math
from datetime import date, timedelta
from typing import Any, Literal

from lattermath.belief import crop_reckoning
from lattermath.belief.crop_traits import Start
from lattermath.desk.kernel_forms import (
    Answer,
    Asked,
    Celsius,
    CelsiusSeries,
    Dated,
    Day,
    Form,
    NotNegative,
    Positive,
    Word,
    extremes,
    refuse,
)
from lattermath.desk.kernel_forms_words import seed_crop, tables, traits

Establish = Literal["sown", "set-out"]
STARTS: dict[str, Start] = {"sown": "sown", "set-out": "set out"}


class EmergenceAsked(Asked):
    """A crop, and the temperature of the soil at seed depth, C."""

    crop: Word
    soil_temperature_c: Celsius


class Emergence(Answer):
    """Days to emergence, null where it will not come up; seedlings of a hundred seeds."""

    days: float | None
    stand_percent: float | None


def _emergence(asked: EmergenceAsked) -> Emergence:
    try:
        found = crop_reckoning.emergence_of(
            tables(), seed_crop(asked.crop), asked.soil_temperature_c
        )
    except ValueError as error:
        remedy = "Ask for a soil between those that were tested."
        raise refuse(str(error), "soil_temperature_c", asked.soil_temperature_c, remedy) from error
    return Emergence(days=found.days, stand_percent=found.stand_percent)


class RootFillAsked(Asked):
    """A lot in cups: the crop, the cup, ml, the mean it is kept at, C, and its age, days."""

    crop: Word
    cup_ml: Positive
    temperature_c: Celsius
    age_days: NotNegative


class RootFill(Answer):
    """Share of the cup rooted, the ready window in days from sowing, and what waiting has cost."""

    fill: float
    ready_from_day: float | None
    ready_to_day: float | None
    coils_day: float | None
    coiled: bool
    delay_days: float
    early_loss: float


def _root_fill(asked: RootFillAsked) -> RootFill:
    found = crop_reckoning.cup_answer(
        traits(asked.crop), asked.cup_ml, asked.temperature_c, asked.age_days
    )
    return RootFill(**found._asdict())


class LastPlantingAsked(Asked):
    """A crop, how it is started, the first frost to reckon with, and the packet's own days."""

    crop: Word
    establish: Establish
    first_frost: Day
    days_to_maturity: Positive | None = None


class LastPlanting(Answer):
    """The last useful day, and the bearing days wanted before frost."""

    date: Dated
    margin_days: float


def _last_planting(asked: LastPlantingAsked) -> LastPlanting:
    found = crop_reckoning.last_planting_of(
        traits(asked.crop),
        STARTS[asked.establish],
        asked.first_frost.toordinal(),
        asked.days_to_maturity,
    )
    return LastPlanting(date=date.fromordinal(math.floor(found.day)), margin_days=found.margin_days)


class FirstPickAsked(Asked):
    """A crop, the day it was set out (or sown in place), and daily extremes from that day, C."""

    crop: Word
    set_out: Day | None = None
    sown: Day | None = None
    age_at_set_out_days: NotNegative | None = None
    t_min: CelsiusSeries
    t_max: CelsiusSeries


class FirstPick(Answer):
    """The likely day, the earliest and the latest, and of full size; null: not in this weather."""

    date: Dated | None
    low: Dated | None
    high: Dated | None
    full_size: Dated | None


def _first_pick(asked: FirstPickAsked) -> FirstPick:
    extremes(asked.t_min, asked.t_max)
    started = asked.set_out or asked.sown
    if started is None or (asked.set_out and asked.sown):
        raise refuse("the day it was set out, or sown, is wanted", "set_out", None, "Give one.")
    found = crop_reckoning.first_pick(
        traits(asked.crop),
        "set out" if asked.set_out else "sown",
        asked.t_min,
        asked.t_max,
        asked.age_at_set_out_days,
    )

    def on(days: float | None) -> date | None:
        return None if days is None else started + timedelta(days=math.ceil(days))

    return FirstPick(
        date=on(found.likely), low=on(found.low), high=on(found.high), full_size=on(found.full_size)
    )


class FruitSetAsked(Asked):
    """A crop and daily extremes, C."""

    crop: Word
    t_min: CelsiusSeries
    t_max: CelsiusSeries


class FruitSet(Answer):
    """Share of the normal set of flowers that open on each day."""

    set: list[float]


def _fruit_set(asked: FruitSetAsked) -> FruitSet:
    extremes(asked.t_min, asked.t_max)
    share = crop_reckoning.fruit_set_of(traits(asked.crop), asked.t_min, asked.t_max)
    return FruitSet(set=share.tolist())


FORMS: dict[str, Form[Any]] = {
    "emergence": Form(EmergenceAsked, Emergence, _emergence, "Days to emergence, and stand."),
    "root-fill": Form(RootFillAsked, RootFill, _root_fill, "How full of root a cup is."),
    "last-planting": Form(
        LastPlantingAsked, LastPlanting, _last_planting, "Last useful day, counted back from frost."
    ),
    "first-pick": Form(FirstPickAsked, FirstPick, _first_pick, "When picking begins."),
    "fruit-set": Form(FruitSetAsked, FruitSet, _fruit_set, "What heat and cold leave of the set."),
}
