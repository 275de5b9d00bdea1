"""Work that need not be done twice: kept on this machine under the digest of all it was made from.

What is kept is never a truth of its own: the folder may be emptied at any time, and a file that
cannot be read is passed over and made anew. Kept work gives the very bits that were computed.
"""

from __future__ import annotations

import hashlib
import os
import zipfile
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass, fields, is_dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
import platformdirs

from lattermath.desk.stamp import code_digest, lock_digest, platform_words

if TYPE_CHECKING:
    from lattermath.belief.tempering import Sampled

Arrays = Mapping[str, np.ndarray[Any, np.dtype[Any]]]

SAMPLED = "belief"
MOST_KEPT = 2_000  # judgement: some tens of plots, an insect and a day of looks a file
MOST_BYTES = 1_500_000_000  # judgement: a course of many plantings takes some MB
PARTS = 40  # judgement: all that is kept is counted when a fortieth of the most has come to it
SINCE: dict[Path, tuple[int, int]] = {}  # files and bytes kept since it was counted, by folder

PLAIN = frozenset((str, int, float, bool, type(None)))  # the most of what is taken in


def digest_of(*parts: object) -> str:
    """A digest of plain values, arrays and records, to the last bit; other objects are refused."""
    total = hashlib.sha256("|".join((code_digest(), lock_digest(), platform_words())).encode())
    for part in parts:
        _take_in(total, part)
    return total.hexdigest()


def remembered(kind: str, key: str, work: Callable[[], Arrays]) -> Arrays:
    """The arrays kept under this kind and key, or those that `work` gives, which are then kept."""
    held = kept(kind, key)
    if held is None:
        held = work()
        _keep(_file(kind, key), held)
    return held


def kept(kind: str, key: str) -> Arrays | None:
    """The arrays kept under this kind and key; None for none."""
    return _held(_file(kind, key))


def sampled_before(key: str, work: Callable[[], Sampled]) -> Sampled:
    """The particles kept under this key, or those that the sampling gives now."""
    return _sampled(remembered(SAMPLED, key, lambda: _as_arrays(work())))


@dataclass(frozen=True, slots=True)
class KeptParticles:
    """Particles by the day of the last look that they know of.

    key : of a day, a digest of all that its particles were made from.
    """

    key: Callable[[int], str]

    def held(self, day: int) -> Sampled | None:
        """The particles kept for that day; None for none."""
        found = kept(SAMPLED, self.key(day))
        return None if found is None else _sampled(found)

    def keep(self, day: int, learnt: Sampled) -> None:
        """Keep these for that day."""
        _keep(_file(SAMPLED, self.key(day)), _as_arrays(learnt))


def _as_arrays(found: Sampled) -> Arrays:
    numbers = np.array([found.evidence, found.accepted, float(found.steps)])
    return {"unknowns": found.unknowns, "numbers": numbers}


def _sampled(held: Arrays) -> Sampled:
    from lattermath.belief.tempering import Sampled  # loads what samples, for those who do

    evidence, accepted, steps = held["numbers"].tolist()
    return Sampled(held["unknowns"], evidence, accepted, int(steps))


def kept_folder() -> Path:
    """The folder of kept work: the machine's usual one, or LATTERMATH_CACHE."""
    named = os.environ.get("LATTERMATH_CACHE", "")
    return Path(named) if named else platformdirs.user_cache_path("lattermath") / "work"


def _file(kind: str, key: str) -> Path:
    return kept_folder() / f"{kind}-{key}.npz"


def _held(file: Path) -> Arrays | None:
    """What is kept there; None for nothing, or what cannot be read."""
    try:
        with file.open("rb") as raw, np.load(raw, allow_pickle=False) as held:
            found = {name: held[name] for name in held.files}
    except (OSError, ValueError, EOFError, KeyError, zipfile.BadZipFile):
        return None
    with suppress(OSError):
        file.touch()  # what is asked for is the last to be forgotten
    return found


def _keep(file: Path, done: Arrays) -> None:
    """Write whole or not at all; a machine that lets nothing be kept only works twice."""
    half = file.with_name(f"{file.name}.{os.getpid()}.half")
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        with half.open("wb") as out:
            np.savez(out, **done)  # type: ignore[arg-type]
        half.replace(file)
        if _much_since(file):
            _forget_the_oldest(file.parent)
    except OSError:
        with suppress(OSError):
            half.unlink()


def _much_since(file: Path) -> bool:
    """Whether this process kept enough in a folder since all there was counted to count again.

    True at first, then once in a fortieth of the most that is kept.
    """
    number, total = SINCE.get(file.parent, (MOST_KEPT, 0))
    number, total = number + 1, total + file.stat().st_size
    much = number >= MOST_KEPT // PARTS or total >= MOST_BYTES // PARTS
    SINCE[file.parent] = (0, 0) if much else (number, total)
    return much


def _forget_the_oldest(folder: Path) -> None:
    """Of all that is kept, what was asked for longest ago goes first."""
    with os.scandir(folder) as there:
        found = [(one.path, one.stat()) for one in there if one.name.endswith(".npz")]
    number, total = len(found), sum(stat.st_size for _, stat in found)
    if number <= MOST_KEPT and total <= MOST_BYTES:  # as nearly always: nothing need be ordered
        return
    for path, stat in sorted(found, key=lambda one: one[1].st_mtime)[:-1]:
        if number <= MOST_KEPT and total <= MOST_BYTES:
            return
        number, total = number - 1, total - stat.st_size
        Path(path).unlink(missing_ok=True)


def _take_in(total: hashlib._Hash, part: object) -> None:
    """Take one part in with its kind and size, so that no two differ and read alike."""
    kind: Any = type(part)
    if kind in PLAIN:
        total.update(f"{kind.__name__} {part!r}\n".encode())
    elif isinstance(part, np.ndarray):
        total.update(f"array {part.dtype.str} {part.shape}\n".encode())
        total.update(np.ascontiguousarray(part).tobytes())
    elif (names := _compared(kind)) is not None:
        total.update(f"{kind.__name__} {{".encode())
        for name in names:
            _take_in(total, getattr(part, name))
    elif isinstance(part, (tuple, list, frozenset, set)):
        total.update(f"{kind.__name__} {len(part)}".encode())
        ordered = sorted(part, key=repr) if isinstance(part, (frozenset, set)) else part
        for one in ordered:
            _take_in(total, one)
    elif isinstance(part, Mapping):
        total.update(f"map {len(part)}".encode())
        for key, value in part.items():
            _take_in(total, key)
            _take_in(total, value)
    elif callable(part):
        raise TypeError(f"{part!r} has no bits to digest")
    else:
        total.update(f"{kind.__name__} {part!r}\n".encode())


@cache
def _compared(kind: Any) -> tuple[str, ...] | None:
    """The fields that make two records of a kind differ; None of what is no record."""
    if not is_dataclass(kind):
        return None
    return tuple(one.name for one in fields(kind) if one.compare or one.init)
