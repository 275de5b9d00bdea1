"""Does it help? Plays whole seasons in nature under several ways of keeping one plot."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from lattermath.desk.season_trial import Outcome
from lattermath.desk.trial_choice import Policy
from lattermath.desk.trial_plot import PRODUCT, SEED, TrialPlot, play_season
from lattermath.desk.trial_policies import policies
from lattermath.desk.trial_report import TrialReport, report_of
from lattermath.vocabulary.errors import Fault, InputError

Progress = Callable[[str, float], None]
MOST_SEASONS = 1000


def trial(
    seasons: int,
    seed: int = SEED,
    progress: Progress | None = None,
    among: Callable[[], Sequence[Policy]] | None = None,
    what: TrialPlot | None = None,
) -> TrialReport:
    """Play so many seasons and add them up; one after another, each from its own seed.

    among : gives the policies anew for each season; every one if not given.

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
            for k, outcome in enumerate(play_season(n, seed, fresh(), what), start=1):
                outcomes.append(outcome)
                if progress is not None:
                    words = f"season {n + 1} of {seasons}, {outcome.year}: {outcome.policy}"
                    progress(words, (n * number + k) / (seasons * number))
    except KeyboardInterrupt:
        return report_of(outcomes, interrupted=True)
    return report_of(outcomes)
