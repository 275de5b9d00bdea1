"""What could explain a sighting that disagrees: the same model with one thing changed at a time.

The belief as of the look before is run on to the sighting once for each explanation, and the
probability of all that was seen since is compared. Nothing but the one thing differs, draw by
draw, so that the comparison is no worse than the model. Weights beforehand are judgement.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.cluster_runs import NEVER, enters, run_on
from lattermath.belief.cluster_sightings import Seen
from lattermath.belief.clusters import ClusterBelief
from lattermath.belief.count_likelihood import at_most
from lattermath.belief.natural_enemies import METHOD as ENEMIES
from lattermath.belief.sighting_check import few_count, normalized
from lattermath.belief.slips import slip_log_likelihood
from lattermath.belief.treatment_effect import ROW_COVERAGE, Effect
from lattermath.belief.treatment_kills import Application
from lattermath.belief.whole_insects import with_shocks

FloatArray = NDArray[np.float64]
Dice = Callable[[str], np.random.Generator]

# How usual each is beforehand, beside chance alone; judgement of the trade's own order: poor
# coverage before all, then weather, then the eye, then what flies in; resistance seldom, and
# seldomest an entry that is about something else.
USUAL = {
    "chance": 1.0,
    "undersides missed": 1.0,
    "washed off": 1.0,
    "withstood": 0.5,
    "flown in": 0.5,
    "miscounted": 0.5,
    "another pest": 0.3,
    "slip": 0.03,
    "here longer": 1.0,
    "looked elsewhere": 0.5,
    "taken": 0.3,
    "worked better": 0.5,
    "never came": 1.0,
}
# Judgement, each equally likely within its explanation.
WETTED_BELOW = (0.0, 1 / 3, 2 / 3)  # of the undersides meant to be wetted
LEFT_BY_RAIN = (0.0, 1 / 3, 2 / 3)  # of what the spray would have done
LEFT_BY_THEM = (0.0, 1 / 4, 1 / 2)  # of what it does elsewhere
SEEN_ELSEWHERE = (0.1, 0.35)  # of what the right leaves would have shown
LEFT_ALIVE = (0.05, 0.2, 0.5)  # by enemies that gathered, or a storm
WASHES_MM = 3.0  # judgement: rain of the day or the next that may have been too early
# Who looks at a planting for the first time mostly does so for what is to be seen there.
CAME_MORE = (1.0, 4.0, 16.0)
FLIGHT = (3.0, 1.5)  # judgement: adults a plant that came at once; median, sd of the log
MISCOUNT_SD = 1.0  # judgement: of a count gone wrong, log scale
WORKED_BETTER = 0.97  # place among all that a method might do
NODES, _WEIGHTS = np.polynomial.hermite_e.hermegauss(21)
LOG_WEIGHTS = np.log(_WEIGHTS / _WEIGHTS.sum())


@dataclass(frozen=True, slots=True, eq=False)
class Situation:
    """The look before, and all that was done and seen since. Days count from the belief's first.

    then     : the belief as of the look before; before the first look of all what was to be
               expected some days before it.
    stranger : one that has learnt nothing, as of the same day: what another pest might be; None
               where that is not asked.
    done     : treatments since.
    looks    : everything seen since, the sighting in question last.
    today    : day up to which everything is run.
    never    : whether it was looked for at that planting and never found there.
    longer   : of a first look, what was to be expected had it begun earlier; its days count from
               its own first, its today is that of `then`.
    """

    then: ClusterBelief
    stranger: ClusterBelief | None
    done: tuple[Application, ...]
    looks: tuple[Seen, ...]
    today: int
    longer: ClusterBelief | None = None
    never: bool = False

    @property
    def odd(self) -> Seen:
        """The sighting in question."""
        return self.looks[-1]


@dataclass(frozen=True, slots=True, eq=False)
class Explained:
    """One explanation beside the others.

    log_likelihood : of everything seen since the look before, if it is so.
    share          : probability of the explanation among those weighed. [0 to 1]
    numbers        : insects today if it is so, (n_runs, n_plantings, n_stages).
    now            : weight of each run, all that was seen counted, (n_runs,); sums to 1.
    effective      : runs that count; few make the figures rough.
    """

    key: str
    log_likelihood: float
    share: float
    numbers: FloatArray
    detection: FloatArray
    now: FloatArray
    effective: float


@dataclass(frozen=True, slots=True, eq=False)
class _Version:
    """One way in which one explanation may be so."""

    done: tuple[Application, ...]
    better: frozenset[str] = frozenset()
    extra: FloatArray | None = None  # adults from outside, (n_draws, n_days, n_plantings)
    afresh: bool = False
    slip: bool = False
    longer: bool = False
    more: float = 1.0  # times as many on the planting of the look
    none_here: bool = False
    share: float = 1.0
    miscount_sd: float = 0.0


def explained(case: Situation, dice: Dice) -> list[Explained]:
    """Every explanation that can be so here, the likeliest first; "chance" is always among them.

    Where the other looks leave few draws that count, only those at the same planting are held to
    each explanation, and not those beside it.
    """
    if few_count(normalized(_weighed(case, _Version(case.done)).log_before)):
        here = tuple(one for one in case.looks[:-1] if one.place == case.odd.place)
        case = replace(case, looks=(*here, case.odd))
    found = {
        key: [_weighed(case, version) for version in versions]
        for key, versions in _versions(case, dice).items()
        if versions
    }
    joined = [_joined(key, runs) for key, runs in found.items()]
    log = np.array([np.log(USUAL[one.key]) + one.log_likelihood for one in joined])
    shares = normalized(log)
    ranked = [replace(one, share=float(s)) for one, s in zip(joined, shares, strict=True)]
    return sorted(ranked, key=lambda one: -one.share)


def foretold(case: Situation) -> tuple[FloatArray, FloatArray]:
    """Insects expected at the sighting in question as believed, and weights of the draws.

    Both (n_draws,); the weights count what was seen since the look before, but for that sighting.
    Where they would leave few draws that count, the prediction would be narrower than the belief
    by chance alone, and the draws weigh alike: it is then the belief as of the look before.
    """
    run = _weighed(case, _Version(case.done))
    weights = normalized(run.log_before)
    if few_count(weights):
        weights = np.full(len(weights), 1 / len(weights))
    return run.expected, weights


def chances_to_see(case: Situation, looks: Sequence[Seen]) -> list[float]:
    """Chance that each of these looks, on the day of the sighting in question, shows any at all."""
    then = case.then
    sums = _run(then, _Version(case.done), case.today)[:, :, case.odd.day - then.today]
    means = [one.expected(sums[:, one.place], then.unknowns.detection) for one in looks]
    return [
        float(1 - at_most(mean, 0, one.leaves, one.spread).mean())
        for mean, one in zip(means, looks, strict=True)
    ]


def _versions(case: Situation, dice: Dice) -> dict[str, list[_Version]]:
    """The explanations that can be so at all."""
    return {
        "chance": [_Version(case.done)],
        "undersides missed": list(_treated(case, _missed, WETTED_BELOW, _is_spray)),
        "washed off": list(_treated(case, _weaker, LEFT_BY_RAIN, lambda a: _rained_on(case, a))),
        "withstood": list(_treated(case, _weaker, LEFT_BY_THEM, _is_spray)),
        "flown in": [_Version(case.done, extra=_flight(case, dice))],
        "miscounted": [_Version(case.done, miscount_sd=MISCOUNT_SD)],
        "another pest": [_Version(case.done, afresh=True)] if _another(case) else [],
        "slip": [_Version(case.done, slip=True)],
        "here longer": [_Version(case.done, longer=True, more=more) for more in CAME_MORE]
        if case.longer
        else [],
        "looked elsewhere": _elsewhere(case),
        "taken": list(_taken(case)),
        "worked better": list(_better(case)),
        "never came": [_Version(case.done, none_here=True)] if case.never else [],
    }


def _another(case: Situation) -> bool:
    """Whether what was seen may have been another insect: not where there was none to see."""
    return case.stranger is not None and not case.odd.found_none


def _is_spray(one: Application) -> bool:
    return one.effect.by_surface


def _rained_on(case: Situation, one: Application) -> bool:
    wet = np.atleast_2d(case.then.rain)[0, max(one.day, 0) : one.day + 2]
    return _is_spray(one) and bool(np.any(wet >= WASHES_MM))


def _treated(
    case: Situation,
    change: Callable[[Situation, Application, float], Application],
    sizes: Sequence[float],
    concerns: Callable[[Application], bool],
) -> Iterator[_Version]:
    """The same with every treatment of this planting since that this concerns changed.

    None where none does: what was done on other plantings, or after the look, explains nothing.
    """
    here = {id(one) for one in _of_the_look(case) if concerns(one)}
    for size in sizes if here else ():
        yield _Version(
            tuple(change(case, one, size) if id(one) in here else one for one in case.done)
        )


def _of_the_look(case: Situation) -> list[Application]:
    """Treatments of the planting looked at that the look can show.

    A day is counted before it is treated, so that those of the day of the look are not among them.
    """
    odd = case.odd
    return [one for one in case.done if odd.place in one.places and one.day < odd.day]


def _missed(case: Situation, one: Application, wetted: float) -> Application:
    """Tops wetted as they were, undersides only in part."""
    life = case.then.life
    shares = []
    for stage in life.stages:
        below, above, _ = life.figures.on_surfaces(stage)
        there = below + above
        shares.append((below * wetted + above) / there if there > 0 else 1.0)
    return replace(one, reach=one.reach * np.array(shares))


def _weaker(_: Situation, one: Application, left: float) -> Application:
    return replace(one, reach=one.reach * left)


def _flight(case: Situation, dice: Dice) -> FloatArray:
    """Adults that came to the planting on one day since the look before, a throw for each draw."""
    then, place = case.then, case.odd.place
    shape = case.then.setting.arrivals.shape
    rng = dice(f"explain|{then.organism}|flown in")
    n = then.n_draws
    median, sd = FLIGHT
    number = then.stands[place].plants * median * np.exp(sd * rng.standard_normal(n))
    day = rng.integers(then.today, max(case.odd.day, then.today + 1), n)
    extra = np.zeros((n, shape[1], shape[2]))
    extra[np.arange(n), day, place] = number
    return extra


def _elsewhere(case: Situation) -> list[_Version]:
    if case.odd.measure not in ("count", "some") or case.odd.of_all_there:
        return []  # who looked at all there are has looked at theirs
    return [_Version(case.done, share=share) for share in SEEN_ELSEWHERE]


def _taken(case: Situation) -> Iterator[_Version]:
    """All stages on the planting cut down half way between the looks."""
    then = case.then
    day = (then.today + case.odd.day) // 2
    for left in LEFT_ALIVE:
        share = (1 - left,) * 3
        cut = Effect("", dict.fromkeys(then.life.stages, share), by_surface=False)
        whole = np.ones(len(then.life.stages))
        yield _Version((*case.done, Application(day, cut, (case.odd.place,), whole)))


def _better(case: Situation) -> Iterator[_Version]:
    """The treatments of this planting taking the most of their kind, as much wetted as was thought
    or all of it."""
    here = [one for one in _of_the_look(case) if one.effect.method != ENEMIES]
    methods = frozenset(one.effect.method for one in here)
    if not here:
        return
    yield _Version(case.done, better=methods)
    sprays = {id(one) for one in here if _is_spray(one)}
    if sprays:
        done = (_all_wetted(one) if id(one) in sprays else one for one in case.done)
        yield _Version(tuple(done), better=methods)


def _all_wetted(one: Application) -> Application:
    """Every leaf wetted on the sides that were sprayed, however much was thought to be."""
    most = float(one.reach.max())
    return one if most <= 0 else replace(one, reach=one.reach * max(1 / (ROW_COVERAGE * most), 1))


@dataclass(frozen=True, slots=True, eq=False)
class _Weighed:
    """One version run: what it expects, and what all that was seen says of it."""

    numbers: FloatArray
    expected: FloatArray
    log_before: FloatArray
    log_now: FloatArray
    detection: FloatArray


def _weighed(case: Situation, version: _Version) -> _Weighed:
    then, odd = case.then, case.odd
    sums = _began_earlier(case) if version.longer else _run(then, version, case.today)
    if version.afresh and case.stranger is not None:
        other = _run(case.stranger, _Version(()), case.today)
        sums = sums.copy()
        sums[:, odd.place] = other[:, odd.place]
    if version.more != 1.0:
        sums = sums.copy()
        sums[:, odd.place] *= version.more
    if version.none_here:
        sums = sums.copy()
        sums[:, odd.place] = 0.0
    detection = then.unknowns.detection
    log = np.zeros(then.n_draws)
    for one in case.looks[:-1]:
        log += one.log_likelihood(sums[:, one.place, one.day - then.today], detection)
    seen = replace(odd, share=odd.share * version.share)
    expected = seen.expected(sums[:, odd.place, odd.day - then.today], detection)
    away = version.miscount_sd * NODES
    told = seen.of_expected(expected[:, None] * np.exp(away)) + LOG_WEIGHTS
    now = log + np.logaddexp.reduce(told, axis=1)
    if version.slip:
        now = log + slip_log_likelihood(odd)
    return _Weighed(sums[:, :, -1], expected, log, now, detection)


def _began_earlier(case: Situation) -> FloatArray:
    """The same where it began earlier; by day from the day of `then` too."""
    longer = case.longer
    assert longer is not None  # no such version without it
    shift = longer.today - case.then.today
    done = tuple(replace(one, day=one.day + shift) for one in case.done)
    return _run(longer, _Version(done), case.today + shift)


def _run(then: ClusterBelief, version: _Version, today: int) -> FloatArray:
    """Insects by draw, planting, day from the look before and stage."""
    setting, n = then.setting, then.n_draws
    if version.extra is not None:
        arrivals = (setting.arrivals + version.extra).astype(np.float32)
        setting = replace(setting, arrivals=arrivals)
    best = dict.fromkeys(version.better, np.full(n, WORKED_BETTER))
    quantiles = {**then.unknowns.quantiles, "": np.full(n, 0.5), **best}
    kills = then.kills(version.done, replace(then.unknowns, quantiles=quantiles))
    # What is thrown of the days to come is thrown for what stands there, and not for what comes.
    come = enters(then.stands, then.first_day)
    new = (come > then.today) & (come <= today)
    coming = np.where(new[:, None], np.float32(1.0), then.coming)
    run = run_on(
        then.cycle,
        setting,
        then.state.astype(np.float64),
        np.zeros(then.state.shape) if then.brought is None else then.brought,
        np.where(new, come, NEVER),
        with_shocks(kills, coming, then.today),
        (then.today, today),
    )
    return run.sums.astype(np.float64)


def _joined(key: str, runs: Sequence[_Weighed]) -> Explained:
    """The versions of one explanation as one; each draw of each weighs alike beforehand."""
    log_now = np.concatenate([run.log_now for run in runs])
    now = normalized(log_now)
    return Explained(
        key,
        float(np.logaddexp.reduce(log_now) - np.log(len(log_now))),
        0.0,
        np.concatenate([run.numbers for run in runs]),
        np.concatenate([run.detection for run in runs]),
        now,
        float(1 / (now**2).sum()),
    )
