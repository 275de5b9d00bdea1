"""A disease on the two surfaces of the leaf, day by day."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from lattermath.science.development import day_temperatures, thermal_response
from lattermath.science.leaf_days import infect

FloatArray = NDArray[np.float64]

TOP, UNDERSIDE = 0, 1
LATENT_CLASSES = 3  # judgement: latent periods from 3 days on, in steps of a day


@dataclass(frozen=True, slots=True, eq=False)
class LeafPace:
    """How fast one disease goes. Shapes (n_draws,) but for the responses.

    rate      : apparent rate of increase in the best weather, while little leaf is taken. [1/d]
    latent    : days from infection to a colony that sheds spores, in the best weather. [d]
    crossing  : share of spores that infect the other surface. [0 to 1]
    response  : share of the best weather for infection, (n_draws, n_days), or by planting,
        (n_draws, n_plantings, n_days). [0 to 1]
    growth    : new leaf a day as a share of the leaf there is, (n_days,). [1/d]
    arriving  : new infection from outside a day, per bare leaf, (n_draws, n_plantings). [1/d]
    suits     : infections taken by each planting beside the worst host, (n_plantings,). [0 to 1]
    ripening  : pace of the latent period beside the best, (n_draws, n_days), or None: as the
        response, which is then one for all plantings. [0 to 1]
    spared    : share of the leaf that by its age takes no infection, (n_days,), below 1; None:
        leaf of any age takes it. The rate is that of a young epidemic on all leaf. [0 to 1]
    """

    rate: FloatArray
    latent: FloatArray
    crossing: FloatArray
    response: FloatArray
    growth: FloatArray
    arriving: FloatArray
    suits: FloatArray
    ripening: FloatArray | None = None
    spared: FloatArray | None = None


@dataclass(frozen=True, slots=True, eq=False)
class LeafWork:
    """Treatments, by day of the run and surface.

    cure  : share of colonies collapsed, (n_days, n_draws, n_plantings, 2). [0 to 1]
    cover : share of infections blocked by what is on the leaf, same shape. [0 to 1]
    back  : share of the youngest infections undone inside the leaf, alike, or None. [0 to 1]
    """

    cure: FloatArray
    cover: FloatArray
    back: FloatArray | None = None


def warmth_response(
    t_min: ArrayLike, t_max: ArrayLike, low: float, best: float, high: float
) -> FloatArray:
    """Share of the best day for infection, averaged over the day. [0 to 1], shape as given

    low, best, high : temperatures with no, most and again no infection. [C]

    Humidity is left out on purpose: infection happens below 50 % as well.
    """
    return np.asarray(thermal_response(day_temperatures(t_min, t_max), low, best, high).mean(-1))


def contagion(rate: FloatArray, latent: FloatArray) -> FloatArray:
    """New infection a day per diseased leaf that makes young colonies grow at `rate`. [1/d]

    With k latent classes of which a share s = k / latent ripens each day, growth by exp(r) a day
    needs

        b = (exp(r) - 1) ((exp(r) - 1 + s) / s)^k

    Source: chain form of the latent period in steps of a day (derived here).
    """
    daily = np.expm1(rate)
    ripening = np.minimum(LATENT_CLASSES / latent, 1.0)
    return np.asarray(daily * ((daily + ripening) / ripening) ** LATENT_CLASSES)


def cover_over_days(first_cover: ArrayLike, deposit: FloatArray, growth: FloatArray) -> FloatArray:
    """Protection left on the leaf from the day of spraying on. [0 to 1], (..., n_days)

    first_cover : share blocked on the first day, shape (...,). [0 to 1]
    deposit     : share of it left each day (`deposits.deposit_left`), (n_days,). [0 to 1]
    growth      : new leaf a day as a share of the leaf there is, (n_days,); it is bare. [1/d]
    """
    thinned = np.concatenate([[1.0], np.cumprod(1.0 / (1.0 + growth))[:-1]])
    return np.asarray(np.asarray(first_cover, dtype=np.float64)[..., None] * (deposit * thinned))


def run_leaf_disease(
    pace: LeafPace, start: FloatArray, latent_start: FloatArray, work: LeafWork
) -> tuple[FloatArray, FloatArray]:
    """Severity by day and the latent infections at the end.

    pace         : how fast the disease goes in this weather.
    start        : share of leaf with colonies, (n_draws, n_plantings, 2). [0 to 1]
    latent_start : share infected and not yet to be seen, (n_draws, n_plantings, 2, 3).
                   [0 to 1]
    work         : what treatments do, by day.

    Gives severities as found on each day before that day's treatment,
    (n_draws, n_plantings, n_days + 1, 2), and latent infections shaped as `latent_start`.

    Source: logistic growth with a latent period (Vanderplank; textbook), surfaces apart.
    Holds for: diseases that spread from leaf to leaf; the two surfaces never sum to more than two.
    """
    seen, hidden = start.astype(np.float64, order="C"), latent_start.astype(np.float64, order="C")
    n_days = pace.response.shape[-1]
    out = np.empty((*start.shape[:2], n_days + 1, 2))
    response = pace.response if pace.response.ndim == 3 else pace.response[:, None]
    response = np.broadcast_to(response, (*start.shape[:2], n_days))
    ripening = response[:, 0] if pace.ripening is None else pace.ripening
    back = np.zeros_like(work.cure) if work.back is None else work.back
    spared = np.zeros(n_days) if pace.spared is None else pace.spared
    daily = (pace.latent, pace.arriving, pace.suits, response, ripening)
    spread = contagion(pace.rate, pace.latent)
    rows = (spread, pace.crossing, *daily, work.cure, work.cover, back, pace.growth, spared)
    infect(seen, hidden, *map(_plain, rows), out)  # type: ignore[call-arg]
    return out, hidden


def _plain(rows: FloatArray) -> FloatArray:
    """The rows as the compiled loop was compiled for: one kind of array, one kind of number."""
    return np.ascontiguousarray(rows, dtype=np.float64)
