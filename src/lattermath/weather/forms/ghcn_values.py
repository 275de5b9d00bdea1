"""Values of a GHCN-Daily station with their flags, gathered into days.

As recalled from the archive's own description (place.md 12.1): PRCP in tenths of mm, TMAX and TMIN
in tenths of C, AWND in tenths of m/s (at 10 m, brought to 2 m). Any quality flag sets the value
aside; measurement flag T is a trace, P a zero that nobody measured. MDPR is the total of DAPR days
and is shared over them. A value read in the morning is given to the day it happened.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, time, timedelta

from lattermath.vocabulary.errors import Fault, WeatherFileError
from lattermath.weather.days import Field, Reading
from lattermath.weather.forms.day_book import DayBook
from lattermath.weather.forms.document import MOST_FAULTS, Document
from lattermath.weather.forms.reading_hour import owner_day, shift_mark
from lattermath.weather.units import TWO_METRES_FROM_TEN

_SCALES: dict[str, tuple[Field, float]] = {
    "TMIN": ("t_min", 0.1),
    "TMAX": ("t_max", 0.1),
    "PRCP": ("rain_mm", 0.1),
    "AWND": ("wind_m_s", 0.1 * TWO_METRES_FROM_TEN),
}
_TOTAL, _TOTAL_DAYS = "MDPR", "DAPR"
ELEMENTS = (*_SCALES, _TOTAL, _TOTAL_DAYS)
NEEDED = ("TMIN", "TMAX", "PRCP")
_LONGEST_TOTAL = 31  # judgement: a total of more days says nothing of any one of them


@dataclass(frozen=True, slots=True)
class Flags:
    """The flags of one value, and its hour of reading as four digits, blank when not given."""

    measured: str = ""
    quality: str = ""
    hour: str = ""


@dataclass(frozen=True, slots=True)
class _Value:
    number: float
    flags: Flags
    hour: time | None


@dataclass(slots=True)
class StationBook:
    """What has been gathered of one station; `finish` gives its days."""

    document: Document
    book: DayBook = field(default_factory=DayBook)
    faults: list[Fault] = field(default_factory=list)
    counts: Counter[str] = field(default_factory=Counter)
    late: list[tuple[date, Field, float, time]] = field(default_factory=list)
    totals: dict[date, dict[str, _Value]] = field(default_factory=dict)

    def take(self, where: str, day: date, element: str, text: str, flags: Flags) -> None:
        """Enter one value of one day; blanks and -9999 are missing. Faults are kept for later."""
        self.book.open_day(day)
        if text in ("", "-9999"):
            return
        try:
            value = _Value(float(int(text)), flags, _hour(flags.hour))
        except (ValueError, OverflowError):
            found = f"{text} [{flags.measured},{flags.quality},{flags.hour}]"
            remedy = "Values are whole numbers, in tenths; an hour of reading has four digits."
            self.faults.append(self.document.fault("this is no value", where, found, remedy))
            return
        if element in (_TOTAL, _TOTAL_DAYS):
            self.totals.setdefault(day, {})[element] = value
        else:
            self._take_value(day, *_SCALES[element], value)

    def finish(self) -> tuple[tuple[Reading, ...], tuple[str, ...]]:
        """The days in order and what was assumed. Raises WeatherFileError with every fault."""
        if self.faults:
            raise WeatherFileError(self.faults[:MOST_FAULTS])
        self._take_late()
        for day, found in self.totals.items():
            if _TOTAL in found:
                self._share(day, found[_TOTAL], found.get(_TOTAL_DAYS))
        return self.book.readings(), _says(self.counts)

    def _take_value(self, day: date, name: Field, scale: float, value: _Value) -> None:
        owner, number = owner_day(day, value.hour, name), round(value.number * scale, 2)
        if value.flags.quality:
            self.counts["quality"] += 1
            check = f"failed the station's own check {value.flags.quality}"
            self.book.mark(owner, f"set aside: {name} {number:g}, {check}")
        elif name == "rain_mm" and value.flags.measured == "P":
            self.counts["presumed"] += 1
            self.book.mark(owner, "set aside: rain_mm presumed zero, not measured")
        else:
            if name == "rain_mm" and value.flags.measured == "T":
                self.book.mark(owner, "trace")
            if value.hour is not None and owner != day:
                self.counts["shifted"] += 1
                self.late.append((day, name, number, value.hour))
            else:
                self.counts["hour" if value.hour is not None else "no hour"] += 1
                self.book.put(day, name, number)

    def _take_late(self) -> None:
        """Morning readings to the day before, unless that day has a reading of its own."""
        for day, name, number, hour in self.late:
            owner = owner_day(day, hour, name)
            if self.book.has(owner, name):
                self.book.mark(owner, f"set aside: {name} {number:g} of a second reading")
            else:
                self.book.put(owner, name, number, shift_mark(hour))

    def _share(self, day: date, total: _Value, span: _Value | None) -> None:
        """A total of several days: shared over them and marked, or set aside."""
        days = 0 if span is None or span.flags.quality else int(span.number)
        millimetres = round(total.number * 0.1, 1)
        if total.flags.quality or not 1 <= days <= _LONGEST_TOTAL:
            self.counts["total unused"] += 1
            words = f"set aside: {millimetres:g} mm over an unknown number of days"
            self.book.mark(day, words)
            return
        self.counts["total"] += 1
        last = owner_day(day, total.hour, "rain_mm")
        words = f"share of {millimetres:g} mm that fell in {days} days to {last:%d %b %Y}"
        for back in range(days):
            share = last - timedelta(days=back)
            if not self.book.has(share, "rain_mm"):
                self.book.put(share, "rain_mm", millimetres / days, words)
                self.book.values[share]["rain_known"] = day


def _hour(text: str) -> time | None:
    """The hour of reading; 2400 and blank are the day itself."""
    if text in ("", "2400", "9999"):
        return None
    if not (text.isascii() and text.isdigit() and len(text) <= 4):
        raise ValueError("an hour of reading has up to four digits")
    return time(int(text.zfill(4)[:2]), int(text.zfill(4)[2:]))


def _says(counts: Mapping[str, int]) -> tuple[str, ...]:
    out = ["Read as tenths of °C and of mm, as the form prescribes."]
    said = {
        "quality": "values that failed the station's own checks are set aside",
        "presumed": "days of rain presumed zero are set aside as not measured",
        "shifted": "values read in the morning are given to the day before, when they happened",
        "total": "totals of several days' rain are shared over their days",
        "total unused": "totals of rain over an unknown number of days are set aside",
    }
    out += [f"{counts[name]} {words}." for name, words in said.items() if counts[name]]
    if counts["no hour"]:
        out.append(
            "Where no hour of reading is given, a value is taken to belong to its printed date."
        )
    return tuple(out)
