"""A file's text on its way to becoming readings, and what a form of file must offer."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from lattermath.vocabulary.errors import Fault, WeatherFileError
from lattermath.weather.days import WeatherFile

MOST_FAULTS = 20  # judgement: more would bury the first one


@dataclass(frozen=True, slots=True)
class Document:
    """The decoded file, and what the grower said of it."""

    file: str
    text: str
    digest: str
    units: str | None = None
    time_zone: str | None = None  # IANA zone of the plot
    says: tuple[str, ...] = ()

    def refusal(
        self, what: str, where: str = "", value: str = "", remedy: str = ""
    ) -> WeatherFileError:
        """The error to raise for one fault."""
        return WeatherFileError(self.fault(what, where, value, remedy))

    def fault(self, what: str, where: str = "", value: str = "", remedy: str = "") -> Fault:
        """A fault placed in this file."""
        place = f"{self.file}, {where}" if where else self.file
        return Fault(what, place, value[:60], remedy)


@dataclass(frozen=True, slots=True)
class Form:
    """One form of file: how its content is known, and how it is read."""

    name: str
    recognises: Callable[[Document], bool]
    read: Callable[[Document], WeatherFile]
