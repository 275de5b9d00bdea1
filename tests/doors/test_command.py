from __future__ import annotations

import json
import re
import subprocess
import sys
import tomllib
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from lattermath.doors.command import app, main, run
from lattermath.vocabulary.errors import Fault, PlanViolates
from lattermath.vocabulary.plan import Plan

DOCS = Path(__file__).parents[2] / "docs"
COMMANDS = [
    "start",
    "log",
    "plan",
    "picking",
    "standby",
    "season",
    "serve",
    "phones",
    "take-away",
    "take-in",
    "calendar",
    "print",
    "why",
    "look",
    "weather",
    "fetch",
    "compute",
    "export",
    "import",
    "backup",
    "check",
    "demo",
    "what-if",
    "trial",
]
ENTRIES = [
    "count",
    "cups",
    "none",
    "shake",
    "card",
    "severity",
    "seen",
    "treated",
    "picked",
    "watered",
    "sown",
    "set-out",
    "pulled",
    "care",
    "done",
    "visit",
    "correct",
    "withdraw",
    "words",
    "photo",
    "sketches",
]


@dataclass
class Report:
    says: list[str]
    faults: tuple[Fault, ...] = ()


@pytest.mark.parametrize(
    "words", [[], *[[c] for c in COMMANDS], *[["log", e] for e in ENTRIES]], ids=" ".join
)
def test_every_help_ends_with_an_example(
    words: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert run([*words, "--help"]) == 0
    last = " ".join(capsys.readouterr().out.split("Example: ")[-1].split())
    assert "lattermath" in last and all(word in last for word in words)


def test_every_command_there_is_has_been_named_here() -> None:
    named = {name for name in app if not name.startswith("-")}
    assert named == set(COMMANDS)
    assert {name for name in app["log"] if not name.startswith("-")} == set(ENTRIES)


def test_help_loads_no_heavy_room() -> None:
    done = subprocess.run(
        [sys.executable, "-X", "importtime", "-m", "lattermath", "--help"],
        capture_output=True,
        text=True,
        check=True,
    )
    loaded = {line.split("|")[-1].strip() for line in done.stderr.splitlines()}
    heavy = re.compile(
        r"(numpy|scipy|numba|pydantic|jinja2|sqlite3|lattermath\.(desk|planning|belief|science"
        r"|knowledge|record|weather|audit))(\.|$)"
    )
    assert sorted(name for name in loaded if heavy.match(name)) == []
    assert "lattermath.doors.command" in loaded


def interrupted_while_loading(module: str) -> subprocess.CompletedProcess[str]:
    """Run the command with a Ctrl-C that falls while `module` is being loaded."""
    code = f"""
import runpy, sys
class Hand:
    def find_spec(self, name, path=None, target=None):
        if name == {module!r}:
            raise KeyboardInterrupt
sys.meta_path.insert(0, Hand())
sys.argv = ["lattermath", "log", "--help"]
runpy.run_module("lattermath", run_name="__main__", alter_sys=True)
"""
    return subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)


@pytest.mark.parametrize(
    "module", ["cyclopts", "lattermath.doors.command", "lattermath.doors.log_work", "json"]
)
def test_an_interruption_while_loading_is_quiet(module: str) -> None:
    done = interrupted_while_loading(module)
    assert (done.returncode, done.stdout, done.stderr) == (130, "", "")


def test_the_installed_command_is_the_one_that_is_quiet() -> None:
    project = tomllib.loads((DOCS.parent / "pyproject.toml").read_text(encoding="utf-8"))
    assert project["project"]["scripts"]["lattermath"] == "lattermath.__main__:main"


def test_plan_prints_the_sheet(
    plan: Plan, seat: Callable[..., None], capsys: pytest.CaptureFixture[str]
) -> None:
    asked: list[Any] = []
    seat("plan_visit", plan=lambda *given: asked.append(given) or plan)
    assert run(["plan", "--on", "2016-07-29", "--as-known", "2016-07-28", "--plot", "p"]) == 0
    out = capsys.readouterr().out
    assert out.startswith("PLOT 14") and out.endswith("Why? Turn over.\n")
    folder, on, known, progress = asked[0]
    assert (folder, str(on), str(known), progress) == (Path("p"), "2016-07-29", "2016-07-28", None)


def test_season_says_its_outcome_and_writes_each_picture_with_its_numbers(
    plan: Plan, seat: Callable[..., None], capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    seat("plan_visit", plan=lambda *given, **named: plan)
    seat("season_events", season_events=lambda folder, day: ())
    assert run(["season", "--pictures", str(tmp_path / "new" / "pictures")]) == 0
    out = capsys.readouterr().out
    assert "Two soaps six days apart reach every egg" in " ".join(out.split())
    written = {path.name for path in (tmp_path / "new" / "pictures").iterdir()}
    names = {"days", "greenhouse-whitefly"}
    assert written == {f"{name}.{form}" for name in names for form in ("svg", "csv")}
    (tmp_path / "file").write_text("x")
    assert run(["season", "--pictures", str(tmp_path / "file")]) == 2
    assert "no such folder can be made" in capsys.readouterr().err


def test_plan_as_json_is_valid(
    plan: Plan, seat: Callable[..., None], capsys: pytest.CaptureFixture[str]
) -> None:
    seat("plan_visit", plan=lambda *given: plan)
    assert run(["plan", "--json"]) == 0
    schema = json.loads((DOCS / "plan.schema.json").read_text(encoding="utf-8"))
    Draft202012Validator(schema).validate(json.loads(capsys.readouterr().out))


def test_plan_writes_a_page_whole_or_refuses(
    plan: Plan, seat: Callable[..., None], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    seat("plan_visit", plan=lambda *given: plan)
    page = tmp_path / "sheet.html"
    assert run(["plan", "--html", str(page)]) == 0
    assert page.read_text(encoding="utf-8").startswith("<!doctype html>")
    assert [file.name for file in tmp_path.iterdir()] == ["sheet.html"]
    assert run(["plan", "--html", str(tmp_path / "no" / "sheet.html")]) == 2
    assert "cannot write here" in capsys.readouterr().err


def test_plan_writes_a_pdf_whole_or_refuses(
    plan: Plan,
    seat: Callable[..., None],
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    seat("plan_visit", plan=lambda *given: plan)
    file = tmp_path / "sheet.pdf"
    assert run(["plan", "--pdf", str(file)]) == 0
    a4 = file.read_bytes()
    assert a4.startswith(b"%PDF-") and a4.rstrip().endswith(b"%%EOF")
    assert [held.name for held in tmp_path.iterdir()] == ["sheet.pdf"]
    assert run(["plan", "--pdf", str(file), "--paper", "letter"]) == 0
    assert file.read_bytes() != a4
    assert run(["plan", "--pdf", str(file), "--paper", "a5"]) == 2
    assert run(["plan", "--pdf", str(tmp_path / "no" / "sheet.pdf")]) == 2
    assert "cannot write here" in capsys.readouterr().err
    monkeypatch.setitem(sys.modules, "typst", None)
    assert run(["plan", "--pdf", str(tmp_path / "other.pdf")]) == 2
    assert "lattermath[print]" in capsys.readouterr().err
    assert [held.name for held in tmp_path.iterdir()] == ["sheet.pdf"]


def test_calendar_writes_a_file_whole_and_says_what_is_in_it(
    plan: Plan, seat: Callable[..., None], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    made = [plan, replace(plan, visits=())]
    seat("plan_visit", plan=lambda *given: made[0], plan_before=lambda *given: {})
    file = tmp_path / "plot.ics"
    assert run(["calendar", str(file), "--plot", "p"]) == 0
    assert file.read_bytes().startswith(b"BEGIN:VCALENDAR\r\n")
    assert "2 visits and 0 limits" in capsys.readouterr().out
    file.unlink()
    del made[0]
    assert run(["calendar", str(file)]) == 1
    assert "nothing to put in a calendar" in capsys.readouterr().out and not file.exists()


@pytest.mark.parametrize("what", ["helper", "picking"])
def test_print_writes_the_kind_that_the_name_ends_in(
    what: str,
    plan: Plan,
    seat: Callable[..., None],
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    seat("plan_visit", plan=lambda *given: plan)
    assert run(["print", what, str(tmp_path / "card.pdf"), "--paper", "letter"]) == 0
    assert (tmp_path / "card.pdf").read_bytes().startswith(b"%PDF-")
    assert run(["print", what, str(tmp_path / "card.html")]) == 0
    assert (tmp_path / "card.html").read_text("utf-8").startswith("<!doctype html>")
    assert run(["print", what, str(tmp_path / "card.doc")]) == 2
    assert ".pdf or .html" in capsys.readouterr().err
    assert run(["print", "leaflet", str(tmp_path / "card.pdf")]) == 2
    assert sorted(file.name for file in tmp_path.iterdir()) == ["card.html", "card.pdf"]


def test_print_without_need_writes_nothing(
    plan: Plan, seat: Callable[..., None], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    seat("plan_visit", plan=lambda *given: plan)
    assert run(["print", "tags", str(tmp_path / "tags.pdf")]) == 1
    assert "no tag is needed" in capsys.readouterr().out and not list(tmp_path.iterdir())


def test_no_visit_is_nothing_to_do(
    plan: Plan, seat: Callable[..., None], capsys: pytest.CaptureFixture[str]
) -> None:
    seat("plan_visit", plan=lambda *given: replace(plan, visits=()))
    assert run(["plan"]) == 1
    assert "No visit is planned." in capsys.readouterr().out


def test_a_plan_that_breaks_a_limit_is_withheld(
    seat: Callable[..., None], capsys: pytest.CaptureFixture[str]
) -> None:
    def withheld(*given: object) -> Plan:
        raise PlanViolates(Fault("picked before clear", "beans", "Tue 5 Aug", "Tell us."))

    seat("plan_visit", plan=withheld)
    assert run(["plan", "--json"]) == 3
    told = capsys.readouterr()
    assert told.out == ""
    assert json.loads(told.err)["what"] == "picked before clear"


def test_interrupted(seat: Callable[..., None], capsys: pytest.CaptureFixture[str]) -> None:
    def stopped(*given: object) -> Plan:
        raise KeyboardInterrupt

    seat("plan_visit", plan=stopped)
    with pytest.raises(SystemExit) as left:
        main(["plan"])
    assert left.value.code == 130
    assert "Nothing is half-written" in capsys.readouterr().err


def test_picking_and_standby(
    plan: Plan, seat: Callable[..., None], capsys: pytest.CaptureFixture[str]
) -> None:
    seat("plan_visit", plan=lambda *given: plan)
    assert run(["picking"]) == 0
    assert "not before Thu 7 Aug 20:00" in capsys.readouterr().out
    assert run(["picking", "--json"]) == 0
    beans = json.loads(capsys.readouterr().out)[0]
    assert (beans["planting"], beans["clear_now"]) == ("beans", False)
    assert run(["standby"]) == 0
    assert "8 chard in cups" in capsys.readouterr().out


def test_why_unfolds(seat: Callable[..., None], capsys: pytest.CaptureFixture[str]) -> None:
    seat("why", why=lambda folder, address: [f"{address}", "  entry 3"])
    assert run(["why", "event:17"]) == 0
    assert capsys.readouterr().out == "event:17\n  entry 3\n"


def test_check_finds_problems(
    seat: Callable[..., None], capsys: pytest.CaptureFixture[str]
) -> None:
    bad = Report(
        ["journal: 17 entries"], (Fault("chain broken", "journal", "entry 9", "Restore."),)
    )
    seat("keepers", check=lambda folder: bad)
    assert run(["check"]) == 1
    assert "chain broken" in capsys.readouterr().out
    seat("keepers", check=lambda folder: Report(["all well"]))
    assert run(["check"]) == 0


@pytest.mark.parametrize(
    "words", [["paln"], ["plan", "--om", "2016-07-01"], ["plan", "--on", "July"], ["why"]]
)
def test_a_wrong_command_line_has_the_one_error_shape(
    words: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert run([*words, "--json"]) == 2
    told = json.loads(capsys.readouterr().err)
    assert set(told) == {"what", "where", "value", "remedy"}
    assert all(told.values())


def test_a_folder_that_cannot_be_read_is_a_fault(
    seat: Callable[..., None], capsys: pytest.CaptureFixture[str]
) -> None:
    def denied(*given: object) -> Plan:
        raise PermissionError(13, "Permission denied", "journal.sqlite")

    seat("plan_visit", plan=denied)
    assert run(["plan", "--json"]) == 2
    assert json.loads(capsys.readouterr().err)["value"] == "journal.sqlite"


def test_a_reader_that_leaves_early_is_no_error() -> None:
    listed = f"{sys.executable} -m lattermath compute --list | head -1"
    done = subprocess.run(
        ["bash", "-o", "pipefail", "-c", listed], capture_output=True, text=True, check=True
    )
    assert (done.stdout, done.stderr) == ("{\n", "")


def test_a_day_that_is_none_says_how_to_write_one(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["plan", "--on", "2026-13-01"]) == 2
    said = capsys.readouterr().err
    assert "--on: this is no day (found: 2026-13-01). Write it as 2026-07-31." in said


@pytest.mark.parametrize("what", ["account", "record"])
def test_account_and_record_need_no_plan(
    what: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "plot.toml").write_text(
        'format = 1\n[place]\nname = "Lane"\nlatitude = 51.5\nlongitude = -0.6\n'
        'time_zone = "Europe/London"\n[[planting]]\nname = "Beans"\ncrop = "climbing bean"\n'
        'plants = 12\nsown = "mid-May"\n',
        "utf-8",
    )
    plot = ["--plot", str(tmp_path)]
    assert run(["start", str(tmp_path)]) == 0
    assert run(["log", "care", "beans", "hoe", *plot]) == 0
    for name in ("paper.pdf", "paper.html"):
        assert run(["print", what, str(tmp_path / name), *plot]) == 0
        assert (tmp_path / name).stat().st_size > 1000
    assert run(["print", what, str(tmp_path / "old.pdf"), "--on", "2001-01-01", *plot]) == 2
    assert "later day" in capsys.readouterr().err


def test_start_takes_its_folder_as_the_other_commands_do(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """`--plot` and the bare folder are one; two folders at once are refused."""
    place = '[place]\nlatitude = 51.5\nlongitude = -0.6\ntime_zone = "Europe/London"\n'
    for n, named in enumerate(([], ["--plot"])):
        folder = tmp_path / str(n)
        folder.mkdir()
        (folder / "plot.toml").write_text(f"format = 1\n{place}", "utf-8")
        assert run(["start", *named, str(folder)]) == 0
        assert (folder / "lattermath.journal").exists()
    assert run(["start", str(tmp_path / "0"), "--plot", str(tmp_path / "1")]) == 2
    assert "two folders are named" in capsys.readouterr().err
