"""The documents tell the truth: what they name is there."""

import json
import re
import tomllib
from pathlib import Path

import pytest

from lattermath.desk.compute import listing
from lattermath.desk.start import start
from lattermath.doors.command import app

ROOT = Path(__file__).resolve().parents[2]
SOURCE = ROOT / "src" / "lattermath"
PAGES = sorted([*ROOT.glob("*.md"), *(ROOT / "docs").rglob("*.md")])
DECISIONS = sorted((ROOT / "docs" / "decisions").glob("*.md"))
COMMANDS = {str(name) for name in app if not str(name).startswith("-")}


def named(path: Path) -> str:
    return str(path.relative_to(ROOT))


@pytest.mark.parametrize("page", PAGES, ids=named)
def test_links_lead_somewhere(page: Path) -> None:
    for target in re.findall(r"\]\(([^)#\s]+)[^)]*\)", page.read_text("utf-8")):
        if not target.startswith(("http:", "https:", "mailto:")):
            assert (page.parent / target).exists(), target


@pytest.mark.parametrize("page", PAGES, ids=named)
def test_commands_named_exist(page: Path) -> None:
    text = page.read_text("utf-8")
    for command in re.findall(r"(?:^ {4}|`)lattermath ([a-z][a-z-]*)", text, re.M):
        assert command in COMMANDS, command


def test_modules_named_in_the_tour_exist() -> None:
    """A module is named with its room, or alone below the heading of its room."""
    text = (ROOT / "docs" / "tour.md").read_text("utf-8")
    modules = {p.name for p in SOURCE.rglob("*.py")}
    for name in re.findall(r"`([\w/]+\.py)`", text):
        assert (SOURCE / name).is_file() if "/" in name else name in modules, name


def test_the_tour_enters_every_room() -> None:
    text = (ROOT / "docs" / "tour.md").read_text("utf-8")
    rooms = {p.parent.name for p in SOURCE.glob("*/__init__.py")}
    assert rooms and not [room for room in rooms if f"**`{room}`**" not in text]


def test_decisions_are_numbered_without_gaps() -> None:
    assert [int(p.name[:4]) for p in DECISIONS] == list(range(1, len(DECISIONS) + 1))


@pytest.mark.parametrize("page", DECISIONS, ids=named)
def test_a_decision_says_why_and_until_when(page: Path) -> None:
    text = page.read_text("utf-8")
    assert text.startswith(f"# {page.name[:4]} ")
    for heading in ("**Context.**", "**Choice.**", "**What would change our mind.**"):
        assert heading in text


def test_every_kernel_has_its_row_in_validation() -> None:
    rows = set(re.findall(r"`([a-z-]+)`", (ROOT / "docs" / "validation.md").read_text("utf-8")))
    assert not set(json.loads(listing())) - rows


def test_the_plot_of_the_readme_starts(tmp_path: Path) -> None:
    text = (ROOT / "README.md").read_text("utf-8")
    block = re.search(r"<!-- checked: minimal plot -->\n```toml\n(.*?)```", text, re.S)
    assert block is not None
    (tmp_path / "plot.toml").write_text(block[1], "utf-8")
    start(tmp_path)
    assert {row["name"] for row in tomllib.loads(block[1])["planting"]} == {
        "Courgettes",
        "Pole beans",
    }
