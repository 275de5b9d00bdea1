"""The table of names in docs/nomenclature.md, held against the kernels' own docstrings.

python tests/house/nomenclature.py    puts in new names, takes out old ones; keeps what is written
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
NO_UNIT = "–"  # a name, a flag, an index, a count of things, a record

# What a name's ending says about its unit. The longest ending rules.
ENDINGS = {
    "degree_days": "C d",
    "degree_days_a_week": "C d",
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
SPELLINGS = {  # other ways to write one unit
    "0 to 1": "1", "0..1": "1", "MJ m-2 d-1": "MJ/m2/d", "mm/d": "mm", "litre m-2": "mm",
    "UTC hours": "h",
}  # fmt: skip
# Lines of a docstring that give one unit for several names and do not mean it for each.
LOOSE = {("reference_et", "day_of_year"), ("leaf_wetness", "wet")}
# Names of a list of tuples: the bracket is the unit of a member, not of the name.
TUPLES = {("development", "nodes"), ("infection", "trials"), ("life_table", "born")}
LINE = re.compile(r"^\s*(?P<names>[a-z_0-9]+(?:, [a-z_0-9]+)*)\s+: (?P<says>.+)$")
UNIT = re.compile(r"\[([^\]]+)\]")


@dataclass
class Told:
    """What the code says of one name in one module."""

    meaning: str = ""
    units: set[str] = field(default_factory=set)


@dataclass
class Row:
    """One line of the page: a name, what it means, its unit, and in which kernels."""

    name: str
    meaning: str
    unit: str
    where: set[str]

    def __str__(self) -> str:
        where = ", ".join(f"`{module}`" for module in sorted(self.where))
        return f"| `{self.name}` | {self.meaning} | {self.unit} | {where} |"


def unit_of_ending(name: str) -> str:
    """The unit that a name's ending says; empty where it says none."""
    fitting = [end for end in ENDINGS if name.endswith(end)]
    return ENDINGS[max(fitting, key=len)] if fitting else ""


def told() -> dict[tuple[str, str], Told]:
    """Every parameter and field of a public kernel, by name and module."""
    found: dict[tuple[str, str], Told] = {}
    for path in sorted(SCIENCE.glob("*.py")):
        text = path.read_text("utf-8")
        public = [n for n in ast.parse(text).body if not getattr(n, "name", "_").startswith("_")]
        for node in public:
            for name, says, units in _declared(node, text.splitlines()):
                one = found.setdefault((name, path.stem), Told())
                one.meaning = one.meaning or says
                one.units.update(units)
        for node in public:
            for name, says, units in _documented(node):
                one = found.get((name, path.stem), Told())
                one.meaning = one.meaning or says
                if (path.stem, name) not in LOOSE and (path.stem, name) not in TUPLES:
                    one.units.update(units)
    return {key: Told(one.meaning, {_same(u) for u in one.units}) for key, one in found.items()}


def _same(unit: str) -> str:
    return SPELLINGS.get(unit, unit)


def _declared(node: ast.AST, lines: list[str]) -> Iterator[tuple[str, str, list[str]]]:
    """Parameters by name; fields with the comment behind them and the unit of the whole record."""
    if isinstance(node, ast.FunctionDef):
        rest = [node.args.vararg] if node.args.vararg else []
        for arg in (*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs, *rest):
            yield arg.arg, "", []
    if isinstance(node, ast.ClassDef):
        whole = UNIT.findall((ast.get_docstring(node) or "").partition("\n")[0])
        for item in node.body:
            if isinstance(item, ast.AnnAssign) and isinstance(item.target, ast.Name):
                says = lines[item.lineno - 1].partition("# ")[2]
                yield item.target.id, UNIT.sub("", says).strip(), UNIT.findall(says) or whole


def _documented(node: ast.AST) -> Iterator[tuple[str, str, list[str]]]:
    """Lines `name, name : meaning [unit]` of a docstring, with the lines that go on below.

    A function whose own name is also a parameter somewhere gives that name the unit of its result.
    """
    if not isinstance(node, ast.FunctionDef | ast.ClassDef):
        return
    lines = (ast.get_docstring(node) or "").splitlines()
    yield node.name, "", UNIT.findall(lines[0]) if lines else []
    for n, line in enumerate(lines):
        match = LINE.match(line)
        if match is None:
            continue
        says = [match["says"]]
        for more in lines[n + 1 :]:
            if not more.startswith("    ") or LINE.match(more):
                break
            says.append(more.strip())
        names, words = match["names"].split(", "), " ".join(says)
        units = UNIT.findall(words)
        for k, name in enumerate(names):
            own = units[k : k + 1] if len(units) == len(names) else units[:1]
            yield name, UNIT.sub("", words).strip(" ,;."), own


def rows(text: str) -> list[Row]:
    """The rows of the table as the page has them."""
    table = text.partition(BEGINS)[2].partition(ENDS)[0]
    found = []
    for line in table.splitlines():
        cells = [cell.strip() for cell in line.strip("|").split("|")]
        if line.startswith("| `") and len(cells) == 4:
            found.append(
                Row(cells[0].strip("`"), *cells[1:3], set(re.findall(r"`(\w+)`", line)[1:]))
            )
    for row in found:
        row.where &= {module for module in row.where if (SCIENCE / f"{module}.py").exists()}
    return found


def refreshed(text: str) -> list[Row]:
    """The rows with new names put in and old ones taken out; what is written by hand stays."""
    said, kept = told(), rows(text)
    for row in kept:
        row.where = {module for module in row.where if (row.name, module) in said}
    kept = [row for row in kept if row.where]
    for (name, module), one in said.items():
        own = [row for row in kept if row.name == name]
        if any(module in row.where for row in own):
            continue
        unit = "".join(sorted(one.units)[:1]) or unit_of_ending(name)
        if len(own) == 1 and unit in ("", own[0].unit):
            own[0].where.add(module)
        else:
            kept.append(Row(name, one.meaning.replace("|", "/"), unit or NO_UNIT, {module}))
    return sorted(kept, key=lambda row: (row.name, sorted(row.where)))


def page(text: str) -> str:
    """The page with its table refreshed."""
    head, _, rest = text.partition(BEGINS)
    table = ["| name | meaning | unit | where |", "|---|---|---|---|", *map(str, refreshed(text))]
    return "\n\n".join([head + BEGINS, "\n".join(table), ENDS + rest.partition(ENDS)[2]])


if __name__ == "__main__":
    PAGE.write_text(page(PAGE.read_text("utf-8")), "utf-8")
