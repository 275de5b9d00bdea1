"""On a page no command is named where a page does the same."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

import lattermath
from lattermath.sheets.page_instead import INSTEAD, on_a_page
from lattermath.sheets.templating import render

SOURCE = Path(lattermath.__file__).parent
COMMAND = re.compile(r"\blattermath [a-z]+\b")
# Files whose words a page never shows, or that name a command that no page can stand for.
COMMAND_LINE_ONLY = {
    "desk/demo.py",  # what is printed after `lattermath demo`
    "desk/kernel_forms.py",  # recomputing from outside
    "desk/look_words.py",  # `lattermath look` in a terminal; the page has look_parts
    "desk/diagnose.py",  # the page offers the signs to choose from
    "desk/start.py",  # the first start: pages have a form for it
    "desk/why.py",  # `lattermath why`
    "desk/wiring.py",  # no plot: pages lead to the first form
    "desk/absences.py",  # the helper's card has no page
    "record/imported.py",  # bringing a record in has no page
    # No sentences: digests, and a part of a remedy that is tried whole below.
    "desk/paired_phones.py: lattermath change X",
    "desk/log_done.py: lattermath log X",
    "desk/log_checks.py: lattermath log seen X X",
    "desk/what_was_seen.py: lattermath log count X X 12,0,3X",
}


def spoken(file: Path) -> list[str]:
    """Strings of a module that name a command, its docstrings left out."""
    tree = ast.parse(file.read_text("utf-8"))
    docs = {
        id(node.body[0].value)
        for node in ast.walk(tree)
        if isinstance(node, (ast.Module, ast.ClassDef, ast.FunctionDef))
        and node.body
        and isinstance(node.body[0], ast.Expr)
    }
    inside = {
        id(part)
        for node in ast.walk(tree)
        if isinstance(node, ast.JoinedStr)
        for part in ast.walk(node)
        if part is not node
    }
    found = []
    for node in ast.walk(tree):
        if id(node) in docs | inside:
            continue
        if isinstance(node, ast.JoinedStr):
            parts = [p.value if isinstance(p, ast.Constant) else "X" for p in node.values]
            found.append("".join(map(str, parts)))
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            found.append(node.value)
    return [says for says in found if COMMAND.search(says)]


def test_every_command_that_the_desk_or_the_record_names_has_its_page() -> None:
    missed = []
    for room in ("desk", "record", "planning", "belief", "weather"):
        for file in sorted((SOURCE / room).glob("*.py")):
            name = file.relative_to(SOURCE).as_posix()
            for says in spoken(file):
                known = {name, f"{name}: {says}"} & COMMAND_LINE_ONLY
                if COMMAND.search(on_a_page(says)) and not known:
                    missed.append(f"{name}: {says}")
    assert not missed


def test_no_task_names_an_option_of_a_command_on_a_page() -> None:
    """What is planned is read on pages; the desk's own faults name their fields there."""
    words = [
        node.value
        for file in sorted((SOURCE / "planning").glob("*.py"))
        for node in ast.walk(ast.parse(file.read_text("utf-8")))
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    ]
    assert any("(--surface" in said for said in words)
    assert not [said for said in words if re.search(r"(^|[( ])--[a-z]", on_a_page(said))]


def test_what_is_listed_as_of_the_command_line_still_names_one() -> None:
    for name in COMMAND_LINE_ONLY:
        file, _, text = name.partition(": ")
        told = spoken(SOURCE / file)
        assert text in told if text else told, name


@pytest.mark.parametrize(
    ("said", "page"),
    [
        (
            "Write the highs and lows of the days up to 27 Nov 2026 under [[week]] in plot.toml, "
            "or take in a weather file.",
            "Write the highs and lows of the days up to 27 Nov 2026 on the page This week's highs "
            "and lows, or send a weather file there.",
        ),
        (
            "'rings' is your own word. `lattermath log words` lists what is known.",
            "'rings' is your own word. The blank offers what is known.",
        ),
        (
            "An insect is counted: Write: lattermath log count beans bean-aphid 12,0,3.",
            "An insect is counted: Log it under Counted.",
        ),
        (
            "Write: lattermath log pick courgettes KG.",
            "Log it from the page Log, and say what was done.",
        ),
        ("Rain of 4 mm; see `lattermath plan`.", "Rain of 4 mm; see Next visit."),
        (
            'Kept. `lattermath look kale --seen "white cloud"` reads it, and weighs it.',
            "Kept. The page Look reads it, and weighs it.",
        ),
        (
            "Look at leaves for it, or note it: lattermath log seen melon 'squash bug'.",
            "Look at leaves for it, or note it under Seen.",
        ),
        (
            "Say which: lattermath log count melon melon_aphid 12,0,3 --stage eggs.",
            "Name the insect, and the stage in its blank.",
        ),
        (
            "Tap 10 flowers over paper, count thrips, logged as of flowers (--surface flowers).",
            "Tap 10 flowers over paper, count thrips, logged as looked at: flowers.",
        ),
        ("Nothing of the sort.", "Nothing of the sort."),
    ],
)
def test_the_same_words_with_a_page_in_place_of_a_command(said: str, page: str) -> None:
    assert on_a_page(said) == page


def test_a_template_says_it_so_and_leaves_markup_as_it_is() -> None:
    assert len(INSTEAD) == len({pattern for pattern, _ in INSTEAD})
    faults = [
        {
            "what": "no such crop",
            "value": "<b>",
            "remedy": "`lattermath log words` lists the crops.",
        }
    ]
    page = render(
        "pages/fault.html",
        **dict.fromkeys(
            ("plot", "here", "front", "season", "stamp", "being_made", "refused", "withheld"), ""
        ),
        title="Wrong",
        faults=faults,
        shelf={"journal": "", "zone": "", "day": "", "made": ""},
        fresh_id=lambda: "1",
    )
    assert "The blank offers the crops." in page and "&lt;b&gt;" in page
    assert "lattermath log words" not in page
