"""Compile the population kernels once, so that no visit waits for it."""

from __future__ import annotations


def warm_up() -> None:
    """Run each compiled kernel on the smallest input; the results are kept in numba's cache."""
    from lattermath.science import stage_cohorts

    stage_cohorts.compile_kernels()
