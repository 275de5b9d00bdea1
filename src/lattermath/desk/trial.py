"""Does it help? Plays whole seasons in nature under several ways of keeping one plot."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path
from tempfile import TemporaryDirectory

from lattermath.desk.outside_world import OutsidePlot
from lattermath.desk.season_trial import Outcome, Policy, play
from lattermath.desk.trial_plot import PRODUCT, SEED, YEARS, TrialPlot, calendar, open_trial
from lattermath.desk.trial_policies import policies
from lattermath.desk.trial_report import TrialReport, report_of
from lattermath.vocabulary.errors import Fault, InputError

Progress = Callable[[str, float], None]
PlaySeason = Callable[[int, int, Sequence[Policy], TrialPlot | None], Iterable[Outcome]]
MOST_SEASONS = 1000


def trial(
    seasons: int,
    seed: int = SEED,
    progress: Progress | None = None,
    among: Callable[[], Sequence[Policy]] | None = None,
    what: TrialPlot | None = None,
    play: PlaySeason | None = None,
) -> TrialReport:
    """Play so many seasons and add them up; one after another, each from its own seed.

    among : gives the policies anew for each season; every one if not given.
    play  : gives the outcomes of a season, as `play_season` does and does if none is given.

    Interrupted, it gives the seasons that are whole, and says so. InputError for no season.
    """
    if not 1 <= seasons <= MOST_SEASONS:
        remedy = f"Write 1 to {MOST_SEASONS}."
        raise InputError(Fault("that many seasons are not played", "seasons", str(seasons), remedy))
    outcomes: list[Outcome] = []
    fresh = among or (lambda: policies(PRODUCT))
    number = len(fresh())
    try:
        for n in range(seasons):
            for k, outcome in enumerate((play or play_season)(n, seed, fresh(), what), start=1):
                outcomes.append(outcome)
                if progress is not None:
                    words = f"season {n + 1} of {seasons}, {outcome.year}: {outcome.policy}"
                    progress(words, (n * number + k) / (seasons * number))
    except KeyboardInterrupt:
        return report_of(outcomes, interrupted=True)
    return report_of(outcomes)


def play_season(
    number: int,
    seed: int = SEED,
    among: Sequence[Policy] | None = None,
    what: TrialPlot | None = None,
) -> Iterator[Outcome]:
    """One season under each policy in turn, on the same plot, weather, eyes and missed visits."""
    year, seed = YEARS[number % len(YEARS)], seed + number
    kept = os.environ.get("LATTERMATH_CACHE")
    with TemporaryDirectory() as cache:
        os.environ["LATTERMATH_CACHE"] = cache
        try:
            for policy in policies(PRODUCT) if among is None else among:
                with TemporaryDirectory() as folder:
                    season = open_trial(OutsidePlot(Path(folder)), year, seed, what)
                    yield play(season, policy, calendar(year), seed)
        finally:
            os.environ.pop("LATTERMATH_CACHE")
            if kept is not None:
                os.environ["LATTERMATH_CACHE"] = kept
