"""What a plan was made from. Same stamp, same bytes, on the same platform."""

from __future__ import annotations

import hashlib
import json
import platform
from dataclasses import asdict
from datetime import datetime
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from importlib.resources import files
from pathlib import Path

from lattermath import __version__
from lattermath.vocabulary.plan import Stamp
from lattermath.vocabulary.plot import Plot

# The packages whose versions can change a number; their versions stand in for the lock.
COUNTS = ("numpy", "scipy", "numba", "llvmlite", "tzdata", "pydantic")


@cache
def lock_digest() -> str:
    """Give a digest of the versions of the packages that compute."""
    found = []
    for name in COUNTS:
        try:
            found.append(f"{name}=={version(name)}")
        except PackageNotFoundError:
            found.append(f"{name} absent")
    return _short("\n".join(found))


@cache
def code_digest() -> str:
    """Give a digest of the program's own text, so that an edited copy has stamps of its own."""
    total = hashlib.sha256()
    package = Path(str(files("lattermath")))
    for file in sorted(package.rglob("*.py")):
        total.update(file.relative_to(package).as_posix().encode())
        total.update(file.read_bytes())
    return total.hexdigest()[:8]


def platform_words() -> str:
    """Name the platform on which equal stamps give equal bytes."""
    return f"{platform.system()} {platform.machine()} Python {platform.python_version()}"


def stamp(
    *,
    tables: str,
    seed: int,
    serial: int,
    weather: str,
    as_of: datetime,
    plot: Plot,
    budget: int,
    previous: str,
) -> Stamp:
    """Gather the stamp of one plan."""
    wishes = {"visiting": asdict(plot.visiting), "household": asdict(plot.household)}
    return Stamp(
        code=f"{__version__}+{code_digest()}",
        lock=lock_digest(),
        platform=platform_words(),
        tables=tables[:16],
        seed=seed,
        serial=serial,
        weather=weather[:16],
        as_of=as_of.isoformat(),
        preferences=_short(json.dumps(wishes, sort_keys=True, default=str)),
        budget=budget,
        previous=previous,
    )


def stamp_digest(made_from: Stamp) -> str:
    """Give the short name under which a plan is kept."""
    return _short(json.dumps(asdict(made_from), sort_keys=True))


def _short(words: str) -> str:
    return hashlib.sha256(words.encode()).hexdigest()[:16]
