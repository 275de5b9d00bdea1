"""Forms of the kernels of counting: what a treatment did, how many leaves to look at."""

from __future__ import annotations

import math
from typing import Annotated, Any, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

from lattermath.desk.kernel_forms import (
    Answer,
    Asked,
    Form,
    NotNegative,
    Number,
    Positive,
    Whole,
    Yes,
    refuse,
)
from lattermath.science.counting import (
    Taylor,
    fit_negative_binomial,
    leaves_for_precision,
    plants_to_detect,
    stop_total,
    whole_leaves,
    without_noise,
)
from lattermath.science.efficacy import (
    Efficacy,
    by_change,
    by_mortality,
    changes_compared,
    henderson_tilton,
    survivors_compared,
)
from lattermath.science.sequential_counts import (
    RealErrors,
    StopLines,
    real_errors,
    real_errors_of_infested,
    stop_lines,
    stop_lines_of_infested,
)

MOST_COUNTED = 10_000_000


def _listed(value: object) -> object:
    """One number as a list of it, so that a fault names the field and not a choice of forms."""
    return value if isinstance(value, list) else [value]


Counts = Annotated[
    list[NotNegative],
    Field(min_length=1),
    BeforeValidator(_listed, json_schema_input_type=NotNegative | list[NotNegative]),
]
Chance = Annotated[Number, Field(gt=0, lt=1)]
FORMULA = {
    "henderson-tilton": henderson_tilton,
    "sun-shepard": by_change,
    "schneider-orelli": by_mortality,
}


class EfficacyAsked(Asked):
    """Counts after, and before where the start was uneven: means, or one number per unit.

    schneider-orelli without counts before takes mortality in per cent after. `paired`: the same
    units in the same order before and after.
    """

    method: Literal["abbott", "henderson-tilton", "sun-shepard", "schneider-orelli"]
    treated_before: Counts | None = None
    treated_after: Counts
    untreated_before: Counts | None = None
    untreated_after: Counts
    paired: Yes = False


class EfficacyTold(Answer):
    """Per cent efficacy, below 0 where it did harm; null where it cannot be estimated.

    `low` and `high` hold the truth in 95 of 100 such trials; null for single numbers.
    """

    percent: float | None
    low: float | None
    high: float | None


def _efficacy(asked: EfficacyAsked) -> EfficacyTold:
    found = _compared(asked)
    return EfficacyTold(percent=found.percent, low=found.low_percent, high=found.high_percent)


def _compared(asked: EfficacyAsked) -> Efficacy:
    before = (asked.treated_before, asked.untreated_before)
    if asked.method == "abbott":
        return survivors_compared(asked.treated_after, asked.untreated_after)
    if asked.method == "schneider-orelli" and before == (None, None):
        survivors = [
            _survivors(field, getattr(asked, field))
            for field in ("treated_after", "untreated_after")
        ]
        return survivors_compared(survivors[0], survivors[1])
    for field, given in zip(("treated_before", "untreated_before"), before, strict=True):
        if given is None:
            remedy = "Give it, or ask for abbott, which takes an even start for granted."
            raise refuse("this method needs the counts before", field, None, remedy)
    assert asked.treated_before is not None and asked.untreated_before is not None
    if asked.paired:
        for group in ("treated", "untreated"):
            _as_many(asked, f"{group}_before", f"{group}_after")
    return changes_compared(
        asked.treated_before,
        asked.treated_after,
        asked.untreated_before,
        asked.untreated_after,
        asked.paired,
        FORMULA[asked.method],
    )


def _survivors(field: str, mortality: list[float]) -> list[float]:
    """Survivors in per cent from mortality in per cent."""
    for value in mortality:
        if value > 100:
            remedy = "Give the counts before as well, or mortality from 0 to 100."
            raise refuse("mortality is above 100 per cent", field, value, remedy)
    return [100 - value for value in mortality]


def _as_many(asked: EfficacyAsked, before: str, after: str) -> None:
    sizes = [len(getattr(asked, field)) for field in (before, after)]
    if sizes[0] != sizes[1]:
        raise refuse("paired counts differ in number", after, sizes[1], f"Give {sizes[0]}.")


class TaylorAsked(BaseModel):
    """Taylor's power law, variance = a mean^b, whatever the logarithm it was printed in."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    a: Positive
    b: Annotated[Number, Field(ge=0, le=5)]


class SampleSizeAsked(Asked):
    """Insects a leaf expected, wanted standard error / mean, and taylor or k.

    `after_leaves`: numbers of leaves for which the stopping total is asked as well.
    """

    mean: Positive
    precision: Positive
    taylor: TaylorAsked | None = None
    k: Positive | None = None
    after_leaves: list[Positive] | None = None


class SampleSize(Answer):
    """Leaves to count, and insects in all at which counting may stop at that mean.

    `leaves` and totals are not rounded; `whole_leaves` is the least whole number that is enough.
    `stop_totals` belong to `after_leaves`; null where so few leaves are never enough.
    """

    leaves: float | None
    whole_leaves: int | None
    stop_total: float | None
    stop_totals: list[float | None] | None


def _sample_size(asked: SampleSizeAsked) -> SampleSize:
    if (asked.taylor is None) == (asked.k is None):
        raise refuse("taylor or k is wanted, one of them", "taylor", None, "Give a and b, or k.")
    spread = asked.k if asked.taylor is None else Taylor(asked.taylor.a, asked.taylor.b)
    assert spread is not None
    leaves = without_noise(leaves_for_precision(asked.mean, asked.precision, spread))
    after = asked.after_leaves
    return SampleSize(
        leaves=leaves,
        whole_leaves=whole_leaves(leaves) if math.isfinite(leaves) else None,
        stop_total=without_noise(leaves * asked.mean),
        stop_totals=None
        if after is None
        else [without_noise(stop_total(n, asked.precision, spread)) for n in after],
    )


class SequentialAsked(Asked):
    """Means to be told apart, clumping k (null: Poisson), nominal chances of the two errors."""

    low_mean: Positive
    high_mean: Positive
    k: Positive | None = None
    alpha: Chance
    beta: Chance


class Sequential(Answer):
    """Lines of the total against the leaves; beyond them, few (lower) or many (upper).

    The chances are reckoned and not nominal: few called many at the low mean, many called few at
    the high mean, and the leaves looked at on average. Null where that would take too long.
    """

    slope: float
    lower_intercept: float
    upper_intercept: float
    called_high_at_low_mean: float | None
    called_low_at_high_mean: float | None
    mean_leaves_at_low_mean: float | None
    mean_leaves_at_high_mean: float | None


def _sequential(asked: SequentialAsked) -> Sequential:
    if asked.low_mean >= asked.high_mean:
        remedy = f"low_mean is {asked.low_mean:g}."
        raise refuse("the high mean is not above the low", "high_mean", asked.high_mean, remedy)
    _apart(asked.alpha, asked.beta)
    lines = stop_lines(asked.low_mean, asked.high_mean, asked.k, asked.alpha, asked.beta)
    few, many = (real_errors(lines, m, asked.k) for m in (asked.low_mean, asked.high_mean))
    return _lines_told(lines, few, many)


class PresenceAsked(Asked):
    """Shares of leaves with some that must be told apart, nominal chances of the two errors."""

    low_share: Chance
    high_share: Chance
    alpha: Chance
    beta: Chance


def _presence(asked: PresenceAsked) -> Sequential:
    if asked.low_share >= asked.high_share:
        remedy = f"low_share is {asked.low_share:g}."
        raise refuse("the high share is not above the low", "high_share", asked.high_share, remedy)
    _apart(asked.alpha, asked.beta)
    lines = stop_lines_of_infested(asked.low_share, asked.high_share, asked.alpha, asked.beta)
    few, many = (real_errors_of_infested(lines, s) for s in (asked.low_share, asked.high_share))
    return _lines_told(lines, few, many)


class FindAsked(Asked):
    """Share of leaves with some, wished-for chance that at least one of them is looked at."""

    infested: Chance
    sureness: Chance


class ToFind(Answer):
    """Fewest leaves that are as sure, and the chance that ten leaves show none all the same."""

    leaves: int
    ten_show_none: float


def _find(asked: FindAsked) -> ToFind:
    none = (1 - asked.infested) ** 10
    return ToFind(leaves=plants_to_detect(asked.infested, asked.sureness), ten_show_none=none)


def _apart(alpha: float, beta: float) -> None:
    if alpha + beta >= 1:
        raise refuse("the two errors sum to 1 or more", "beta", beta, "Give less, as 0.1.")


def _lines_told(lines: StopLines, few: RealErrors | None, many: RealErrors | None) -> Sequential:
    return Sequential(
        slope=lines.slope,
        lower_intercept=lines.lower_intercept,
        upper_intercept=lines.upper_intercept,
        called_high_at_low_mean=None if few is None else few.called_high,
        called_low_at_high_mean=None if many is None else many.called_low,
        mean_leaves_at_low_mean=None if few is None else few.mean_leaves,
        mean_leaves_at_high_mean=None if many is None else many.mean_leaves,
    )


class NegativeBinomialAsked(Asked):
    """Insects counted on each leaf."""

    counts: Annotated[list[Annotated[Whole, Field(ge=0, le=MOST_COUNTED)]], Field(min_length=1)]


class NegativeBinomial(Answer):
    """Mean, variance (n - 1), and clumping k; null k: no more clumped than Poisson."""

    mean: float
    variance: float | None
    k: float | None


def _negative_binomial(asked: NegativeBinomialAsked) -> NegativeBinomial:
    fit = fit_negative_binomial(asked.counts)
    return NegativeBinomial(mean=fit.mean, variance=fit.variance, k=fit.k)


FORMS: dict[str, Form[Any]] = {
    "efficacy": Form(EfficacyAsked, EfficacyTold, _efficacy, "What a treatment did."),
    "sample-size": Form(SampleSizeAsked, SampleSize, _sample_size, "How many leaves to count."),
    "sequential-test": Form(
        SequentialAsked, Sequential, _sequential, "When to stop counting, leaf by leaf."
    ),
    "presence-test": Form(
        PresenceAsked, Sequential, _presence, "When to stop looking at leaves for some or none."
    ),
    "leaves-to-find": Form(FindAsked, ToFind, _find, "How many leaves until one with some."),
    "negative-binomial": Form(
        NegativeBinomialAsked, NegativeBinomial, _negative_binomial, "How clumped counts are."
    ),
}
