"""The one error shape: what is wrong, where, the value found, and the remedy."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong with what came in."""

    what: str
    where: str
    value: str = ""
    remedy: str = ""

    def __str__(self) -> str:
        """Read as one line: where, what, value, remedy."""
        found = f" (found: {self.value})" if self.value else ""
        remedy = f" {self.remedy}" if self.remedy else ""
        return f"{self.where}: {self.what}{found}.{remedy}"


class LattermathError(Exception):
    """A refusal that carries every fault found, so that all can be mended at once."""

    exit_status = 2

    def __init__(self, faults: Fault | Iterable[Fault]) -> None:
        """Keep the faults; a refusal without a fault is a programming error."""
        self.faults: tuple[Fault, ...] = (faults,) if isinstance(faults, Fault) else tuple(faults)
        if not self.faults:
            raise ValueError("a refusal needs at least one fault")
        super().__init__("\n".join(str(fault) for fault in self.faults))

    def __reduce__(self) -> tuple[type[LattermathError], tuple[tuple[Fault, ...]]]:
        """Come whole out of another process."""
        return type(self), (self.faults,)


class TableError(LattermathError):
    """A knowledge table is wrong."""


class PlotFileError(LattermathError):
    """plot.toml cannot be read as a plot."""


class WeatherFileError(LattermathError):
    """A weather file cannot be read."""


class JournalError(LattermathError):
    """The journal is damaged, foreign, newer, locked, or refuses an entry."""


class InputError(LattermathError):
    """A command, form or JSON request that cannot be answered."""


class NotThere(InputError):
    """What was named is not there."""


class SaysOtherwise(InputError):
    """Under the id of an entry stands another entry."""


class EntryRefused(JournalError):
    """The journal is sound, and what stands in it leaves no room for this entry."""


class PlanViolates(LattermathError):
    """The audit found a plan that breaks a limit; no sheet is shown."""

    exit_status = 3
