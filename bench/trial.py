"""Does it help? Seasons in nature under five ways of keeping one plot, as `lattermath trial` plays.

Each season is an invented plot in a weather year of the demonstration's record, opened on 8 July:
early cucumbers, courgettes and beans that wear out, tomatoes, younger cucumbers, one bare bed, four
lots that are sown in cups from late June on, whitefly, aphids and mites, a grower who comes twice a
week, miscounts and misses visits, and soap with an invented label. Looks, treatments and changes of
ground end on 8 September; everything is watered and picked to 30 September. All meet the same plot,
weather, eyes and missed visits (common random numbers); the planner sees what was logged and the
weather up to the day.

    nothing         picks and waters; the cups stand and coil
    rule of thumb   sprays what it sees three times, six days apart; replaces at a fixed age
    action number   sprays at the published or customary number; replaces at the same age
    holder          replaces early and by look, hoses and strips, hardly sprays
    the plan        does what it says at each visit: treating, pulling, setting out, sowing

    python bench/trial.py [--seasons N] [--seed S] [--ground-only] [--csv FILE] [--kept FILE]

Intervals are 95 % of 10,000 bootstraps over seasons. Ctrl-C prints the seasons that are whole. With
`--kept` each season is written down when it is whole, one a line; those that stand there, played by
this very program from the same seeds, are not played again.
"""

from __future__ import annotations

import argparse
import csv
import dataclasses
import json
import sys
import time
from collections.abc import Iterator, Sequence
from functools import partial
from pathlib import Path

from pydantic import TypeAdapter

from lattermath.desk.season_trial import Outcome, Policy
from lattermath.desk.stamp import code_digest
from lattermath.desk.trial import play_season, trial
from lattermath.desk.trial_plot import SEED, TrialPlot
from lattermath.desk.trial_report import lines_of

SEASONS = 3
OUTCOMES = TypeAdapter(tuple[Outcome, ...])


def main() -> None:
    """Play, print, and write the rows where a file is named."""
    words = argparse.ArgumentParser(description="Seasons in nature under five ways.")
    words.add_argument("--seasons", type=int, default=SEASONS)
    words.add_argument("--seed", type=int, default=SEED)
    words.add_argument("--ground-only", action="store_true", help="no insects")
    words.add_argument("--csv", type=Path)
    words.add_argument("--kept", type=Path, help="whole seasons, a line each; read and added to")
    asked = words.parse_args()
    begun = time.perf_counter()
    what = TrialPlot(organisms=()) if asked.ground_only else None
    play = None if asked.kept is None else partial(kept_or_played, asked.kept)
    report = trial(asked.seasons, asked.seed, _tell, what=what, play=play)
    print(f"{time.perf_counter() - begun:.0f} s", file=sys.stderr)
    for line in lines_of(report):
        print(line)
    for one in report.outcomes:
        print(f"{one.year} {one.policy:15s} used {one.used:6.2f} of {one.kg:6.2f} kg")
    if asked.csv:
        write(asked.csv, report.outcomes)


def _tell(words: str, _share: float) -> None:
    print(words, file=sys.stderr, flush=True)


def kept_or_played(
    kept: Path, n: int, seed: int, among: Sequence[Policy], what: TrialPlot | None
) -> Iterator[Outcome]:
    """The outcomes of a season as they are kept; or played now, and kept when all are there."""
    key = {"program": code_digest(), "seed": seed + n, "season": n, "ground only": what is not None}
    played = _held(kept, key)
    if played is not None:
        yield from played
        return
    outcomes = []
    for one in play_season(n, seed, among, what):
        outcomes.append(one)
        yield one
    told = OUTCOMES.dump_python(tuple(outcomes), mode="json")
    with kept.open("a", encoding="utf-8") as out:
        out.write(json.dumps(key | {"outcomes": told}) + "\n")


def _held(kept: Path, key: dict[str, object]) -> tuple[Outcome, ...] | None:
    """The season of this key as it was written down; None for none."""
    lines = kept.read_text("utf-8").splitlines() if kept.is_file() else []
    for line in map(json.loads, lines):
        if all(line[name] == value for name, value in key.items()):
            return OUTCOMES.validate_python(line["outcomes"])
    return None


def write(path: Path, rows: Sequence[Outcome]) -> None:
    """All outcomes as CSV, one a season and policy."""
    with path.open("w", newline="", encoding="utf-8") as out:
        writer = csv.writer(out)
        writer.writerow([one.name for one in dataclasses.fields(Outcome)])
        for row in rows:
            cells = dataclasses.astuple(row)
            writer.writerow([f"{c:.4g}" if isinstance(c, float) else c for c in cells])


if __name__ == "__main__":
    main()
