"""Where things stand in a plot's folder, and how the rooms are joined to it."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from lattermath.record.journal import Journal
from lattermath.vocabulary.errors import Fault, InputError

if TYPE_CHECKING:
    from lattermath.knowledge.tables import Tables


@dataclass(frozen=True, slots=True)
class Folder:
    """A plot's folder: the file a person writes, the journal, and tables of their own."""

    path: Path

    @property
    def plot_file(self) -> Path:
        """The file that describes the plot."""
        return self.path / "plot.toml"

    @property
    def journal(self) -> Path:
        """The record of what happened."""
        return self.path / "lattermath.journal"

    @property
    def tables(self) -> Path:
        """Overlay tables."""
        return self.path / "tables"

    @property
    def photos(self) -> Path:
        """Photos that go with entries."""
        return self.path / "photos"

    @property
    def phones(self) -> Path:
        """Who beyond this machine may use the plot."""
        return self.path / "phones"


def folder_at(path: Path | str) -> Folder:
    """Give the folder; InputError when it is not there."""
    folder = Folder(Path(path))
    if not folder.path.is_dir():
        raise InputError(
            Fault("there is no such folder", "--plot", str(path), "Make it, or name another.")
        )
    return folder


def open_journal(folder: Folder) -> Journal:
    """Open the journal that `start` began."""
    if not folder.journal.exists():
        raise InputError(
            Fault(
                "no plot was started here",
                str(folder.path),
                "",
                "Write plot.toml and run `lattermath start`, or name the folder with --plot.",
            )
        )
    return Journal.open(folder.journal)


def tables_of(folder: Folder) -> Tables:
    """Give the tables, with the folder's own laid over them."""
    from lattermath.knowledge.tables import load_tables

    return load_tables(folder.tables)
