"""The only dice: one seed split into streams by name, so that nothing reshuffles anything else."""

from __future__ import annotations

import hashlib
from collections.abc import Callable

import numpy as np

Dice = Callable[[str], np.random.Generator]

SEED = 20260725  # judgement: any fixed number; printed in every stamp


def dice(seed: int, season: str) -> Dice:
    """Give a thrower of named streams: the same seed, season and name give the same numbers.

    The plan's date is no part of the key, so a sheet changes from day to day only for a reason.
    """

    def stream(name: str) -> np.random.Generator:
        words = hashlib.sha256(f"{seed}|{season}|{name}".encode()).digest()
        return np.random.default_rng(np.frombuffer(words, dtype=np.uint32).tolist())

    return stream
