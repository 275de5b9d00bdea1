"""Kept work gives the very bits that were computed, and a damaged file is made anew."""

from dataclasses import asdict, dataclass
from datetime import date, datetime
from pathlib import Path

import numpy as np
import pytest
from tests.desk.demo_ground import demo_ground

from lattermath.desk.kept_work import digest_of, remembered
from lattermath.desk.log_visit import log
from lattermath.desk.plan_visit import plan
from lattermath.vocabulary.events import Sighting

pytestmark = pytest.mark.usefixtures("few_draws")


@dataclass(frozen=True)
class Two:
    one: float
    other: tuple[int, ...]


def test_every_bit_counts() -> None:
    numbers = np.arange(6.0)
    nearly = numbers.copy()
    nearly[3] = np.nextafter(3.0, 4.0)
    parts = [
        (numbers,), (nearly,), (numbers.reshape(2, 3),), (numbers.astype("f4"),),
        (1,), (1.0,), ("1",), ((1,), ()), ((), (1,)), ({"a": 1},), (["a", 1],),
        (Two(1.0, (1, 2)),), (Two(1.0, (1,)), 2),
    ]  # fmt: skip
    assert len({digest_of(*part) for part in parts}) == len(parts)
    assert digest_of(Two(1.0, (1, 2))) == digest_of(Two(1.0, (1, 2)))
    assert digest_of(frozenset("abc")) == digest_of(frozenset("cba"))


def test_what_has_no_bits_is_refused() -> None:
    with pytest.raises(TypeError, match="no bits"):
        digest_of(lambda: None)


def test_a_damaged_file_is_made_anew(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("LATTERMATH_CACHE", str(tmp_path))
    done: list[int] = []

    def work() -> dict[str, np.ndarray]:
        done.append(1)
        return {"x": np.array([0.1, 0.2])}

    for damage in (None, b"", b"PK\x03\x04 not a zip", None):
        if damage is not None:
            next(tmp_path.glob("*.npz")).write_bytes(damage)
        assert remembered("try", "k", work)["x"].tolist() == [0.1, 0.2]
    assert len(done) == 3
    assert [file.suffix for file in tmp_path.iterdir()] == [".npz"]


def test_a_folder_that_cannot_be_written_only_costs_time(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").write_text("in the way")
    monkeypatch.setenv("LATTERMATH_CACHE", str(tmp_path / "file" / "below"))
    assert remembered("try", "k", lambda: {"x": np.ones(2)})["x"].tolist() == [1.0, 1.0]


def test_a_plan_is_the_same_from_kept_work(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("LATTERMATH_CACHE", str(tmp_path / "kept"))
    folder = demo_ground(tmp_path / "plot")
    at = datetime(2011, 7, 28, 19, 0)
    flies = Sighting("aubergines", "greenhouse_whitefly", "count", "scales", counts=(9, 4, 7, 12))
    log(folder, flies, at)
    log(folder, Sighting("courgettes", "cucurbit_powdery_mildew", "severity", percent=4.0), at)
    made = plan(folder, date(2011, 7, 30))
    assert len(made.populations) == 2
    assert len(list((tmp_path / "kept").glob("*.npz"))) >= 2
    again = plan(folder, date(2011, 7, 30))
    first, second = asdict(made), asdict(again)
    for told in (first, second):
        told.pop("stamp")  # it names the sheet before it
    assert first == second
