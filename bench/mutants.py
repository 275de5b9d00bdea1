"""Would the tests notice a broken limit? Breaks the rulings in one place at a time and runs them.

Each mutant changes one thing in one module of the rulings: a comparison, `and` and `or`, a `not`,
a number, True and False, `max` and `min`, `any` and `all`, plus and minus, a clause, a reason or an
early return left out, a name struck from a list. Words of a sentence are left alone. A mutant is
killed when one test of the rulings fails, or a few hundred random plots show a disagreement with
the audit or an early clearance; what lives is printed.

    python bench/mutants.py                     all modules
    python bench/mutants.py hour_limits         one of them
    python bench/mutants.py --jobs 2 --every 5  every fifth mutant, on two processes
    python bench/mutants.py --only lived.txt    those that lived when it was run before
"""

from __future__ import annotations

import argparse
import ast
import contextlib
import copy
import importlib.abc
import importlib.machinery
import io
import os
import signal
import sys
import time
from collections import Counter
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from importlib.util import spec_from_loader
from pathlib import Path
from types import ModuleType

ROOT = Path(__file__).resolve().parents[1]
PLANNING = ROOT / "src" / "lattermath" / "planning"
MODULES = (
    "label_limits", "limit_clauses", "hour_limits", "garden_limits", "season_maximum", "rotation",
    "in_a_row", "never_together", "picking_clearance", "treatment_request", "own_cautions",
    "mixing", "wet_limits", "physical_limits", "sick_leaves",
)  # fmt: skip
TESTS = sorted(
    str(path)
    for pattern in (
        "planning/test_label_limits*.py", "planning/test_picking_clearance.py",
        "planning/test_mixing.py", "planning/test_sick_leaves.py",
        "planning/test_physical_limits.py",
    )
    for path in (ROOT / "tests").glob(pattern)
)  # fmt: skip
PLOTS = {"single_treatment": 600, "whole_plan": 120, "clearances": 250}
FIRST_SEED = 9_000_000
MOST_SECONDS = 90  # longer than the tests take tenfold: a mutant that never ends is noticed

COMPARE: dict[type[ast.cmpop], tuple[type[ast.cmpop], ...]] = {
    ast.Lt: (ast.LtE, ast.GtE), ast.LtE: (ast.Lt, ast.Gt), ast.Gt: (ast.GtE, ast.LtE),
    ast.GtE: (ast.Gt, ast.Lt), ast.Eq: (ast.NotEq,), ast.NotEq: (ast.Eq,), ast.Is: (ast.IsNot,),
    ast.IsNot: (ast.Is,), ast.In: (ast.NotIn,), ast.NotIn: (ast.In,),
}  # fmt: skip
ARITHMETIC: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult,
}  # fmt: skip
CALLS = {"max": "min", "min": "max", "any": "all", "all": "any"}
WORDS = {"says", "way_out", "rests_on", "standing"}  # arguments that are words or addresses


class Places(ast.NodeVisitor):
    """Every place that can be broken: the node, what to do to it, and how that reads."""

    def __init__(self) -> None:
        self.found: list[tuple[ast.AST, str, object]] = []

    def visit(self, node: ast.AST) -> None:
        if isinstance(node, (ast.JoinedStr, ast.AnnAssign)) and not _has_value(node):
            return
        self._here(node)
        for name, child in ast.iter_fields(node):
            if name in ("annotation", "returns", "decorator_list", "type_params"):
                continue
            for one in child if isinstance(child, list) else [child]:
                if isinstance(one, ast.keyword) and one.arg in WORDS:
                    continue
                if isinstance(one, ast.AST):
                    self.visit(one)

    def _here(self, node: ast.AST) -> None:
        if isinstance(node, ast.Compare):
            self.found += [(node, "compare", op) for op in COMPARE.get(type(node.ops[0]), ())]
        elif isinstance(node, ast.BoolOp):
            self.found.append((node, "and/or", None))
            self.found += [(node, "drop operand", n) for n in range(len(node.values))]
        elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not):
            self.found.append((node, "drop not", None))
        elif isinstance(node, ast.BinOp) and type(node.op) in ARITHMETIC:
            self.found.append((node, "arithmetic", None))
        elif isinstance(node, ast.Constant) and type(node.value) in (bool, int, float):
            self.found.append((node, "constant", None))
        elif isinstance(node, ast.Call) and _name(node.func) in CALLS:
            self.found.append((node, "call", None))
        elif isinstance(node, (ast.Set, ast.Tuple)) and _is_list(node):
            self.found += [(node, "drop element", n) for n in range(len(node.elts))]
        elif isinstance(node, (ast.If, ast.For, ast.FunctionDef)):
            self._statements(node)

    def _statements(self, node: ast.If | ast.For | ast.FunctionDef) -> None:
        for n, line in enumerate(node.body):
            yields = isinstance(line, ast.Expr) and isinstance(
                line.value, (ast.Yield, ast.YieldFrom)
            )
            leaves = isinstance(line, (ast.Return, ast.Continue)) and isinstance(node, ast.If)
            if yields or leaves:
                self.found.append((node, "drop statement", n))


def _has_value(node: ast.AST) -> bool:
    return isinstance(node, ast.AnnAssign) and node.value is not None


def _name(node: ast.AST) -> str:
    return node.id if isinstance(node, ast.Name) else ""


def _is_list(node: ast.Set | ast.Tuple) -> bool:
    """A list of names, numbers or clauses that something is looked up in."""
    if not isinstance(node.ctx if isinstance(node, ast.Tuple) else ast.Load(), ast.Load):
        return False
    plain = (ast.Constant, ast.Attribute, ast.Call)
    return len(node.elts) > 1 and all(isinstance(e, plain) for e in node.elts)


def _break(node: ast.AST, how: str, what: object) -> None:
    """Change one node in place."""
    if how == "compare":
        node.ops[0] = what()  # type: ignore[attr-defined, operator]
    elif how == "and/or":
        node.op = ast.Or() if isinstance(node.op, ast.And) else ast.And()  # type: ignore[attr-defined]
    elif how in ("drop operand", "drop element"):
        values = node.values if how == "drop operand" else node.elts  # type: ignore[attr-defined]
        del values[what]  # type: ignore[arg-type]
    elif how == "drop not":
        node.op, node.operand = ast.Not(), ast.UnaryOp(ast.Not(), node.operand)  # type: ignore[attr-defined]
    elif how == "arithmetic":
        node.op = ARITHMETIC[type(node.op)]()  # type: ignore[attr-defined]
    elif how == "constant":
        node.value = not node.value if type(node.value) is bool else node.value + 1  # type: ignore[attr-defined]
    elif how == "call":
        node.func.id = CALLS[node.func.id]  # type: ignore[attr-defined]
    elif how == "drop statement":
        keeps_generator = ast.parse("if False:\n yield").body[0]
        node.body[what] = keeps_generator if isinstance(node, ast.FunctionDef) else ast.Pass()  # type: ignore[attr-defined, index]


def mutants(module: str) -> Iterator[tuple[str, str]]:
    """What each mutant of a module does, and its source."""
    text = (PLANNING / f"{module}.py").read_text("utf-8")
    whole = ast.parse(text)
    places = Places()
    places.visit(whole)
    for n, (node, how, what) in enumerate(places.found):
        tree = copy.deepcopy(whole)
        again = Places()
        again.visit(tree)
        _break(*again.found[n])
        source = ast.unparse(ast.fix_missing_locations(tree))
        line = text.splitlines()[getattr(node, "lineno", 1) - 1].strip()
        which = what.__name__ if isinstance(what, type) else "" if what is None else str(what)
        yield f"{module}:{getattr(node, 'lineno', 1)} {how} {which}: {line}", source


class Broken(importlib.abc.MetaPathFinder, importlib.abc.SourceLoader):
    """Gives one module from other source than its file."""

    def __init__(self, module: str, source: str) -> None:
        self.name, self.source = f"lattermath.planning.{module}", source.encode()

    def find_spec(
        self, name: str, _path: object = None, _target: object = None
    ) -> importlib.machinery.ModuleSpec | None:
        return spec_from_loader(name, self) if name == self.name else None

    def get_filename(self, fullname: str) -> str:
        return f"<mutant of {fullname}>"

    def get_data(self, _path: object) -> bytes:
        return self.source


def lives(module: str, source: str) -> bool:
    """Whether no test and no random plot notices, found out in a process of its own."""
    child = os.fork()
    if child == 0:
        signal.alarm(MOST_SECONDS)
        code = 1
        try:
            with Path(os.devnull).open("w") as nowhere:
                os.dup2(nowhere.fileno(), 1)
                os.dup2(nowhere.fileno(), 2)
            sys.meta_path.insert(0, Broken(module, source))
            code = 0 if _nothing_notices() else 1
        except BaseException:  # whatever a mutant raises is a mutant noticed
            code = 1
        finally:
            os._exit(code)
    _, status = os.waitpid(child, 0)
    return status == 0


def _nothing_notices() -> bool:
    import pytest

    with contextlib.redirect_stdout(io.StringIO()):
        if pytest.main(["-x", "-q", "-n", "0", "-W", "ignore", *TESTS]) != 0:
            return False
    from tests.audit import random_trials

    tally = random_trials.Tally()
    for name, plots in PLOTS.items():
        trial = getattr(random_trials, name)
        for seed in range(FIRST_SEED, FIRST_SEED + plots):
            trial(seed, tally)
            if tally.wrong:
                return False
    return True


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("modules", nargs="*", default=MODULES)
    asked.add_argument("--jobs", type=int, default=os.cpu_count() or 1)
    asked.add_argument("--every", type=int, default=1)
    asked.add_argument("--only", type=Path, help="a list of earlier survivors, as printed")
    words = asked.parse_args()
    _warm()
    begun = time.perf_counter()
    made = [(m, says, src) for m in words.modules for says, src in mutants(m)][:: words.every]
    if words.only is not None:
        listed = words.only.read_text("utf-8").splitlines()
        made = [one for one in made if f"lives: {one[1]}" in listed]
    with ThreadPoolExecutor(words.jobs) as pool:
        living = []
        for (_, says, _), alive in zip(
            made, pool.map(lambda one: lives(one[0], one[2]), made), strict=True
        ):
            living.append(alive)
            if alive:
                print(f"lives: {says}", flush=True)
    total, dead = Counter(m for m, _, _ in made), Counter()
    dead.update(m for (m, _, _), alive in zip(made, living, strict=True) if not alive)
    for module in words.modules:
        print(f"{module}: {dead[module]} of {total[module]} killed")
    print(f"all: {sum(dead.values())} of {len(made)} killed, {time.perf_counter() - begun:.0f} s")


def _warm() -> None:
    """Load once what every mutant needs and no mutant changes."""
    sys.modules["tests"] = tests = ModuleType("tests")
    tests.__path__ = [str(ROOT / "tests")]
    sys.path.insert(0, str(ROOT))
    os.chdir(ROOT)
    import hypothesis  # noqa: F401
    import numpy  # noqa: F401
    import pytest  # noqa: F401

    import lattermath.audit.plan_audit
    import lattermath.knowledge.tables

    lattermath.knowledge.tables.load_tables()
    loaded: Sequence[str] = [name for name in sys.modules if name.startswith("lattermath.planning")]
    assert not [name for name in loaded if name.rpartition(".")[2] in MODULES], loaded


if __name__ == "__main__":
    main()
