"""What would change what goes into bare ground, beside plans made anew with that changed."""

from __future__ import annotations

import re
import shutil
from datetime import date
from pathlib import Path

import pytest

from lattermath.desk.demo import demo
from lattermath.desk.plan_visit import plan
from lattermath.vocabulary.plan import Plan, Turn, Verdict

SATURDAY = date(2011, 7, 30)
BED = '\n[[bed]]\nkey = "empty"\nname = "the empty bed"\nx_m = 30.0\ny_m = 30.0\n' \
      "length_m = 0.6\nwidth_m = 0.5\n"  # fmt: skip


@pytest.fixture(scope="module")
def shown(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = demo(Path(tmp_path_factory.mktemp("shown")) / "plot").folder
    with (folder / "plot.toml").open("a") as file:
        file.write(BED)
    return folder


def of_bed(made: Plan) -> Verdict | None:
    return next((v for v in made.verdicts if v.planting == "empty"), None)


def turn(verdict: Verdict, name: str) -> Turn:
    return next(one for one in verdict.turns if one.input == name)


def test_a_bare_bed_says_what_would_leave_it_bare(shown: Path, tmp_path: Path) -> None:
    made = of_bed(plan(shown, SATURDAY))
    assert made is not None and made.verdict == "replace"
    hour = turn(made, "price of an hour")
    assert any("first frost" in b.says for b in made.because)
    assert {one.turns_to for one in made.turns} <= {"leaving it bare", ""}
    assert hour.at is not None and hour.at > hour.now
    for price, sown in ((0.9 * hour.at, True), (1.1 * hour.at, False)):
        folder = Path(shutil.copytree(shown, tmp_path / f"at{price:.2f}"))
        text = (folder / "plot.toml").read_text()
        changed, n = re.subn(r"worth_of_hour = .*", f"worth_of_hour = {price:.4f}", text)
        if not n:
            changed = text.replace("[household]", f"[household]\nworth_of_hour = {price:.4f}")
        (folder / "plot.toml").write_text(changed)
        assert (of_bed(plan(folder, SATURDAY)) is not None) is sown
