"""The whole way through the real desk: the demonstration set up, planned, logged, asked why."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from lattermath.desk.wiring import folder_at, open_journal
from lattermath.doors import answering
from lattermath.doors.command import run

SCHEMA = Path(__file__).parents[2] / "docs" / "plan.schema.json"
DAY = "2011-07-30"


@pytest.fixture(scope="module")
def shown(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    folder = tmp_path_factory.mktemp("demo") / "plot"
    patch = pytest.MonkeyPatch()
    heard: list[str] = []
    patch.setattr("lattermath.doors.answering.sys.stdout", Listener(heard))
    try:
        assert run(["demo", str(folder)]) == 0
    finally:
        patch.undo()
    return folder, "".join(heard)


class Listener:
    """Stands in for standard output while a fixture that outlives one test runs."""

    def __init__(self, heard: list[str]) -> None:
        self.write = heard.append

    def flush(self) -> None:
        """Nothing is held back."""


def told(words: list[str], capsys: pytest.CaptureFixture[str]) -> Any:
    assert run([*words, "--json"]) == 0
    return json.loads(capsys.readouterr().out)


def test_demo_prints_the_sheet_and_writes_the_page(shown: tuple[Path, str]) -> None:
    folder, out = shown
    for part in ("ON ARRIVAL", "PICK", "DECIDED", "Why? Turn over.", "KEEP OR REPLACE", "STAMP"):
        assert part in out
    sheet = out[out.index("PLOT 14") : out.index("Why? Turn over.")]
    assert max(map(len, sheet.splitlines())) <= 78
    assert "«" not in out
    page = (folder / "sheet.html").read_text(encoding="utf-8")
    assert "<h1>Saturday 30 July</h1>" in page and "«" not in page


def test_plan_loads_no_more_than_it_uses(shown: tuple[Path, str]) -> None:
    """Every start pays for what is loaded; a kept plan is read, and has no use for these."""
    code = (
        "import sys\nfrom lattermath.doors.command import run\n"
        f"run(['plan', '--on', '{DAY}', '--plot', sys.argv[1]])\n"
        "sys.stderr.write(' '.join(sys.modules))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, str(shown[0])], capture_output=True, text=True, check=True
    )
    loaded = set(done.stderr.split())
    assert "lattermath.desk.plan_visit" in loaded
    idle = re.compile(
        r"(rich|jinja2|typst|pandas|pydantic\.v1|numba|lattermath\.desk\.lay_out"
        r"|scipy\.(stats|optimize|sparse|interpolate|integrate|spatial|signal)"
        r"|lattermath\.(desk\.(compute|kernel_forms|demo)|sheets\.(page|paper)|knowledge\.making))"
    )
    assert sorted(name for name in loaded if idle.match(name)) == []


def test_plan_is_valid_and_its_reasons_unfold(
    shown: tuple[Path, str], capsys: pytest.CaptureFixture[str]
) -> None:
    at = ["--plot", str(shown[0])]
    made = told(["plan", "--on", DAY, *at], capsys)
    schema = json.loads(SCHEMA.read_text(encoding="utf-8"))
    Draft202012Validator(schema).validate(made)
    assert "«" not in json.dumps(made, ensure_ascii=False)
    task = made["visits"][0]["tasks"][0]
    assert run(["why", task["id"], *at]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0].startswith("Sat 30 Jul: ") and len(lines) > 2


def test_front_shows_no_chance_no_id_and_one_range_a_line(
    shown: tuple[Path, str], capsys: pytest.CaptureFixture[str]
) -> None:
    at = ["--plot", str(shown[0]), "--on", DAY]
    with open_journal(folder_at(shown[0])) as journal:
        made = json.loads(journal.plan(journal.plans()[-1].stamp) or "")
    for units in ("metric", "us"):
        assert run(["plan", "--units", units, *at]) == 0
        front = capsys.readouterr().out
        for line in front.splitlines():
            assert len(line) <= 78
            assert len(re.findall(r"\d to \d", line)) <= 1
        assert not re.search(r"\d in 10\b", front)
        for task in made["visits"][0]["tasks"]:
            assert task["id"] not in front
        assert made["stamp"]["tables"] not in front


@pytest.mark.parametrize("share", [0.0, 0.1, 0.6, 0.95])
def test_an_interruption_leaves_the_record_whole(
    shown: tuple[Path, str],
    share: float,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    at = ["--plot", str(shown[0])]

    @contextmanager
    def interrupted() -> Iterator[Callable[[str, float], None]]:
        def hear(_: str, done: float) -> None:
            if done >= share:
                raise KeyboardInterrupt

        yield hear

    monkeypatch.setattr(answering, "progress", interrupted)
    status = run(["plan", "--on", DAY, *at])
    heard = capsys.readouterr()
    assert status == 130 and "Interrupted" in heard.err and heard.out == ""
    assert run(["check", *at]) == 0


def test_log_correct_withdraw_and_check(
    shown: tuple[Path, str], capsys: pytest.CaptureFixture[str]
) -> None:
    at = ["--plot", str(shown[0])]
    first = told(["log", "count", "Aubergines", "whitefly", "3,0,1", *at], capsys)
    assert first["payload"]["planting"] == "aubergines"
    again = ["log", "correct", str(first["serial"]), "count", "Aubergines", "whitefly", "5,0,1"]
    second = told([*again, *at], capsys)
    assert second["supersedes"] == first["id"]
    third = told(["log", "withdraw", str(second["serial"]), *at], capsys)
    assert third["supersedes"] == second["id"]
    assert run(["check", *at]) == 0
    assert "sound" in capsys.readouterr().out


def test_a_name_that_nobody_gave_is_refused_and_nothing_written(
    shown: tuple[Path, str], capsys: pytest.CaptureFixture[str]
) -> None:
    at = ["--plot", str(shown[0])]
    before = told(["log", "visit", *at], capsys)["serial"]
    assert run(["log", "count", "aubergenes", "whitefly", "3", *at]) == 2
    assert re.search("ubergines", capsys.readouterr().err)
    assert told(["log", "visit", *at], capsys)["serial"] == before + 1


def test_export_and_backup(
    shown: tuple[Path, str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    at = ["--plot", str(shown[0])]
    assert run(["export", str(tmp_path / "open"), *at]) == 0
    assert run(["backup", str(tmp_path / "copy.sqlite"), *at]) == 0
    assert list((tmp_path / "open").glob("*.json"))
    assert (tmp_path / "copy.sqlite").stat().st_size > 0


def test_a_folder_without_a_plot_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["plan", "--plot", str(tmp_path)]) == 2
    assert "plot.toml" in capsys.readouterr().err
