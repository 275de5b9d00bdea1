"""Forms of the kernels of insects and mites."""

from __future__ import annotations

from functools import lru_cache
from typing import Annotated, Any

from pydantic import Field

from lattermath.belief import life_answers
from lattermath.belief.life_figures import HostTerms
from lattermath.belief.life_history import LifeHistory, life_of
from lattermath.desk.kernel_forms import (
    Answer,
    Asked,
    Celsius,
    CelsiusSeries,
    Form,
    NotNegative,
    Share,
    Whole,
    Word,
    Yes,
    extreme,
    extremes,
    refuse,
    unknown_word,
)
from lattermath.desk.kernel_forms_words import tables

MOST_DAYS = 3660


class DevelopmentAsked(Asked):
    """An organism, a stage of it or egg-to-adult, and a steady temperature or daily range, C."""

    organism: Word
    stage: Word
    host: Word | None = None
    temperature_c: Celsius | None = None
    t_min: Celsius | None = None
    t_max: Celsius | None = None


class Development(Answer):
    """Days in the stage and their range; null where there is no development."""

    days: float | None
    low: float | None
    high: float | None
    rate_per_day: float


def _development(asked: DevelopmentAsked) -> Development:
    life = _life(asked.organism)
    low, high = _steady_range(asked)
    found = life_answers.duration(life, asked.stage, low, high, _host(life, asked.host))
    return Development(
        days=found.days, low=found.low, high=found.high, rate_per_day=found.rate_per_day
    )


def _steady_range(asked: DevelopmentAsked) -> tuple[float, float]:
    if asked.temperature_c is not None and asked.t_min is None and asked.t_max is None:
        return asked.temperature_c, asked.temperature_c
    if asked.temperature_c is not None or asked.t_min is None or asked.t_max is None:
        remedy = "Give temperature_c, or t_min and t_max."
        raise refuse("one temperature, or two extremes, are wanted", "temperature_c", None, remedy)
    extreme(asked.t_min, asked.t_max)
    return asked.t_min, asked.t_max


class Kill(Asked):
    """A treatment: the day, from 0, and the share of each stage it kills."""

    day: Annotated[Whole, Field(ge=0)]
    kill: dict[str, Share]


class CohortAsked(Asked):
    """Insects that enter their stages on day 0, at a steady temperature or by daily extremes, C."""

    organism: Word
    host: Word | None = None
    temperature_c: Celsius | None = None
    t_min: CelsiusSeries | None = None
    t_max: CelsiusSeries | None = None
    days: Annotated[Whole, Field(ge=1, le=MOST_DAYS)]
    start: Annotated[dict[str, NotNegative], Field(min_length=1)]
    mortality: Yes = True
    reproduction: Yes = True
    treatments: list[Kill] | None = None


class Cohort(Answer):
    """Insects by stage on day 0, 1 ... `days`, before that day's treatment; their sum.

    The adult days are those by which 1, 5 and 9 in 10 of the young have become adult, as if none
    died; null where that is beyond `days`.
    """

    stages: dict[str, list[float]]
    total: list[float]
    adult_day_10: float | None
    adult_day_50: float | None
    adult_day_90: float | None


def _cohort(asked: CohortAsked) -> Cohort:
    life = _life(asked.organism)
    low, high = _daily_range(asked)
    found = life_answers.cohort(
        life,
        low,
        high,
        {_stages(life, stage, "start")[0]: count for stage, count in asked.start.items()},
        mortality=asked.mortality,
        reproduction=asked.reproduction,
        host=_host(life, asked.host),
        treatments=_kills(life, asked.treatments or []),
    )
    return Cohort(
        stages={stage: counts.tolist() for stage, counts in found.stages.items()},
        total=found.total.tolist(),
        adult_day_10=found.adult_day_10,
        adult_day_50=found.adult_day_50,
        adult_day_90=found.adult_day_90,
    )


def _kills(life: LifeHistory, treatments: list[Kill]) -> list[tuple[int, dict[str, float]]]:
    """Days and shares killed, a group word such as `nymph` standing for all its stages."""
    found = []
    for place, one in enumerate(treatments):
        where = f"treatments[{place}].kill"
        shares = {s: k for word, k in one.kill.items() for s in _stages(life, word, where)}
        found.append((one.day, shares))
    return found


def _stages(life: LifeHistory, word: str, where: str) -> list[str]:
    """The stages a word means: one, or all that begin with it (`nymph`, `larva`)."""
    key = word.replace("-", "_").replace(" ", "_")
    found = [stage for stage in life.stages if stage == key]
    found = found or [stage for stage in life.stages if stage.startswith(key)]
    if not found:
        raise unknown_word("no such stage", f"{where}.{word}", word, life.stages)
    return found


def _daily_range(asked: CohortAsked) -> tuple[list[float], list[float]]:
    if asked.temperature_c is not None and asked.t_min is None and asked.t_max is None:
        steady = [asked.temperature_c] * asked.days
        return steady, steady
    if asked.temperature_c is not None or asked.t_min is None or asked.t_max is None:
        remedy = "Give temperature_c, or t_min and t_max."
        raise refuse(
            "one temperature, or daily extremes, are wanted", "temperature_c", None, remedy
        )
    extremes(asked.t_min, asked.t_max)
    if len(asked.t_min) < asked.days:
        remedy = f"Give at least {asked.days} days, or ask for fewer."
        raise refuse("the weather ends before the days do", "t_min", len(asked.t_min), remedy)
    return asked.t_min[: asked.days], asked.t_max[: asked.days]


class GrowthRateAsked(Asked):
    """An organism at a steady temperature, C; `field` counts what enemies and weather take."""

    organism: Word
    host: Word | None = None
    temperature_c: Celsius
    female_fraction: Share | None = None
    field: Yes = False


class GrowthRate(Answer):
    """Intrinsic rate of increase, daughters per mother, generation, doubling time, days."""

    r_m: float | None
    r0: float | None
    generation_days: float | None
    doubling_days: float | None


def _growth_rate(asked: GrowthRateAsked) -> GrowthRate:
    life = _life(asked.organism)
    left = life.figures.field_survival.value if asked.field else 1.0
    found = life.growth(asked.temperature_c, _host(life, asked.host), asked.female_fraction, left)
    return GrowthRate(
        r_m=found.r,
        r0=found.r0,
        generation_days=found.generation_days,
        doubling_days=found.doubling_days,
    )


@lru_cache(maxsize=64)
def _life(word: str) -> LifeHistory:
    held = tables()
    found = word if word in held.organisms else held.crosswalk.organism(word)
    if found is None:
        raise unknown_word("no such organism", "organism", word, held.organisms)
    return life_of(held, found)


def _host(life: LifeHistory, word: str | None) -> HostTerms | None:
    """The terms of a host; None for no host in particular. InputError for a plant it shuns."""
    if word is None:
        return None
    crosswalk = tables().crosswalk
    terms = life.figures.host(word, crosswalk)
    if terms is None:
        what = "not a host of it" if crosswalk.known(word) else "no such host"
        raise unknown_word(what, "host", word, life.figures.hosts)
    return terms


FORMS: dict[str, Form[Any]] = {
    "development": Form(DevelopmentAsked, Development, _development, "Days in a stage."),
    "cohort": Form(CohortAsked, Cohort, _cohort, "One cohort, day by day and stage by stage."),
    "growth-rate": Form(GrowthRateAsked, GrowthRate, _growth_rate, "Growth by Lotka and Euler."),
}
