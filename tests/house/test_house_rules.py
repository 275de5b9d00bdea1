"""Rules of the house that a linter does not know."""

import ast
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
SOURCE = ROOT / "src" / "lattermath"
MODULES = sorted(SOURCE.rglob("*.py"))
NO_ROOM = {"utils", "helpers", "common", "core", "misc", "models"}
CLOCKS = {"now", "today", "utcnow", "time", "time_ns", "monotonic", "perf_counter"}


def tracked(pattern: str) -> list[Path]:
    skip = {".git", ".venv", "__pycache__", "lattermath-demo"}
    return [p for p in ROOT.rglob(pattern) if p.is_file() and not skip & set(p.parts)]


def calls(path: Path) -> list[str]:
    tree = ast.parse(path.read_text("utf-8"))
    return [ast.unparse(node.func) for node in ast.walk(tree) if isinstance(node, ast.Call)]


def test_no_room_is_a_lumber_room() -> None:
    names = {p.stem for p in MODULES} | {p.parent.name for p in MODULES}
    assert not names & NO_ROOM


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(SOURCE)))
def test_only_the_desk_throws_dice_and_reads_the_clock(path: Path) -> None:
    room = path.relative_to(SOURCE).parts[0]
    made_once = "making" in path.name or "making" in path.parts
    if room == "desk" or made_once:
        return
    for call in calls(path):
        last = call.rsplit(".", 1)[-1]
        assert "np.random." not in call and last != "default_rng", call
        clock = "." in call and call.split(".")[0] in {"datetime", "date", "time", "dt"}
        assert not (clock and last in CLOCKS), call


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(SOURCE)))
def test_only_the_record_opens_the_store(path: Path) -> None:
    if path.relative_to(SOURCE).parts[0] != "record":
        assert not re.search(r"^\s*(import|from) sqlite3", path.read_text("utf-8"), re.M)


def test_only_one_module_asks_the_network() -> None:
    """Decision 0024; what serves pages listens and asks nobody.

    What looks up the machine's own addresses (decision 0028) opens a datagram socket and sends
    nothing through it.
    """
    opens = re.compile(
        r"^\s*(import|from) (urllib\.request|http\.client|socket|httpx2?|requests)", re.M
    )
    found = {
        p.relative_to(SOURCE).as_posix() for p in MODULES if opens.search(p.read_text("utf-8"))
    }
    assert found == {"desk/ask_service.py", "desk/own_addresses.py"}
    own = SOURCE / "desk" / "own_addresses.py"
    used = [one for one in calls(own) if re.fullmatch(r"(socket|way)\.\w+", one)]
    assert {one.partition(".")[2] for one in used} == {
        *("socket", "gethostname", "if_nameindex", "inet_ntoa"),
        *("connect", "getsockname", "fileno"),
    }
    assert "SOCK_STREAM" not in own.read_text("utf-8")


def test_nothing_tracked_names_a_machine_or_a_registry() -> None:
    words = [
        "/" + "root/",
        "/" + "work/",
        "pypi" + ".org",
        "files.python" + "hosted",
        "registry.npm" + "js",
    ]
    for pattern in ("*.py", "*.toml", "*.md", "*.txt", "*.html", "*.css", "*.json", "run"):
        for path in tracked(pattern):
            text = path.read_text("utf-8")
            assert not [w for w in words if w in text], path


def test_requirements_are_pinned_with_hashes() -> None:
    for path in sorted((ROOT / "requirements").glob("*.txt")):
        text = path.read_text("utf-8")
        pins = len(re.findall(r"^[A-Za-z0-9_.-]+==", text, re.M))
        entries = len(re.findall(r"^[A-Za-z0-9]", text, re.M))
        hashed = len(re.findall(r"^[A-Za-z0-9].*\\\n\s+--hash=sha256:", text, re.M))
        assert pins == entries == hashed > 0, path.name
