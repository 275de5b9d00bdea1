"""A plan for a plot of thirty plantings with five organisms and three hundred entries.

The plot is invented and stands on the demonstration's weather. Printed: the first plan ever, a
plan by a new process from kept work, and a plan after one more sighting, each as seconds and as a
ratio to importing numpy in a new process, and the peak memory of the first.
"""

from __future__ import annotations

import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from datetime import date, datetime, timedelta
from importlib.resources import as_file, files
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from lattermath.desk import clock
from lattermath.desk.start import start
from lattermath.desk.take_weather import take
from lattermath.desk.wiring import Folder, open_journal
from lattermath.record.ids import id_maker
from lattermath.record.journal import Entry
from lattermath.vocabulary.events import Picking, Sighting, Watering

ZONE = "America/Denver"
SHOWN = date(2011, 7, 30)
RUNS = 3

CROPS = (
    "cucumber",
    "tomato_indeterminate",
    "aubergine",
    "melon",
    "bean_pole",
    "courgette",
    "kale",
    "pepper",
    "potato",
    "chard",
)

SEEN = (
    ("greenhouse_whitefly", "nymph", ("aubergine", "cucumber", "tomato_indeterminate")),
    ("melon_aphid", "", ("melon", "courgette")),
    ("two_spotted_spider_mite", "", ("bean_pole", "cucumber")),
    ("cabbage_whitefly", "nymph", ("kale",)),
    ("colorado_potato_beetle", "larva", ("potato",)),
)


def plot_file() -> str:
    """The demonstration's file with thirty beds and plantings in place of its own."""
    text = (files("lattermath.demo") / "plot.toml").read_text("utf-8")
    head = text[: text.index("[[bed]]")]
    rest = text[text.index("[[lot]]") :]
    return head + "".join(_bed_and_planting(number) for number in range(30)) + rest


def _bed_and_planting(number: int) -> str:
    row, column = divmod(number, 6)
    crop = CROPS[number % len(CROPS)]
    begun = "set_out" if crop not in ("bean_pole", "courgette", "chard") else "sown"
    return f"""
[[bed]]
key = "b{number}"
name = "bed {number}"
x_m = {column * 4.2:.1f}
y_m = {row * 1.8:.1f}
length_m = 3.6
width_m = 1.0
texture = "loam"
mulched = true

[[planting]]
key = "p{number}"
name = "{crop.replace("_", " ").capitalize()} {number}"
crop = "{crop}"
bed = "b{number}"
plants = {4 + number % 5}
{begun} = 2011-06-{1 + number // 3:02d}

"""


def entries() -> Iterator[Entry]:
    """About three hundred: waterings of every bed, pickings, and counts of five organisms."""
    zone = ZoneInfo(ZONE)
    for back in range(8):
        day = SHOWN - timedelta(days=2 + 3 * back)
        for number in range(30):
            at = datetime(day.year, day.month, day.day, 19, number, tzinfo=zone)
            yield Entry(at, ZONE, Watering(bed=f"b{number}", litres=30.0))
    for number in range(30):
        at = datetime(2011, 7, 27, 20, number, tzinfo=zone)
        if CROPS[number % len(CROPS)] in ("courgette", "cucumber"):
            yield Entry(at, ZONE, Picking(planting=f"p{number}", kg=0.8))
        yield from _counts(number, at)


def _counts(number: int, at: datetime) -> Iterator[Entry]:
    for what, stage, crops in SEEN:
        if CROPS[number % len(CROPS)] in crops:
            for earlier in (7, 0):
                counts = tuple((number * 7 + leaf * 5) % 13 for leaf in range(10))
                yield Entry(at - timedelta(days=earlier), ZONE, _count(number, what, stage, counts))


def _count(number: int, what: str, stage: str, counts: tuple[int, ...]) -> Sighting:
    told: dict[str, Any] = {"stage": stage} if stage else {}
    return Sighting(
        planting=f"p{number}",
        what=what,
        measure="count",
        surface="underside",
        looked_at=10,
        counts=counts,
        **told,
    )


def set_up(folder: Folder) -> None:
    """The plot's file, its weather and its entries, in an empty folder."""
    begins = datetime(2011, 7, 2, 9, tzinfo=ZoneInfo(ZONE))
    folder.plot_file.write_text(plot_file(), "utf-8")
    start(folder.path, begins)
    with as_file(files("lattermath.demo") / "champion.csv") as weather:
        take(folder.path, weather, at=begins)
    with open_journal(folder) as journal:
        told = sorted(entries(), key=lambda entry: entry.happened_at)
        journal.append(told, clock.now(), id_maker(clock.now, clock.random_bytes))


def run(words: list[str], cache: Path) -> float:
    """Seconds of one new process, its kept work in the folder given."""
    begun = time.perf_counter()
    subprocess.run(
        [sys.executable, "-m", *words],
        check=True,
        stdout=subprocess.DEVNULL,
        env={**os.environ, "LATTERMATH_CACHE": str(cache)},
    )
    return time.perf_counter() - begun


def main() -> None:
    unit = statistics.median(
        run(["timeit", "-n1", "-r1", "-s", "import numpy", "pass"], Path()) for _ in range(RUNS)
    )
    print(f"a new process that imports numpy: {unit * 1000:.0f} ms, the unit below")
    with tempfile.TemporaryDirectory() as scratch:
        folder, cache = Folder(Path(scratch) / "plot"), Path(scratch) / "kept"
        folder.path.mkdir()
        set_up(folder)
        plan = ["lattermath", "plan", "--plot", str(folder.path), "--on", str(SHOWN)]
        log = ["lattermath", "log", "count", "p2", "whitefly", "12,0,3,9,4"]
        log += ["--at", "2011-07-29 19:00", "--plot", str(folder.path)]
        say("first plan ever, kernels compiled", run(plan, cache), unit)
        peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
        print(f"  its peak memory: {peak:.0f} MB")
        again = statistics.median(run(plan, cache) for _ in range(RUNS))
        say("plan by a new process, from kept work", again, unit)
        run(log, cache)
        say("plan after one more sighting", run(plan, cache), unit)


def say(what: str, seconds: float, unit: float) -> None:
    print(f"{what}: {seconds:.2f} s, {seconds / unit:.1f} units")


if __name__ == "__main__":
    main()
