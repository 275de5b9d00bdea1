"""The population kernel beside the same model in plain C, and how its cost grows.

Interleaved runs, medians. Printed: the ratio to C at -O3 on one thread and on two; seconds for
200 draws x 30 plantings x 5 organisms x 90 days; the cost when each of the four is doubled; and
the memory that a run keeps. Where no C compiler is found the ratio is left out, and said so.
"""

from __future__ import annotations

import ctypes
import shutil
import statistics
import subprocess
import tempfile
import time
import tracemalloc
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.life_history import life_of
from lattermath.knowledge.tables import load_tables
from lattermath.science.stage_cohorts import Cycle, Setting, run_cohorts

RUNS = 15
ORGANISMS = (
    "greenhouse_whitefly",
    "melon_aphid",
    "twospotted_spider_mite",
    "cabbage_whitefly",
    "colorado_potato_beetle",
)
DRAWS, PLANTINGS, DAYS = 200, 30, 90
TABLES = load_tables()
Array = NDArray[np.generic]


@dataclass(frozen=True, slots=True)
class Case:
    """One organism's run."""

    cycle: Cycle
    setting: Setting
    start: NDArray[np.float64]

    @property
    def days(self) -> int:
        return self.cycle.n_days


def case_of(organism: str, draws: int, plantings: int, days: int) -> Case:
    """A population on plantings in a row, warm weather of its own in each draw."""
    life = life_of(TABLES, organism)
    rng = np.random.default_rng(3)
    mean = 22.0 + rng.normal(0, 2.5, (draws, days))
    cycle = life.cycle(mean - 6, mean + 6, np.full(draws, 0.4))
    place = np.arange(plantings)
    settle = np.exp(-np.abs(place[:, None] - place) / 2.0)
    settle /= settle.sum(1, keepdims=True)
    setting = Setting(
        np.ones((1, days, plantings), dtype=np.float32),
        np.full((draws, days, plantings), 0.05, dtype=np.float32),
        settle,
        np.zeros(days, dtype=np.float32),
        settle,
        np.full(plantings, 1e5),
    )
    start = rng.gamma(1.0, 2.0, (draws, plantings, life.layout.n_classes))
    return Case(cycle, setting, start)


def run(case: Case, threads: int = 1) -> Array:
    return run_cohorts(case.cycle, case.setting, case.start, threads=threads).sums


class Chain(ctypes.Structure):
    _fields_ = [
        *((name, ctypes.c_int64) for name in ("plantings", "classes", "parts", "stages", "flying")),
        *((name, ctypes.c_void_p) for name in ("first", "stage_of", "moved", "lays", "wings")),
    ]


def compiled(folder: Path) -> ctypes.CDLL | None:
    """The C model as a library, or None where there is no compiler."""
    compiler = shutil.which("cc") or shutil.which("gcc") or shutil.which("clang")
    if compiler is None:
        return None
    source, library = Path(__file__).with_suffix(".c"), folder / "kernel.so"
    subprocess.run(
        [compiler, "-O3", "-shared", "-fPIC", "-o", str(library), str(source), "-lm"], check=True
    )
    return ctypes.CDLL(str(library))


def run_in_c(library: ctypes.CDLL, case: Case, threads: int = 1) -> Array:
    """The same run by the C model."""
    layout, draws, plantings = case.cycle.layout, *case.start.shape[:2]
    state = np.ascontiguousarray(case.start).copy()
    sums = np.zeros((draws, plantings, case.days + 1, layout.n_stages), dtype=np.float32)
    kept = [
        np.ascontiguousarray(one)
        for one in (
            layout.first.astype(np.int64), layout.stage_of.astype(np.int64), layout.moved,
            layout.lays, layout.flies,
        )
    ]  # fmt: skip
    chain = Chain(
        plantings, layout.n_classes, layout.n_parts, layout.n_stages, layout.first_flying,
        *(one.ctypes.data for one in kept),
    )  # fmt: skip
    cycle, setting = case.cycle, case.setting
    arrays = [
        state, cycle.pushes, cycle.entry, cycle.stride, cycle.survival, cycle.laying, cycle.flight,
        setting.host, setting.arrivals, setting.settle, setting.room, sums,
    ]  # fmt: skip
    whole = [np.ascontiguousarray(one) for one in arrays]

    def some(first: int, last: int) -> None:
        pointers = [ctypes.c_void_p(one.ctypes.data) for one in whole]
        counts = [ctypes.c_int64(n) for n in (first, last, case.days)]
        library.march(*pointers, *counts, ctypes.byref(chain))

    edges = np.linspace(0, draws, threads + 1).astype(int).tolist()
    with ThreadPoolExecutor(threads) as pool:
        list(pool.map(some, edges[:-1], edges[1:]))
    return sums


def interleaved(works: Sequence[Callable[[], object]]) -> list[float]:
    """Median seconds of each, run in turn."""
    taken: list[list[float]] = [[] for _ in works]
    for work in works:
        work()
    for _ in range(RUNS):
        for one, work in zip(taken, works, strict=True):
            begun = time.perf_counter()
            work()
            one.append(time.perf_counter() - begun)
    return [statistics.median(one) for one in taken]


def beside_c(cases: Sequence[Case]) -> None:
    with tempfile.TemporaryDirectory() as folder:
        library = compiled(Path(folder))
        if library is None:
            print("no C compiler here: the ratio to C is left out")
            return
        for case in cases:
            ours, theirs = run(case), run_in_c(library, case)
            if not np.allclose(ours, theirs, rtol=2e-5, atol=1e-6):
                raise SystemExit("the two models differ, so their speeds mean nothing")
        for threads in (1, 2):
            ours, theirs = interleaved([
                lambda n=threads: [run(case, n) for case in cases],
                lambda n=threads: [run_in_c(library, case, n) for case in cases],
            ])  # fmt: skip
            print(
                f"{threads} thread(s): kernel {ours:.3f} s, C at -O3 {theirs:.3f} s, "
                f"ratio {theirs / ours:.2f} (1: as fast as C)"
            )


def growth() -> None:
    """Cost when each of the four sizes is doubled, against twice the cost."""
    usual = [DRAWS // 2, PLANTINGS // 2, DAYS // 2]
    base = [case_of(organism, *usual) for organism in ORGANISMS[:1]]
    works: list[Callable[[], object]] = [lambda: [run(case) for case in base]]
    for n in range(3):
        sizes = [size * (2 if n == k else 1) for k, size in enumerate(usual)]
        doubled = case_of(ORGANISMS[0], *sizes)
        works.append(lambda case=doubled: run(case))
    works.append(lambda: [run(case) for case in base * 2])
    once, *twice = interleaved(works)
    names = ("draws", "plantings", "days", "organisms")
    told = ", ".join(f"{name} {two / once:.2f}" for name, two in zip(names, twice, strict=True))
    print(f"cost of twice as many, times that of once: {told}")


def memory(case: Case) -> None:
    tracemalloc.start()
    sums = run(case)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    daily = case.start.nbytes * (case.days + 1) / 2  # as float32
    print(
        f"memory of one organism: peak {peak / 1e6:.0f} MB, of it {sums.nbytes / 1e6:.0f} MB of "
        f"daily sums by stage; daily states of all classes would be {daily / 1e6:.0f} MB"
    )


def main() -> None:
    cases = [case_of(organism, DRAWS, PLANTINGS, DAYS) for organism in ORGANISMS]
    classes = sum(case.start.shape[2] for case in cases)
    print(
        f"{DRAWS} draws x {PLANTINGS} plantings x {len(cases)} organisms ({classes} classes) "
        f"x {DAYS} days"
    )
    beside_c(cases)
    growth()
    memory(cases[0])


if __name__ == "__main__":
    main()
