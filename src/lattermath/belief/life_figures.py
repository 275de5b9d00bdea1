"""Reads one organism's table row into the figures that the population kernels ask for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.card_catch import catch_of
from lattermath.belief.laying_age import laid_by_parts
from lattermath.belief.life_limits import Heat, frost_days, heat_of
from lattermath.belief.measured_life import measured_rates, wait_days, wait_heat
from lattermath.belief.stage_deaths import StageDeaths, stage_deaths
from lattermath.knowledge.crosswalk import Crosswalk
from lattermath.knowledge.organisms import Habits, Organism
from lattermath.science.development import by_temperature
from lattermath.vocabulary.errors import Fault, InputError
from lattermath.vocabulary.figure import Figure

BEND_C = 6.0  # judgement: rates leave the straight line this far below the upper threshold
LAYING_REFERENCE_C = 25.0  # temperature of most lifetime-egg figures of the table
LAYING_BELOW_BEST_C = 3.0  # judgement: laying is best this far below the best for increase
UNKNOWN_SURVIVAL = 0.5  # judgement, where the table has no survival from egg to adult
UNKNOWN_FEMALE = 0.5  # judgement, where the table has no share of females
UNKNOWN_FLIGHT_BELOW_C = 12.0  # judgement, after the greenhouse whitefly's 12.3 C
FIELD_AS_IT_STANDS_LOW = 0.4  # judgement: field figures of one place beside those of another
# Judgement: shares of new and of laying adults that change plant on a warm day, for whiteflies.
UNKNOWN_MOVES = (0.8, 0.04)
UNKNOWN_FLIGHT_M = 1.25  # judgement: the greenhouse whitefly stands in for small insects


@dataclass(frozen=True, slots=True)
class HostTerms:
    """What one host makes of the organism, against the best host = 1.

    laying   : eggs that live, as a share of the best host's. [0 to 1]
    said     : the table's own word for the host, as a share of its best host's. [0 to 1]
    eggs     : lifetime eggs of one female. [eggs]
    survival : from egg to adult at 25 C without enemies, relative to the general figure. [1]
    adult    : adult life, relative to the general figure. [1]
    pace     : egg-to-adult days, relative to the general line. [1]
    """

    laying: float
    eggs: float
    survival: float
    adult: float
    pace: float
    said: float = 1.0


Shares: TypeAlias = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class LifeFigures:
    """The life of one organism in plain figures. C, days, C d; per female where eggs are meant.

    shares      : share of the development from egg (or birth) to adult, by immature stage.
    regressions : rival lines (base, dd) that span what laboratories found.
    survival    : egg to adult by temperature; one point where the table has one figure.
    adult_life  : days by temperature; one point where the table has one figure.
    laying      : no eggs below, best, no eggs above; None where laying keeps step with
                  development. [C]
    laid_by_age : eggs a day in equal parts of the laying life beside its mean. [1]
    frost_days  : days at -3 C that leave a tenth of each stage, the adult last; inf: no frost does.
    heat        : what heat beyond the survival figures does.
    deaths      : how the deaths fall on the stages.
    measured    : share of the development a day at measured temperatures [C, 1/d]; empty where
                  the table has too few of them, and the line rules alone.
    wait_heat   : base and heat of the wait before laying [C, C d]; None: it keeps step with growth.
    moves       : shares of new and of laying adults that change plant on a warm day. [0 to 1]
    put_up      : share of the adults that work on their plant puts up. [0 to 1]
    rests_on    : addresses of the figures used.
    card_catch  : adults on a sticky card in a day where one lives a plant; None: cards say nothing.
    """

    organism: str
    shares: Mapping[str, float]
    adult: str
    live_bearing: bool
    lower: float
    total_dd: float
    upper: float
    regressions: tuple[tuple[float, float], ...]
    cv: float
    host_cv: float
    survival: tuple[tuple[float, float], ...]
    field_survival: Figure
    adult_life: tuple[tuple[float, float], ...]
    wait_days: float
    laying: tuple[float, float, float] | None
    laid_by_age: tuple[float, ...]
    best_eggs: float
    female: float
    hosts: Mapping[str, float]
    habits: Habits
    host_eggs: Mapping[str, float] = field(default_factory=dict)
    host_survival: Mapping[str, float] = field(default_factory=dict)
    host_adult: Mapping[str, float] = field(default_factory=dict)
    host_pace: Mapping[str, float] = field(default_factory=dict)
    frost_days: tuple[float, ...] = ()
    heat: Heat = field(kw_only=True)
    deaths: StageDeaths = field(kw_only=True)
    flight_below_c: float = UNKNOWN_FLIGHT_BELOW_C
    flight_m: float = UNKNOWN_FLIGHT_M
    moves: tuple[float, float] = UNKNOWN_MOVES
    flushed: float = 0.8
    put_up: float = 0.0
    to_neighbour: float = 0.2
    measured: tuple[tuple[float, float], ...] = ()
    wait_heat: tuple[float, float] | None = None
    rests_on: tuple[str, ...] = ()
    card_catch: float | None = None
    _sits: dict[str, Shares] = field(default_factory=dict, init=False, compare=False, repr=False)

    @property
    def stages(self) -> tuple[str, ...]:
        """Stages in order of life, the adult last."""
        return (*self.shares, self.adult)

    def on_surfaces(self, stage: str) -> Shares:
        """Shares of a stage on undersides, on tops, and within reach at all. [0 to 1]"""
        if stage not in self._sits:  # asked by every treatment of every course
            self._sits[stage] = self.habits.on_surfaces(stage)
        return self._sits[stage]

    def appetite(self, stage: str) -> float:
        """What one insect of a stage eats a day, where one feeding young eats 1."""
        return self.habits.appetite(stage)

    @property
    def appetites(self) -> NDArray[np.float64]:
        """The same of every stage, (n_stages,)."""
        return np.array([self.appetite(stage) for stage in self.stages])

    def host(self, word: str, crosswalk: Crosswalk) -> HostTerms | None:
        """Terms of a host or crop id; None when the tables give it no suitability."""
        named = crosswalk.host(word, self.hosts)
        if named is None or self.hosts[named] <= 0:
            return None
        eggs = _of(self.host_eggs, word, crosswalk, self.hosts[named] * self.best_eggs)
        survival = _of(self.host_survival, word, crosswalk, 1.0)
        best = max(
            (self.host_eggs.get(h, s * self.best_eggs) * self.host_survival.get(h, 1.0))
            for h, s in self.hosts.items()
        )
        return HostTerms(
            laying=min(eggs * survival / best, 1.0),
            eggs=eggs,
            survival=survival,
            adult=_of(self.host_adult, word, crosswalk, 1.0),
            pace=_of(self.host_pace, word, crosswalk, 1.0),
            said=self.hosts[named] / max(self.hosts.values()),
        )


def _of(figures: Mapping[str, float], word: str, crosswalk: Crosswalk, default: float) -> float:
    named = crosswalk.host(word, figures)
    return default if named is None else figures[named]


def read_life(organism: Organism, defaults: Mapping[str, Figure], habits: Habits) -> LifeFigures:
    """Figures of one organism; InputError when its row is too thin for a population.

    defaults : the figures of row `defaults` of the pest constants.
    habits   : how it sits and feeds.
    """
    shares, total = _shares_and_heat(organism)
    lower, upper = organism.lower_c.value, organism.upper_c.value
    survival = _survival(organism)
    eggs, host_eggs = _eggs(organism)
    adult_life, host_adult = _adult_life(organism)
    row = organism.row
    return LifeFigures(
        organism=organism.id,
        shares=shares,
        adult=next(s for s in organism.stages if s.startswith("adult")),
        live_bearing=organism.live_bearing,
        lower=lower,
        total_dd=total,
        upper=upper,
        regressions=_regressions(organism),
        cv=defaults["spread_cv_development"].value,
        host_cv=defaults["host_effect_on_duration_cv"].value,
        survival=survival,
        field_survival=_outdoors(defaults["field_survival_penalty"], habits),
        adult_life=adult_life,
        wait_days=wait_days(organism),
        laying=_laying_window(organism),
        laid_by_age=laid_by_parts(habits.lays_most_at),
        best_eggs=eggs,
        female=1.0 if organism.live_bearing else _or(organism.female_fraction, UNKNOWN_FEMALE),
        hosts={word: f.value for word, f in organism.hosts.items()},
        host_eggs=host_eggs | {host: share * eggs for host, share in habits.in_flower.items()},
        host_survival=_host_survival(organism, survival),
        host_adult=host_adult,
        host_pace=_host_pace(organism, lower, total),
        frost_days=frost_days(organism.stages, habits),
        heat=heat_of(organism, habits, survival),
        deaths=stage_deaths(habits, shares, survival),
        flight_below_c=_or(
            row.find("dispersal.no_flight_below_c") or habits.moves_above_c, UNKNOWN_FLIGHT_BELOW_C
        ),
        flight_m=_or(row.find("dispersal.mean_distance_m") or habits.moves_m, UNKNOWN_FLIGHT_M),
        moves=_moves(habits),
        flushed=_or(row.find("disturbance.flush_fraction"), 0.8),
        put_up=_or(row.find("disturbance.flush_fraction") or habits.put_up, 0.0),
        to_neighbour=_or(row.find("disturbance.to_neighbour_fraction"), 0.2),
        habits=habits,
        wait_heat=wait_heat(organism),
        measured=measured_rates(organism),
        rests_on=_addresses(organism),
        card_catch=catch_of(organism),
    )


def _outdoors(penalty: Figure, habits: Habits) -> Figure:
    """Survival outdoors beside the table's figure; those that stand for the field keep theirs."""
    if not habits.survives_as_in_the_field:
        return penalty
    return replace(penalty, value=0.9, low=FIELD_AS_IT_STANDS_LOW, high=1.0)


def _moves(habits: Habits) -> tuple[float, float]:
    new, laying = (_or(f, u) for f, u in zip(habits.moves, UNKNOWN_MOVES, strict=True))
    return new, laying


def _or(figure: Figure | None, default: float) -> float:
    return default if figure is None else figure.value


def _addresses(organism: Organism) -> tuple[str, ...]:
    used = (organism.lower_c, organism.upper_c, organism.total_dd, organism.survival_egg_adult)
    return tuple(f"table:{figure.address}" for figure in used if figure is not None)


def _shares_and_heat(organism: Organism) -> tuple[dict[str, float], float]:
    """Share of each immature stage, and the heat of all of them."""
    row = organism.row
    immature = [stage for stage in organism.stages if not stage.startswith("adult")]
    heat = {s: f.value for s, f in organism.stage_dd.items() if s in immature}
    if organism.stage_fraction:
        raw = {s: f.value for s, f in organism.stage_fraction.items()}
    elif heat:
        raw = heat
    else:
        raw = {s: row.figure(f"instar_dd.dd[{n}]").value for n, s in enumerate(immature)}
    shares = _split(organism, immature, raw)
    total = organism.total_dd.value if organism.total_dd else sum(heat.values())
    egg = row.find("egg_dd")
    if egg is not None and row.figure("egg_dd.base").value == organism.lower_c.value:
        rest = sum(share for stage, share in shares.items() if stage != "egg")
        shares = {s: (1 - egg.value / total) * share / rest for s, share in shares.items()}
        shares["egg"] = egg.value / total
    return shares, total


def _split(organism: Organism, immature: list[str], raw: Mapping[str, float]) -> dict[str, float]:
    """Shares of the listed stages; a figure for `larva` is shared out among larva1, larva2 ..."""
    shares: dict[str, float] = {}
    for key, value in raw.items():
        members = [key] if key in immature else [s for s in immature if s.startswith(key)]
        if not members:
            raise InputError(Fault("a stage share has no stage", organism.id, key))
        weights = [
            _or(organism.row.find(f"{key}_instar_days_19c.d[{n}]"), 1.0)
            for n in range(len(members))
        ]
        shares |= {s: value * w / sum(weights) for s, w in zip(members, weights, strict=True)}
    if set(shares) != set(immature):
        missing = ", ".join(sorted(set(immature) - set(shares)))
        raise InputError(Fault("stages without a share of development", organism.id, missing))
    total = sum(shares.values())
    return {stage: shares[stage] / total for stage in immature}


def _regressions(organism: Organism) -> tuple[tuple[float, float], ...]:
    row = organism.row
    found = []
    for n in range(row.numbered("published_regressions")):
        at = f"published_regressions[{n}]"
        found.append((row.figure(f"{at}.base").value, row.figure(f"{at}.dd").value))
    return tuple(found)


def _survival(organism: Organism) -> tuple[tuple[float, float], ...]:
    by_t = sorted((t, f.value) for t, f in organism.survival_by_t.items())
    if by_t:
        return tuple(by_t)
    one = organism.survival_egg_adult or organism.row.find("survival_egg_adult.leaf")
    return ((LAYING_REFERENCE_C, _or(one, UNKNOWN_SURVIVAL)),)


def _eggs(organism: Organism) -> tuple[float, dict[str, float]]:
    """Lifetime eggs on the best host, and by host where the table has them.

    Aphids are reckoned from young a day and the heat of an adult life, which belong together.
    """
    life_dd, daily = organism.row.find("adult_life_dd"), organism.eggs_per_day
    if life_dd is not None and daily is not None:
        base = organism.row.figure("adult_life_dd.base").value
        return daily.value * life_dd.value / (LAYING_REFERENCE_C - base), {}
    by = {k: f.value for k, f in organism.lifetime_eggs_by.items()}
    hosts = {k: v for k, v in by.items() if k in organism.hosts}
    if hosts:
        return max(hosts.values()), hosts
    if organism.lifetime_eggs is not None:
        return organism.lifetime_eggs.value, {}
    for key in ("field", "t30", "t25", "t20", "lab", "cabbage_leaf"):
        if key in by:
            return by[key], {}
    raise InputError(Fault("the table has no lifetime eggs", organism.id, ""))


def _adult_life(organism: Organism) -> tuple[tuple[tuple[float, float], ...], dict[str, float]]:
    """Adult days by temperature, and by host relative to their geometric mean."""
    row = organism.row
    life_dd = row.find("adult_life_dd")
    if life_dd is not None:
        base = row.figure("adult_life_dd.base").value
        warm = [t for t in (15.0, 20.0, 25.0, 30.0) if t > base]
        return tuple((t, life_dd.value / (t - base)) for t in warm), {}
    by = row.under("adult_longevity_days")
    at_25 = {k: f.value for k, f in row.under("adult_longevity_days.female_25c").items()}
    middle = float(np.exp(np.mean(np.log(list(at_25.values()))))) if at_25 else 0.0
    hosts = {k: v / middle for k, v in at_25.items()}
    if organism.adult_longevity_days is not None:
        return ((LAYING_REFERENCE_C, organism.adult_longevity_days.value),), hosts
    points = sorted(
        (float(key.split("_")[-1].strip("tc")), figure.value)
        for key, figure in by.items()
        if key.removeprefix("female_").strip("tc").isdigit()
    )
    if points and middle:
        scale = middle / float(by_temperature(LAYING_REFERENCE_C, points))
        points = [(t, d * scale) for t, d in points]
    if points:
        return tuple(points), hosts
    one = by.get("female") or by.get("reproductive_period")
    if one is None:
        life_dd = row.find("adult.life_dd10")
        if life_dd is None:
            raise InputError(Fault("the table has no adult life", organism.id, ""))
        return ((LAYING_REFERENCE_C, life_dd.value / (LAYING_REFERENCE_C - 10)),), hosts
    return ((LAYING_REFERENCE_C, one.value),), hosts


def _laying_window(organism: Organism) -> tuple[float, float, float] | None:
    """Temperatures with no, most and again no egg laying; None: laying keeps step with growth.

    A table that gives the best temperature means that of the whole increase, which lies above
    that of laying, because development still gains when laying already falls.
    """
    row = organism.row
    window = row.under("growth_window_c")
    if window:
        low, best, high = (window[key].value for key in ("low", "best", "high"))
        return low, best - LAYING_BELOW_BEST_C, high
    best_figure = row.find("optimum_c")
    if best_figure is None:
        return None
    high = _or(row.find("upper_c.lethal"), organism.upper_c.value)
    return organism.lower_c.value, best_figure.value - LAYING_BELOW_BEST_C, high


def _host_survival(
    organism: Organism, general: tuple[tuple[float, float], ...]
) -> dict[str, float]:
    """Egg-to-adult survival by host relative to the general figure: mean of the papers' logs."""
    found: dict[str, list[float]] = {}
    for group in ("by_host_25c", "by_host_27c", "other_25c"):
        for host, figure in organism.row.under(f"survival_egg_adult.{group}").items():
            found.setdefault(host, []).append(np.log(figure.value))
    usual = float(by_temperature(LAYING_REFERENCE_C, general))
    return {h: min(float(np.exp(np.mean(v))) / usual, 1 / usual) for h, v in found.items()}


def _host_pace(organism: Organism, lower: float, total: float) -> dict[str, float]:
    """Egg-to-adult days by host over what the general line gives: mean of the rows' logs.

    Rows that the table itself calls outliers are left out, and so are words wider than a host.
    """
    found: dict[str, list[float]] = {}
    row = organism.row
    for n in range(row.numbered("dev_days")):
        at = f"dev_days[{n}]"
        note, word = row.words(f"{at}.note"), row.words(f"{at}.host")
        host = next((w for w in (word, word.split("_")[-1]) if w in organism.hosts), None)
        t, days = row.find(f"{at}.t"), row.find(f"{at}.d")
        if row.words(f"{at}.stage") != "egg_adult" or host is None or t is None or days is None:
            continue
        if "outlier" in note or "do not use" in note or t.value <= lower:
            continue
        found.setdefault(host, []).append(np.log(days.value / (total / (t.value - lower))))
    return {host: float(np.exp(np.mean(logs))) for host, logs in found.items()}
