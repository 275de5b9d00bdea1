"""The documents tell the truth: what they name is there."""

import json
import re
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

from lattermath.desk.compute import listing
from lattermath.desk.start import start
from lattermath.doors.command import app

ROOT = Path(__file__).resolve().parents[2]
SOURCE = ROOT / "src" / "lattermath"
DOCS = ROOT / "docs"
TESTS = ROOT / "tests"
PAGES = sorted([*ROOT.glob("*.md"), *DOCS.rglob("*.md")])
DECISIONS = sorted((DOCS / "decisions").glob("*.md"))
COMMANDS = {str(name) for name in app if not str(name).startswith("-")}
ENDINGS = "py|toml|md|json|txt|csv|html"
HEADINGS = ("**Context.**", "**Choice.**", "**What would change our mind.**")
VALIDATION_HEAD = ["source, what was seen", "check value", "ours", "tolerance", "verdict", "test"]
XFAIL = re.compile(r"^@pytest\.mark\.xfail", re.MULTILINE)
CHECKED = re.compile(r"<!-- checked: minimal plot -->\n```toml\n(.*?)```", re.DOTALL)


def named(path: Path) -> str:
    return str(path.relative_to(ROOT))


@pytest.mark.parametrize("page", PAGES, ids=named)
def test_links_lead_somewhere(page: Path) -> None:
    for target in re.findall(r"\]\(([^)#\s]+)[^)]*\)", page.read_text("utf-8")):
        if not target.startswith(("http:", "https:", "mailto:")):
            assert (page.parent / target).exists(), target


@pytest.mark.parametrize("page", PAGES, ids=named)
def test_headings_linked_to_exist(page: Path) -> None:
    text = page.read_text("utf-8")
    heads = {
        re.sub(r"[^\w -]", "", head.lower()).replace(" ", "-")
        for head in re.findall(r"^#+ (.+)$", text, re.M)
    }
    assert set(re.findall(r"\]\(#([^)]+)\)", text)) <= heads


def command_lines(text: str) -> Iterator[str]:
    """The word after `lattermath` in code spans, indented lines and fenced blocks."""
    spans = re.findall(r"`(lattermath [^`]*)`", text)
    lines = re.findall(r"^(?: {4})?(?:\$ )?(lattermath .*)$", text, re.M)
    for line in (*spans, *lines):
        word = line.split()[1]
        if re.fullmatch(r"[a-z][a-z-]*", word):
            yield word


@pytest.mark.parametrize("page", PAGES, ids=named)
def test_commands_named_exist(page: Path) -> None:
    assert not set(command_lines(page.read_text("utf-8"))) - COMMANDS


def test_command_lines_are_found_wherever_they_stand() -> None:
    fenced = "```sh\n$ lattermath c x\nlattermath d\n```\nlattermath --help"
    text = "`lattermath a`\n    lattermath b\n" + fenced
    assert sorted(command_lines(text)) == ["a", "b", "c", "d"]


def stands(name: str, room: str) -> bool:
    """A file or folder, from the checkout, from the package, or within a room."""
    places = [ROOT, SOURCE] + ([SOURCE / room] if room else [])
    return any((place / name).exists() for place in places)


def test_what_the_tour_names_exists() -> None:
    """Paths with a folder anywhere; a file by itself in the room of its paragraph."""
    checked = 0
    for paragraph in (DOCS / "tour.md").read_text("utf-8").split("\n\n"):
        head = re.match(r"\*\*`(\w+)`\*\*", paragraph)
        room = head[1] if head else ""
        for name in re.findall(rf"`([\w./-]+/|[\w./-]+\.(?:{ENDINGS}))`", paragraph):
            assert stands(name, room), (room, name)
            checked += 1
    assert checked > 50


def test_the_tour_enters_every_room_and_opens_two_files_there() -> None:
    text = (DOCS / "tour.md").read_text("utf-8")
    rooms = {p.parent.name for p in SOURCE.glob("*/__init__.py")}
    opened = {
        head[1]: len(set(re.findall(r"`[\w/]+\.py`", paragraph)))
        for paragraph in text.split("\n\n")
        if (head := re.match(r"\*\*`(\w+)`\*\*", paragraph))
    }
    assert set(opened) == rooms
    assert min(opened.values()) >= 2, opened


def test_decisions_are_numbered_without_gaps() -> None:
    assert [int(p.name[:4]) for p in DECISIONS] == list(range(1, len(DECISIONS) + 1))


@pytest.mark.parametrize("page", DECISIONS, ids=named)
def test_a_decision_says_why_and_until_when(page: Path) -> None:
    text = page.read_text("utf-8")
    assert text.startswith(f"# {page.name[:4]} ")
    at = [text.find(heading) for heading in HEADINGS]
    assert -1 not in at and at == sorted(at)
    assert len(text.splitlines()) <= 60, "one page at most"


def validation_rows() -> list[list[str]]:
    """The rows of every table of the page, without the heads."""
    text = (DOCS / "validation.md").read_text("utf-8")
    rows = [line.split(" | ") for line in re.findall(r"^\| (.*) \|$", text, re.M)]
    return [row for row in rows if row[1:] != VALIDATION_HEAD]


def test_every_kernel_has_its_row_in_validation() -> None:
    checked = {name for row in validation_rows() for name in re.findall(r"`([a-z-]+)`", row[0])}
    assert not set(json.loads(listing())) - checked


def test_rows_of_validation_are_whole_and_name_their_test() -> None:
    """Seven cells, none empty, the last a test file that is there."""
    for row in validation_rows():
        assert len(row) == 1 + len(VALIDATION_HEAD) and all(cell.strip() for cell in row), row
        (name,) = re.findall(r"`([\w/]+\.py)`", row[-1])
        folder = TESTS if "/" in name else TESTS / "published"
        assert (folder / name).is_file(), name


def verdicts_by_test() -> dict[str, list[str]]:
    """The verdicts of validation by test file."""
    told: dict[str, list[str]] = {}
    for row in validation_rows():
        told.setdefault(row[-1].strip("`").rpartition("/")[2], []).append(row[-2])
    return told


def test_every_published_check_is_in_validation() -> None:
    """One file a source: each has its row, so that none is checked and not told."""
    assert not {p.name for p in (TESTS / "published").glob("test_*.py")} - set(verdicts_by_test())


def test_every_expected_failure_is_told() -> None:
    """A check that fails on purpose is told of where a reader looks for it."""
    failing = [p for p in TESTS.rglob("test_*.py") if XFAIL.search(p.read_text("utf-8"))]
    assert failing
    for page in failing:
        assert any("fails" in verdict for verdict in verdicts_by_test().get(page.name, [])), (
            page.name
        )


def test_the_plots_of_the_readme_start(tmp_path: Path) -> None:
    blocks = CHECKED.findall((ROOT / "README.md").read_text("utf-8"))
    assert blocks
    for n, block in enumerate(blocks):
        folder = tmp_path / str(n)
        folder.mkdir()
        (folder / "plot.toml").write_text(block, "utf-8")
        assert tomllib.loads(block)["planting"]
        start(folder)
