"""Size ceilings: modules, functions, imports, and the longest import chain of a room."""

import ast
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
SOURCE = ROOT / "src" / "lattermath"
MODULES = sorted(SOURCE.rglob("*.py"))

NOUNS = "lattermath.vocabulary"
MODULE_LINES = 400
BODY_LINES = 50
OWN_IMPORTS = 10  # nouns of `vocabulary` not counted: every room speaks them (decision 0007)
DESK_IMPORTS = 12  # `desk` joins all the other rooms, and only it does (decision 0007)
CHAIN = 12  # within one room


def name_of(path: Path) -> str:
    parts = path.relative_to(SOURCE.parent).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def own_imports(path: Path) -> set[str]:
    found: set[str] = set()
    for node in ast.parse(path.read_text("utf-8")).body:
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("lattermath"):
            found.add(node.module or "")
        elif isinstance(node, ast.Import):
            found.update(a.name for a in node.names if a.name.startswith("lattermath"))
    return found


def body_lines(function: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    first = function.body[0]
    documented = ast.get_docstring(function) is not None
    start = (first.end_lineno or first.lineno) + 1 if documented else first.lineno
    return (function.end_lineno or start) - start + 1


@pytest.mark.parametrize("path", MODULES, ids=name_of)
def test_a_module_can_be_read_in_one_sitting(path: Path) -> None:
    assert len(path.read_text("utf-8").splitlines()) <= MODULE_LINES
    most = DESK_IMPORTS if path.parent.name == "desk" else OWN_IMPORTS
    assert len([m for m in own_imports(path) if not m.startswith(NOUNS)]) <= most


@pytest.mark.parametrize("path", MODULES, ids=name_of)
def test_a_function_fits_on_a_screen(path: Path) -> None:
    functions = (ast.FunctionDef, ast.AsyncFunctionDef)
    long = {
        node.name: body_lines(node)
        for node in ast.walk(ast.parse(path.read_text("utf-8")))
        if isinstance(node, functions) and body_lines(node) > BODY_LINES
    }
    assert not long


@pytest.mark.parametrize("room", sorted({p.relative_to(SOURCE).parts[0] for p in MODULES}))
def test_a_room_can_be_walked_front_to_back(room: str) -> None:
    inside = {name_of(p): own_imports(p) for p in MODULES if p.relative_to(SOURCE).parts[0] == room}

    @cache
    def depth(module: str) -> int:
        return 1 + max((depth(m) for m in inside[module] if m in inside and m != module), default=0)

    deepest = max(inside, key=depth)
    assert depth(deepest) <= CHAIN, deepest
