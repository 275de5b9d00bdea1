"""All tables in one frozen object: what the books say, and the digest of its text."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, TypeVar

from lattermath.knowledge.crops import Crop
from lattermath.knowledge.crosswalk import Crosswalk, read_crosswalk
from lattermath.knowledge.diagnosis import Cause, CauseAge, CauseSeason, Check, Symptom
from lattermath.knowledge.diseases import Advised, Disease, LeafAge
from lattermath.knowledge.germination import GerminationRow
from lattermath.knowledge.methods import FolkPractice, Method, Rule
from lattermath.knowledge.organisms import Enemy, Habits, Organism
from lattermath.knowledge.reading import Standard, standard
from lattermath.knowledge.rows import Row
from lattermath.knowledge.soils import Soil
from lattermath.vocabulary.errors import Fault, TableError

if TYPE_CHECKING:
    from lattermath.knowledge.rivals import Rival
    from lattermath.knowledge.sources import Source

T = TypeVar("T")


@dataclass(frozen=True, slots=True, eq=False)
class Tables:
    """All tables. `rows` holds every row by table and id, also of tables with no loader of its own.

    Soils are keyed by the texture's name (`silty clay loam`); everything else by id.
    """

    crops: Mapping[str, Crop]
    organisms: Mapping[str, Organism]
    habits: Mapping[str, Habits]  # by organism
    diseases: Mapping[str, Disease]
    disorders: Mapping[str, Disease]
    enemies: Mapping[str, Enemy]
    leaf_ages: Mapping[str, LeafAge]  # by disease
    advised: Mapping[str, Advised]  # diseases without a model
    methods: Mapping[str, Method]
    rules: Mapping[str, Rule]
    folk_practices: Mapping[str, FolkPractice]
    germination: Mapping[str, GerminationRow]
    soils: Mapping[str, Soil]
    symptoms: Mapping[str, Symptom]
    causes: Mapping[str, Cause]
    cause_ages: Mapping[str, CauseAge]  # by cause, those of young plants
    cause_seasons: Mapping[str, CauseSeason]  # by cause
    checks: Mapping[str, Check]
    constants: Mapping[str, Row]  # rules, cups, reference, defaults, trade_facts, protectant, ...
    gap_fillers: Mapping[str, Row]
    produce: Mapping[str, Row]  # by crop id: how long it hangs, keeps and stores
    rivals: tuple[Rival, ...]
    sources: Mapping[str, Source]
    crosswalk: Crosswalk
    rows: Mapping[str, Mapping[str, Row]]
    digest: str

    def named(self, what: str) -> str:
        """An organism or disease by the name the tables give it; the id in plain words else."""
        held = self.organisms.get(what) or self.diseases.get(what) or self.disorders.get(what)
        if held is None and what in self.enemies:
            return self.enemies[what].name
        return held.name if held is not None else what.replace("_", " ").replace("-", " ")

    def advised_of(self, word: str) -> Advised | None:
        """The disease without a model that a grower's own word names; the longest name wins."""
        said = f" {' '.join(word.casefold().replace('_', ' ').replace('-', ' ').split())} "
        named = [(len(w), key) for key, one in self.advised.items() for w in one.words
                 if f" {w} " in said]  # fmt: skip
        return self.advised[max(named)[1]] if named else None

    def at(self, address: str) -> Row:
        """The row an address `table/row/column` points into; TableError when there is none."""
        table, _, rest = address.removeprefix("table:").partition("/")
        row = rest.split("/", 1)[0]
        try:
            return self.rows[table][row]
        except KeyError:
            raise TableError(Fault("no such row", address, row)) from None


@cache
def _standard_tables() -> Tables:
    return _assemble(standard())


def load_tables(overlay: Path | None = None) -> Tables:
    """All tables, with those of the overlay folder laid over them where one is given.

    The standard tables are read once a process. TableError when a table is wrong.
    """
    if overlay is None or not overlay.is_dir() or not any(overlay.glob("*.toml")):
        return _standard_tables()
    from lattermath.knowledge.overlay import lay_over  # only for a plot with tables of its own

    return _assemble(lay_over(standard(), overlay))


def _assemble(read: Standard) -> Tables:
    rows = read.tables
    constants = {
        key: row for name, held in rows.items() if name.endswith("_constants")
        for key, row in held.items()
    }  # fmt: skip
    return Tables(
        crops=_typed(rows["crops"], Crop),
        organisms=_typed(rows["organisms"], Organism),
        habits=_typed(rows["habits"], Habits),
        diseases=_typed(rows["diseases"], Disease),
        disorders=_typed(rows["disorders"], Disease),
        enemies=_typed(rows["enemies"], Enemy),
        leaf_ages=_typed(rows["leaf_ages"], LeafAge),
        advised=_typed(rows["advised"], Advised),
        methods=_methods(rows["methods"], rows["effects"]),
        rules=_typed(rows["rules"], Rule),
        folk_practices=_typed(rows["folk_practices"], FolkPractice),
        germination=_typed(rows["germination"], GerminationRow),
        soils=MappingProxyType({row.text("name"): Soil(row) for row in rows["soils"].values()}),
        symptoms=_typed(rows["symptoms"], Symptom),
        causes=_typed(rows["causes"], Cause),
        cause_ages=_typed(rows["cause_ages"], CauseAge),
        cause_seasons=_typed(rows["cause_seasons"], CauseSeason),
        checks=_typed(rows["checks"], Check),
        constants=MappingProxyType(constants),
        gap_fillers=MappingProxyType(dict(rows["gap_fillers"])),
        produce=MappingProxyType(dict(rows["produce"])),
        rivals=read.rivals,
        sources=MappingProxyType(dict(read.sources)),
        crosswalk=read_crosswalk(read.crosswalk, rows),
        rows=MappingProxyType({name: MappingProxyType(dict(held)) for name, held in rows.items()}),
        digest=read.digest,
    )


def _methods(rows: Mapping[str, Row], more: Mapping[str, Row]) -> Mapping[str, Method]:
    return MappingProxyType({key: Method(row, more.get(key)) for key, row in rows.items()})


def _typed(rows: Mapping[str, Row], kind: Callable[[Row], T]) -> Mapping[str, T]:
    return MappingProxyType({key: kind(row) for key, row in rows.items()})
