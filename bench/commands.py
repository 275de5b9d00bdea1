"""How long the commands take, as a whole process and as a ratio to starting Python and numpy.

Ratios carry over from one machine to another better than seconds do. Medians of several runs.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

RUNS = 5


def seconds(words: list[str]) -> float:
    taken = []
    for _ in range(RUNS):
        begun = time.perf_counter()
        subprocess.run(words, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        taken.append(time.perf_counter() - begun)
    return statistics.median(taken)


def main() -> None:
    python = sys.executable
    unit = seconds([python, "-c", "import numpy"])
    print(f"python -c 'import numpy': {unit * 1000:.0f} ms, the unit below")
    lattermath = [python, "-m", "lattermath"]
    with tempfile.TemporaryDirectory() as folder:
        plot = str(Path(folder) / "demo")
        subprocess.run([*lattermath, "demo", plot], check=True, stdout=subprocess.DEVNULL)
        asked = {
            "--help": ["--help"],
            "log": ["log", "picked", "courgettes", "0.5", "--at", "2011-07-30 18:40"],
            "plan": ["plan", "--on", "2011-07-30"],
            "compute --list": ["compute", "--list"],
        }
        for name, words in asked.items():
            here = [] if name in ("--help", "compute --list") else ["--plot", plot]
            taken = seconds([*lattermath, *words, *here])
            print(f"lattermath {name}: {taken * 1000:.0f} ms, {taken / unit:.1f} units")


if __name__ == "__main__":
    main()
