"""Nature imports the words and the books, and nothing of what it is there to test."""

import ast
from pathlib import Path

import pytest

import lattermath.nature

ROOM = Path(lattermath.nature.__file__).parent
ALLOWED = ("lattermath.vocabulary", "lattermath.knowledge", "lattermath.nature")
OUTSIDE = {"numpy", "__future__", "collections", "dataclasses", "datetime", "math"}


@pytest.mark.parametrize("path", sorted(ROOM.glob("*.py")), ids=lambda p: p.stem)
def test_nature_imports_only_words_and_books(path: Path) -> None:
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        names = (
            [node.module or ""] if isinstance(node, ast.ImportFrom)
            else [a.name for a in node.names] if isinstance(node, ast.Import) else []
        )  # fmt: skip
        for name in names:
            assert name.startswith(ALLOWED) or name.split(".")[0] in OUTSIDE, name


def test_there_is_something_to_look_at() -> None:
    assert len(list(ROOM.glob("*.py"))) > 5
