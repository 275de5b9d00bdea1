"""docs/checks.md names every check of every list, and tests that exist."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
PAGE = (ROOT / "docs" / "checks.md").read_text("utf-8")
LISTS = {  # the numbers of each list, as the lists themselves print them
    "Crops": [*(f"P{n}" for n in range(1, 7)), *(f"A{n}" for n in range(1, 13))],
    "Diseases": [str(n) for n in range(1, 10)],
    "Insects and mites": [f"O{n}" for n in range(1, 24)],
    "Place": [*(f"A{n}" for n in range(1, 9)), "C", "D"],
    "Treatments and counting": [f"A{n}" for n in range(1, 16)],
}


def rows(title: str) -> list[list[str]]:
    part = PAGE.split(f"## {title}\n")[1].split("\n## ")[0]
    table = [line for line in part.splitlines() if line.startswith("| ")][1:]
    return [[cell.strip() for cell in line.strip("| ").split("|")] for line in table]


def named(cell: str) -> set[str]:
    """Numbers of a cell: `P1 to P3`, `A3, A4`."""
    found = set()
    for part in cell.split(", "):
        ends = re.fullmatch(r"([A-Z]?)(\d+) to [A-Z]?(\d+)", part)
        if ends:
            found |= {f"{ends[1]}{n}" for n in range(int(ends[2]), int(ends[3]) + 1)}
        else:
            found.add(part)
    return found


@pytest.mark.parametrize("title", LISTS)
def test_every_number_is_there_once(title: str) -> None:
    told = [number for row in rows(title) for number in named(row[0])]
    assert sorted(told) == sorted(LISTS[title])


def test_every_test_named_exists_and_asserts_something() -> None:
    files = re.findall(r"`((?:\w+/)?test_\w+\.py)`", PAGE)
    assert len(files) > 50
    for name in files:
        path = ROOT / "tests" / (name if "/" in name else f"published/{name}")
        assert "assert" in path.read_text("utf-8"), name


def test_every_published_file_is_on_the_page_or_on_the_one_beside_it() -> None:
    beside = (ROOT / "docs" / "validation.md").read_text("utf-8")
    for path in (ROOT / "tests" / "published").glob("test_*.py"):
        assert path.name in PAGE + beside
