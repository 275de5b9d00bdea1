"""Do the ranges hold what they say? Seasons played in nature, foretold and then met.

Invented plots of ten plantings live through weather years of the demonstration's record. A grower
who miscounts and misses visits looks, treats and picks; what is written down is all the program
sees. On two days of each season it foretells, 7 and 14 days ahead, the insects of every stage on
every planting and the kilograms of the week; then the season is played on.

Printed for each kind: how many of the forecasts' true values lay in the 80 % range (75 to 85 are
wanted), and two scores, lower is better, of learning beside no learning (the tables alone) and
simple scaling (the last count or picking carried on, with a shift and spread fitted to these very
cases, which flatters it). Scores are of log(1 + insects) and of log(0.1 + kg). Ranks of whole
numbers are broken at random, so that many zeros do not count as hits.

    python bench/calibration.py [tuning|report|mildew-tuning|mildew] [PLOTS] [CSV]

`report` plays years that were never used for mending the belief (2008 to 2018); `tuning` those
that were (1998 to 2007). `mildew` and `mildew-tuning` play the same years with powdery mildew and
no insects, and foretell, later in the season, per cent of the leaf covered; scores are of
log(0.1 + per cent), and what is less than a grower can write down (0.05 %) counts as none. A row of
the CSV is one forecast. Ctrl-C prints what was played so far.
"""

from __future__ import annotations

import csv
import os
import sys
import tempfile
from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import partial
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from lattermath.desk.season_forecasts import Forecast, forecasts_on
from lattermath.desk.season_play import open_play, setting_dice
from lattermath.desk.season_setting import set_up

FloatArray = NDArray[np.float64]

TUNING, REPORT = range(1998, 2008), range(2008, 2019)
YEARS = {"tuning": TUNING, "report": REPORT, "mildew-tuning": TUNING, "mildew": REPORT}
SEEDS = {"tuning": 71000, "report": 85000, "mildew-tuning": 11000, "mildew": 13000}
PLOTS = {"tuning": 10, "report": 44, "mildew-tuning": 20, "mildew": 44}
ORGANISMS = ("greenhouse_whitefly", "melon_aphid", "twospotted_spider_mite")
MILDEW = "cucurbit_powdery_mildew"
FORETOLD = ((7, 6), (8, 3))  # month and day
LEAST_SEEN = 0.05  # per cent; growers write tenths
MILDEW_FORETOLD = ((7, 27), (8, 20))
UNLIKELY = 1e-4  # least density counted, so that one miss does not outweigh all
LEAST_KERNEL = 0.1  # least width of the kernel over the draws, log scale


@dataclass(frozen=True, slots=True)
class Row:
    """One forecast, scored. Scores are `crps` and `log`, for ours, prior and scaling."""

    plot: int
    year: int
    of: str
    group: str
    crop: str
    planting: str
    day: date
    ahead: int
    true: float
    low: float
    median: float
    high: float
    rank: float
    crps: float
    log: float
    crps_prior: float
    log_prior: float
    rank_prior: float
    scaled: float


def scale_of(of: str) -> Callable[[FloatArray], FloatArray]:
    """The scale on which a quantity is scored."""
    return (lambda x: np.log(0.1 + x)) if of in ("kg", MILDEW) else np.log1p


def rank_of(true: float, draws: FloatArray, rng: np.random.Generator) -> float:
    """Place of the truth among the draws from 0 to 1, ties at random."""
    below, equal = (draws < true).sum(), (draws == true).sum()
    return float((below + rng.uniform() * (equal + 1)) / (len(draws) + 1))


def crps(true: float, draws: FloatArray) -> float:
    """Continuous ranked probability score of an ensemble (Gneiting and Raftery; recalled)."""
    ordered, n = np.sort(draws), len(draws)
    spread = (ordered * (2 * np.arange(1, n + 1) - n - 1)).sum() / n**2
    return float(np.abs(draws - true).mean() - spread)


def log_score(true: float, draws: FloatArray) -> float:
    """Minus the log of a kernel density of the draws at the truth."""
    spread = min(draws.std(), (np.quantile(draws, 0.75) - np.quantile(draws, 0.25)) / 1.349)
    width = max(1.06 * spread * len(draws) ** -0.2, LEAST_KERNEL)
    dense = np.exp(-0.5 * ((true - draws) / width) ** 2).mean() / (width * np.sqrt(2 * np.pi))
    return float(-np.log(max(dense, UNLIKELY)))


def rounded(one: Forecast) -> Forecast:
    """What nobody can see is none, in the forecast and in truth."""
    drop = LEAST_SEEN
    return replace(
        one,
        true=one.true if one.true >= drop else 0.0,
        draws=np.where(one.draws >= drop, one.draws, 0.0),
        prior=np.where(one.prior >= drop, one.prior, 0.0),
    )


def scored(one: Forecast, plot: int, rng: np.random.Generator) -> Row:
    """Score one forecast."""
    scale = scale_of(one.of)
    ours, prior = scale(one.draws), scale(one.prior)
    true = float(scale(np.array(one.true)))
    one = rounded(one) if one.of == MILDEW else one
    low, median, high = np.quantile(one.draws, (0.1, 0.5, 0.9))
    return Row(
        plot, one.day.year, one.of, one.group, one.crop, one.planting, one.day, one.ahead, one.true,
        float(low), float(median), float(high), rank_of(one.true, one.draws, rng),
        crps(true, ours), log_score(true, ours), crps(true, prior), log_score(true, prior),
        rank_of(one.true, one.prior, rng), float("nan") if one.scaled is None else one.scaled,
    )  # fmt: skip


def played(plot: int, year: int, seed: int, *, mildew: bool = False) -> list[Row]:
    """Play one season and score what was foretold in it."""
    rng = setting_dice(seed, year + 10_000)
    rows: list[Row] = []
    with tempfile.TemporaryDirectory() as folder:
        setting = set_up(Path(folder), year, setting_dice(seed, year))
        insects, diseases = ((), (MILDEW,)) if mildew else (ORGANISMS, ())
        play = open_play(setting, insects, seed, diseases=diseases)
        for month, of_month in MILDEW_FORETOLD if mildew else FORETOLD:
            day = date(year, month, of_month) + timedelta(days=int(rng.integers(0, 7)))
            play.visits_to(day, treat_until=day - timedelta(days=1))
            rows += [scored(one, plot, rng) for one in forecasts_on(play, day)]
    return rows


def scaling(rows: Sequence[Row]) -> tuple[float, float]:
    """CRPS and log score of the last count, shifted and spread as fits these cases best."""
    held = [row for row in rows if np.isfinite(row.scaled)]
    if len(held) < 10:
        return float("nan"), float("nan")
    scale = scale_of(held[0].of)
    true = scale(np.array([row.true for row in held]))
    off = true - scale(np.array([row.scaled for row in held]))
    sd = max(float(off.std()), LEAST_KERNEL)
    z = (off - off.mean()) / sd
    from scipy import stats

    normal = z * (2 * stats.norm.cdf(z) - 1) + 2 * stats.norm.pdf(z) - 1 / np.sqrt(np.pi)
    dense = np.maximum(stats.norm.pdf(z) / sd, UNLIKELY)
    return float((sd * normal).mean()), float(-np.log(dense).mean())


def line(title: str, rows: Sequence[Row]) -> str:
    """Coverage, lean and scores of some rows."""
    rank = np.array([row.rank for row in rows])
    inside = np.mean((rank >= 0.1) & (rank <= 0.9))
    mean = {
        name: float(np.mean([getattr(row, name) for row in rows]))
        for name in ("crps", "crps_prior", "log", "log_prior")
    }
    crps_scaled, log_scaled = scaling(rows)
    wide = np.mean([row.high > 0 and np.log((row.high + 1) / (row.low + 1)) for row in rows])
    return (
        f"{title:46s} {len(rows):5d} {inside:5.0%} {np.mean(rank < 0.1):5.0%} "
        f"{np.mean(rank > 0.9):5.0%}  {wide:5.2f}  {mean['crps']:5.2f} {mean['crps_prior']:5.2f} "
        f"{crps_scaled:5.2f}  {mean['log']:6.2f} {mean['log_prior']:6.2f} {log_scaled:6.2f}"
    )


HEAD = (
    f"{'':46s} {'cases':>5s} {'in 80':>5s} {'below':>5s} {'above':>5s}  {'width':>5s}  "
    f"{'CRPS: ours, none, scaled':>17s}  {'log score: ours, none, scaled':>20s}"
)


def table(rows: Sequence[Row]) -> Iterable[str]:
    """The lines printed."""
    yield HEAD
    kinds = list(dict.fromkeys(row.of for row in rows))
    for of in kinds:
        groups = list(dict.fromkeys(row.group for row in rows if row.of == of))
        for group in groups:
            for ahead in (7, 14):
                some = [r for r in rows if r.of == of and r.group == group and r.ahead == ahead]
                yield line(f"{of}, {group}, {ahead} days", some)
    insects = [row for row in rows if row.of not in ("kg", MILDEW)]
    for ahead in (7, 14) if insects else ():
        yield line(f"insects, all, {ahead} days", [r for r in insects if r.ahead == ahead])
        kilos = [r for r in rows if r.of == "kg" and r.ahead == ahead]
        yield line(f"kilograms, {ahead} days", kilos)


def main(words: list[str]) -> None:
    """Play, score, print, and write the rows where a file is named."""
    which = words[0] if words else "report"
    plots = int(words[1]) if len(words) > 1 else PLOTS[which]
    years, rows = YEARS[which], []
    cache = tempfile.TemporaryDirectory()
    os.environ["LATTERMATH_CACHE"] = cache.name
    ahead = ProcessPoolExecutor(os.cpu_count())
    play = partial(played, mildew="mildew" in which)
    try:
        of_plots = [years[plot % len(years)] for plot in range(plots)]
        seeds = range(SEEDS[which], SEEDS[which] + plots)
        for done, found in enumerate(ahead.map(play, range(plots), of_plots, seeds), 1):
            rows += found
            print(f"\r{done} of {plots} seasons", end="", file=sys.stderr, flush=True)
    except KeyboardInterrupt:
        ahead.shutdown(wait=False, cancel_futures=True)
        print("\nStopped; what was played so far:", file=sys.stderr)
    print(file=sys.stderr)
    if not rows:
        return
    plantings = len({(row.plot, row.planting) for row in rows})
    print(f"{which}: {plantings} plantings played, {len(rows)} forecasts")
    for words_of in table(rows):
        print(words_of)
    if len(words) > 2:
        write(Path(words[2]), rows)


def write(path: Path, rows: Sequence[Row]) -> None:
    """All rows as CSV."""
    with path.open("w", newline="", encoding="utf-8") as out:
        writer = csv.writer(out)
        names = list(Row.__slots__)
        writer.writerow(names)
        for row in rows:
            cells = [getattr(row, name) for name in names]
            writer.writerow([f"{c:.4g}" if isinstance(c, float) else c for c in cells])


if __name__ == "__main__":
    main(sys.argv[1:])
