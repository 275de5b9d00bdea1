"""What is probably true today of one leaf disease on the plantings it spreads between."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.cluster_unknowns import Dice
from lattermath.belief.infection_weather import (
    Nights,
    by_lean,
    dry_response,
    infection_response,
    ripening_response,
)
from lattermath.belief.leaf_covers import (
    GROWTH,
    Covered,
    LeafApplication,
    Work,
    covered,
    leaf_work,
)
from lattermath.belief.leaf_disease_sightings import LeafSeen, LeafStand
from lattermath.belief.leaf_drift import alike, bent, by_chance, coming, filtered, thrown
from lattermath.belief.leaf_unknowns import LeafNames, LeafUnknowns
from lattermath.belief.tempering import Sampled, sample
from lattermath.knowledge.diseases import Disease
from lattermath.science.leaf_disease import (
    LATENT_CLASSES,
    LeafPace,
    LeafWork,
    run_leaf_disease,
)

FloatArray = NDArray[np.float64]

N_PARTICLES = 512  # as for insects
LOOK_BACK_DAYS = 14  # judgement: two latent periods before the first sighting


def evenly(n_draws: int, most: int) -> slice:
    """At most so many draws, evenly taken."""
    return slice(None, None, max(-(-n_draws // most), 1))


@dataclass(frozen=True, slots=True, eq=False)
class LeafSky:
    """Weather by day: temperatures (n_futures, n_days), pairing (n_draws,).

    rain   : (n_days,) or (n_futures, n_days), over which deposits are averaged. [mm]
    nights : wetness of the same days, one for all plantings or one for each; None will do for a
        disease that needs none.
    pace   : how fast light and warmth wear deposits down, by driver, (n_days,) each.
    """

    t_min: FloatArray
    t_max: FloatArray
    rain: FloatArray
    future_of_draw: NDArray[np.int64]
    today: int
    nights: tuple[Nights, ...] | None = None
    pace: Mapping[str, FloatArray] = field(default_factory=dict)

    def past(self, days: slice) -> tuple[FloatArray, dict[str, FloatArray]]:
        """Rain and paces of some days; those that are past are alike in all futures."""
        rain = self.rain if self.rain.ndim == 1 else self.rain[0]
        return rain[days], {driver: speed[days] for driver, speed in self.pace.items()}


@dataclass(frozen=True, slots=True, eq=False)
class LeafBelief:
    """The disease in every draw. Days count from `first_day`; severities are shares of the leaf.

    state, hidden : colonies and latent infection this morning, (n_draws, n_plantings, 2[, 3]).
    past          : severities by day to today, (n_draws, n_plantings, today + 1, 2).
    response      : share of the best weather, (n_draws, n_plantings or 1, n_days).
    ripening      : pace of the latent period, (n_draws, n_days); None: as the response.
    chance        : throws of the days to come, standard normal, (n_draws, n_plantings, n_days).
    """

    disease: Disease
    stands: tuple[LeafStand, ...]
    first_day: int
    today: int
    response: FloatArray
    rain: FloatArray
    state: FloatArray
    hidden: FloatArray
    past: FloatArray
    unknowns: LeafUnknowns
    applied: tuple[LeafApplication, ...]
    evidence: float
    serials: tuple[int, ...]
    ripening: FloatArray | None = None
    spared: float = 0.0  # share of the leaf that by its age takes no infection
    pace: Mapping[str, FloatArray] = field(default_factory=dict)
    chance: FloatArray | None = None

    @property
    def n_draws(self) -> int:
        """Number of draws."""
        return int(self.state.shape[0])

    def thinned(self, most: int) -> LeafBelief:
        """The same with at most so many draws, evenly taken, for searching."""
        few = evenly(self.n_draws, most)
        own = self.unknowns
        unknowns = LeafUnknowns(
            own.start[few],
            own.rate[few],
            own.latent[few],
            own.crossing[few],
            own.arriving[few],
            {method: quantile[few] for method, quantile in own.quantiles.items()},
            own.lean[few],
            own.eye[few],
        )
        return replace(
            self,
            response=self.response[few],
            ripening=None if self.ripening is None else self.ripening[few],
            state=self.state[few],
            hidden=self.hidden[few],
            past=self.past[few],
            chance=None if self.chance is None else self.chance[few],
            unknowns=unknowns,
        )

    def ahead(self, planned: Sequence[LeafApplication] = ()) -> FloatArray:
        """Severities from today to the end, (n_draws, n_plantings, n_days + 1, 2)."""
        return LeafAhead.of(self).run(planned)

    def even_past(self) -> FloatArray:
        """Severities by day to today by the even course, without wandering, shaped as `past`."""
        days, ripe = slice(self.today), self.ripening
        work = leaf_work(
            self.applied,
            self.unknowns.quantiles,
            (self.rain if self.rain.ndim == 1 else self.rain[0])[days],
            self.unknowns.start.shape[:2],
            {driver: speed[days] for driver, speed in self.pace.items()},
        )
        ripe = None if ripe is None else ripe[:, days]
        weather = self.response[..., days]
        return _run(self.unknowns, weather, ripe, work, self.stands, self.spared)[0]

    def by_chance(self, ahead: FloatArray) -> FloatArray:
        """What `ahead` gave, with what chance adds on the way; the same for every plan.

        Courses are searched and compared on even courses; what is told of them comes by chance.
        """
        return ahead if self.chance is None else by_chance(ahead, self.chance)


@dataclass(frozen=True, slots=True, eq=False)
class LeafAhead:
    """The days from today on, ready to be run under one plan after another.

    base   : work of what was done already.
    covers : cover of each treatment that was tried, by what it is; kept, since a search tries the
        same ones again and again.
    """

    belief: LeafBelief
    pace: LeafPace
    base: LeafWork
    covers: dict[tuple[object, ...], Covered] = field(default_factory=dict)

    @classmethod
    def of(cls, belief: LeafBelief) -> LeafAhead:
        """Ready to run what is believed on from today."""
        days = slice(belief.today, belief.response.shape[-1])
        quantiles = belief.unknowns.quantiles
        work = leaf_work(
            belief.applied, quantiles, belief.rain, belief.state.shape[:2], belief.pace
        )
        ripening = None if belief.ripening is None else belief.ripening[:, days]
        response = belief.response[..., days]
        pace = _pace(belief.unknowns, response, belief.stands, ripening, belief.spared)
        back = None if work.back is None else work.back[days]
        return cls(belief, pace, LeafWork(work.cure[days], work.cover[days], back))

    def run(self, planned: Sequence[LeafApplication] = ()) -> FloatArray:
        """Severities from today to the end, (n_draws, n_plantings, n_days + 1, 2)."""
        belief, today = self.belief, self.belief.today
        work = Work.on(self.base)
        for one in planned:
            key = (one.effect.method, one.day, one.reach)
            if key not in self.covers:
                self.covers[key] = covered(one, belief.unknowns.quantiles, belief.rain, belief.pace)
            if 0 <= one.day - today < len(self.base.cure):
                work.add(one.day - today, one.places, self.covers[key])
        return run_leaf_disease(self.pace, belief.state, belief.hidden, work.done())[0]


def believe_leaf_disease(
    disease: Disease,
    stands: Sequence[LeafStand],
    sky: LeafSky,
    seen: Sequence[LeafSeen],
    applied: Sequence[LeafApplication],
    methods: Sequence[str],
    dice: Dice,
    remember: Callable[[Callable[[], Sampled]], Sampled] = lambda work: work(),
    spared: float = 0.0,
    *,
    learns: bool = True,
) -> LeafBelief:
    """Weigh everything seen and done, and bring the draws to this morning.

    methods  : methods that may be used later; dice : named streams, as for insects.
    remember : gives what the sampling gave before on the same evidence, or does it.
    spared   : share of the leaf that by its age takes no infection.
    learns   : False leaves the unknowns as they were before anything was seen.
    """
    if not seen:
        raise ValueError("a disease is believed from its first sighting on")
    first = max(0, min(one.day for one in seen) - LOOK_BACK_DAYS)
    done = tuple(replace(a, day=a.day - first) for a in applied if a.day >= first)
    told = [replace(s, day=s.day - first) for s in seen] if learns else []
    names = LeafNames.of(disease, stands, methods, done)
    response, ripening = _responses(disease, sky, first)
    today = sky.today - first

    def run(
        unknowns: LeafUnknowns, weather: FloatArray, ripe: FloatArray | None
    ) -> tuple[FloatArray, FloatArray]:
        days = slice(first, first + weather.shape[-1])
        return _run(unknowns, weather, ripe, _past_work(done, unknowns, sky, days), stands, spared)

    def fit(z: FloatArray) -> FloatArray:
        unknowns = names.meaning(z)
        past = by_lean(response[:, :1, ..., :today], unknowns.lean)
        ripe = None if ripening is None else np.repeat(ripening[:1, :today], len(z), axis=0)
        return filtered(told, run(unknowns, past, ripe)[0], unknowns.eye).log_likelihood

    prior, moves = names.throw(dice, N_PARTICLES), dice(f"mildew|{disease.id}|moves")
    found = remember(lambda: sample(prior, fit, moves, names.layout))
    chosen = np.linspace(0, N_PARTICLES - 1, len(sky.future_of_draw)).round().astype(int)
    unknowns = names.meaning(found.unknowns[chosen])
    by_draw = by_lean(response[:, sky.future_of_draw], unknowns.lean)
    ripe = None if ripening is None else ripening[sky.future_of_draw]
    even, hidden = run(unknowns, by_draw[..., :today], None if ripe is None else ripe[:, :today])
    streams = [f"mildew|{disease.id}|drift|{stand.key}" for stand in stands]
    wandered = filtered(told, even, unknowns.eye)
    severity = bent(even, thrown(wandered, today, [*map(dice, streams)]))
    return LeafBelief(
        disease,
        tuple(stands),
        first,
        today,
        by_draw,
        sky.rain[..., first:],
        severity[:, :, -1],
        alike(hidden, even[:, :, -1], severity[:, :, -1]),
        severity,
        unknowns,
        done,
        found.evidence,
        tuple(sorted({one.serial for one in seen})),
        ripe,
        spared,
        sky.past(slice(first, None))[1],
        coming([dice(f"{one}|coming") for one in streams], len(even), by_draw.shape[-1] - today),
    )


def _run(
    unknowns: LeafUnknowns,
    weather: FloatArray,
    ripe: FloatArray | None,
    work: LeafWork,
    stands: Sequence[LeafStand],
    spared: float,
) -> tuple[FloatArray, FloatArray]:
    """Severities and latent infection of the days of this weather, from the start."""
    none = np.zeros((*unknowns.start.shape, LATENT_CLASSES))
    pace = _pace(unknowns, weather, stands, ripe, spared)
    return run_leaf_disease(pace, unknowns.start, none, work)


def _past_work(
    done: Sequence[LeafApplication], unknowns: LeafUnknowns, sky: LeafSky, days: slice
) -> LeafWork:
    """What was done, over some days that are past."""
    rain, fading = sky.past(days)
    return leaf_work(done, unknowns.quantiles, rain, unknowns.start.shape[:2], fading)


def _responses(disease: Disease, sky: LeafSky, first: int) -> tuple[FloatArray, FloatArray | None]:
    """Infection by lean, future, planting (or one for all) and day; and the pace of latency.

    The pace is None where the response is its own.
    """
    t_min, t_max = sky.t_min[:, first:], sky.t_max[:, first:]
    if not disease.spread_by_wet_leaves:
        return dry_response(disease, t_min, t_max)[:, :, None], None
    found = {id(one): infection_response(disease, one) for one in sky.nights or ()}
    each = [found[id(one)] for one in sky.nights or ()]
    whole = [one[:, :, first:] for one in each if one is not None]
    if not whole or len(whole) < len(each):
        raise ValueError(f"{disease.id}: the table does not say what weather lets it in")
    whole = whole[:1] if len(found) == 1 else whole
    return np.stack(whole, axis=2), ripening_response(disease, t_min, t_max)


def _pace(
    unknowns: LeafUnknowns,
    response: FloatArray,
    stands: Sequence[LeafStand],
    ripening: FloatArray | None,
    spared: float,
) -> LeafPace:
    """Pace of every planting; a less suitable host takes fewer infections."""
    suits = np.array([stand.suits for stand in stands])
    return LeafPace(
        unknowns.rate,
        unknowns.latent,
        unknowns.crossing,
        response,
        np.full(response.shape[-1], GROWTH),
        unknowns.arriving[:, None] * suits,
        suits,
        ripening,
        np.full(response.shape[-1], spared),
    )
