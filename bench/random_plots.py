"""Tens of thousands of random plots: no violation, and no picking cleared early.

Three trials, each on plots of its own: one treatment asked for, ruled on and audited; a whole plan
of two evenings made by asking the rulings, then audited; every picking clearance against a reader
that looks at one instant at a time. `python bench/random_plots.py 20000` sets how many of each.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path
from types import ModuleType

# A package installed beside this one brings a `tests` of its own; here ours is meant.
sys.modules["tests"] = tests = ModuleType("tests")
tests.__path__ = [str(Path(__file__).resolve().parents[1] / "tests")]

from tests.audit.random_trials import Tally, clearances, single_treatment, whole_plan  # noqa: E402

TRIALS = {single_treatment: 1_000_000, whole_plan: 2_000_000, clearances: 3_000_000}  # first seeds
PLOTS = 20_000


def main() -> None:
    plots = int(sys.argv[1]) if len(sys.argv) > 1 else PLOTS
    tally, begun = Tally(), time.perf_counter()
    for trial, first in TRIALS.items():
        for seed in range(first, first + plots):
            trial(seed, tally)
        print(f"{trial.__name__}: {plots} plots, {len(tally.wrong)} wrong so far", flush=True)
    for what, times in sorted(tally.tried.items()):
        print(f"  {what}: {times}")
    print(f"{len(TRIALS) * plots} plots, {len(tally.wrong)} wrong, "
          f"{time.perf_counter() - begun:.0f} s")  # fmt: skip
    for wrong in tally.wrong[:20]:
        print(wrong)
    if tally.wrong:
        raise SystemExit(1)


if __name__ == "__main__":
    main()
