"""Write champion.csv from the station record that an installed data package carries.

Run `python making.py` with the package `aquacrop` (3.1.0 was used) installed; it is found without
being imported. Nothing is changed but the layout: dates as ISO days, numbers as written there, with
evapotranspiration to two decimals.
"""

from __future__ import annotations

import sys
from importlib.util import find_spec
from pathlib import Path

HEAD = """\
# station: Champion, Nebraska, United States (see champion.md)
# latitude: 40.4
# longitude: -101.73
# altitude: 1072
date,tmin_c,tmax_c,rain_mm,et0_mm
"""
COLUMNS = ["Day", "Month", "Year", "Tmin(C)", "Tmax(C)", "Prcp(mm)", "Et0(mm)"]


def source() -> Path:
    """The record as installed. FileNotFoundError when the package is not there."""
    spec = find_spec("aquacrop")
    if spec is None or not spec.submodule_search_locations:
        raise FileNotFoundError("the data package aquacrop is not installed")
    return Path(spec.submodule_search_locations[0]) / "data" / "champion_climate.txt"


def compact(number: str, decimals: int = 2) -> str:
    """A number without the noughts at its end. ValueError for anything else."""
    text = f"{float(number):.{decimals}f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def diary(text: str) -> str:
    """The record as a diary. ValueError when its columns are not those expected."""
    head, *rows = (line.split() for line in text.splitlines() if line.strip())
    if head != COLUMNS:
        raise ValueError(f"columns are {head}")
    lines = [
        ",".join((f"{int(year):04d}-{int(month):02d}-{int(day):02d}", *map(compact, values)))
        for day, month, year, *values in rows
    ]
    return HEAD + "\n".join(lines) + "\n"


if __name__ == "__main__":
    written = Path(__file__).with_name("champion.csv")
    written.write_text(diary(source().read_text("ascii")), "ascii")
    sys.stdout.write(f"{written.name}: {written.stat().st_size} bytes\n")
