"""Reads the names, units and meanings of the kernels out of their own docstrings.

python tests/house/nomenclature.py    writes the table of docs/nomenclature.md afresh
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
SCIENCE = ROOT / "src" / "lattermath" / "science"
PAGE = ROOT / "docs" / "nomenclature.md"
BEGINS, ENDS = "<!-- names of the kernels: begins -->", "<!-- names of the kernels: ends -->"

# What a name's ending says about its unit. The longest ending rules.
ENDINGS = {
    "degree_days": "C d",
    "immature_days_per_cm2": "d/cm2",
    "days_for_5_percent": "d/cm2",
    "_mj_m2": "MJ/m2/d",
    "_kpa_c": "kPa/C",
    "_kpa": "kPa",
    "_m_s": "m/s",
    "_mm": "mm",
    "_cm2": "cm2",
    "_m2": "m2",
    "_ml": "ml",
    "_kg": "kg",
    "_days": "d",
    "_h": "h",
    "_c": "C",
    "_m": "m",
    "_percent": "%",
}
SHARES = {"0 to 1": "1", "0..1": "1"}  # shares are dimensionless
LINE = re.compile(r"^\s*(?P<names>[a-z_0-9]+(?:, [a-z_0-9]+)*)\s+: (?P<says>.+)$")
UNIT = re.compile(r"\[([^\]]+)\]")


@dataclass
class Name:
    """One name: where it is used, what its docstrings say, in what units."""

    name: str
    modules: set[str] = field(default_factory=set)
    meanings: list[str] = field(default_factory=list)
    units: set[str] = field(default_factory=set)

    @property
    def by_ending(self) -> str:
        """The unit that the name's ending says; empty where it says none."""
        fitting = [end for end in ENDINGS if self.name.endswith(end)]
        return ENDINGS[max(fitting, key=len)] if fitting else ""


def names() -> dict[str, Name]:
    """Every parameter and field of the public kernels, by name."""
    found: dict[str, Name] = {}
    for path in sorted(SCIENCE.glob("*.py")):
        for node in ast.parse(path.read_text("utf-8")).body:
            for name in _declared(node):
                found.setdefault(name, Name(name)).modules.add(path.stem)
            for name, says, units in _told(node):
                if name in found:
                    found[name].meanings.append(says)
                    found[name].units.update(units)
    return found


def _declared(node: ast.stmt) -> Iterator[str]:
    if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
        yield from (arg.arg for arg in (*node.args.args, *node.args.kwonlyargs))
    if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
        for item in node.body:
            if isinstance(item, ast.AnnAssign) and isinstance(item.target, ast.Name):
                yield item.target.id


def _told(node: ast.stmt) -> Iterator[tuple[str, str, list[str]]]:
    """Lines `name, name : meaning [unit]` of a docstring, with the lines that go on below."""
    if not isinstance(node, ast.FunctionDef | ast.ClassDef) or node.name.startswith("_"):
        return
    lines = (ast.get_docstring(node) or "").splitlines()
    for n, line in enumerate(lines):
        match = LINE.match(line)
        if match is None:
            continue
        says = [match["says"]]
        for more in lines[n + 1 :]:
            if not more.startswith("    ") or LINE.match(more):
                break
            says.append(more.strip())
        told, words = match["names"].split(", "), " ".join(says)
        units = [SHARES.get(unit, unit) for unit in UNIT.findall(words)]
        for n_name, name in enumerate(told):
            own = units[n_name : n_name + 1] if len(units) == len(told) else units[:1]
            yield name, words, own


def table() -> str:
    """The table as it stands in the page."""
    rows = ["| name | unit | meaning | kernels |", "|---|---|---|---|"]
    for name in sorted(names().values(), key=lambda one: one.name):
        unit = ", ".join(sorted(name.units)) or name.by_ending
        meaning = (name.meanings or [""])[0].replace("|", "/")
        rows.append(f"| `{name.name}` | {unit} | {meaning} | {', '.join(sorted(name.modules))} |")
    return "\n".join(rows)


def page(text: str) -> str:
    """The page with the table made afresh."""
    head, _, rest = text.partition(BEGINS)
    _, _, tail = rest.partition(ENDS)
    return f"{head}{BEGINS}\n\n{table()}\n\n{ENDS}{tail}"


if __name__ == "__main__":
    PAGE.write_text(page(PAGE.read_text("utf-8")), "utf-8")
