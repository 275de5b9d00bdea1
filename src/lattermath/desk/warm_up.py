"""Compile the population kernels once, so that no visit waits for it."""

from __future__ import annotations

import tempfile
from pathlib import Path

from lattermath.desk.demo import demo


def warm_up() -> None:
    """Plan the demonstration in a folder that is thrown away; what is compiled stays cached."""
    with tempfile.TemporaryDirectory(prefix="lattermath-") as folder:
        demo(Path(folder) / "warm-up")
