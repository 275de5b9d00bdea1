"""Where a sheet's first frost comes from: the usual day, autumns measured, the weather to come."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime
from typing import Any

from lattermath.desk.addresses import Ground
from lattermath.vocabulary.calendar import short
from lattermath.vocabulary.counted import counted
from lattermath.weather.frost_dates import frost_dates
from lattermath.weather.traces import ENOUGH_YEARS

WORDS = ("frost", "frosts", "first frost", "first frosts", "the frost", "the first frost")
MOST_AUTUMNS = 12  # told one by one, the newest
NOT_SAID = "No first frost is told on this sheet"


def about_frost(plan: dict[str, Any], ground: Ground) -> tuple[str, list[dict[str, Any]]]:
    """The sheet's line on frost, and the reasons it rests on."""
    found = _autumns(plan, ground)
    reasons = [_to_come(plan, len(found)), _usual(ground), _measured(found), _at_leaves()]
    return str(plan["frost"]).rstrip(".") or NOT_SAID, reasons


def _to_come(plan: dict[str, Any], autumns: int) -> dict[str, Any]:
    says = (
        "counted in the futures of the weather that this sheet reckons with: in each, the first "
        "night at or below 0 C by the thermometer"
    )
    # How the weather was thrown stands in brackets in the line itself, or leads the warnings; of
    # enough past years it does neither, and these are told below.
    named = ")." in str(plan["frost"]) or autumns >= ENOUGH_YEARS
    told = [] if named else [str(one).rstrip(".") for one in plan["warnings"][:1]]
    return _because(says, *(f"computed:{one}" for one in told))


def _usual(ground: Ground) -> dict[str, Any]:
    usual = ground.plot.place.usual_first_frost
    if usual is None:
        says, out = "no usual first frost is given", "give usual_first_frost in plot.toml, [place]"
        return _because(says, way_out=out)
    day = short(date.fromisoformat(f"2000-{usual}"))
    says = (
        f"the usual first frost, as you gave it: about {day}; half of the futures have theirs by "
        "then where only a few days of weather are known, and not where months or years are"
    )
    return _because(says, "plot:place/usual_first_frost")


def _autumns(plan: dict[str, Any], ground: Ground) -> dict[int, date | None]:
    today, southern = datetime.fromisoformat(plan["as_of"]).date(), ground.plot.place.latitude < 0
    return {} if ground.record is None else frost_dates(ground.record, today, southern=southern)


def _measured(found: dict[int, date | None]) -> dict[str, Any]:
    if not found:
        return _because("no whole autumn was measured in your weather files")
    newest = dict(sorted(found.items())[-MOST_AUTUMNS:])
    told = "; ".join(_autumn(newest))
    return _because(
        f"first frosts measured in {counted(len(found), 'autumns')} of your weather files",
        f"computed:by years, the newest: {told}",
    )


def _autumn(found: dict[int, date | None]) -> Iterator[str]:
    for year, day in found.items():
        yield f"{year} none" if day is None else f"{short(day)} {day.year}"


def _at_leaves() -> dict[str, Any]:
    says = (
        "leaves are colder than the screen in a clear night: what is covered, picked or given up "
        "for frost goes by the leaves"
    )
    return _because(says, "table:crop_constants/rules/leaf_colder_than_screen_c")


def _because(says: str, *rests_on: str, way_out: str = "") -> dict[str, Any]:
    return {"says": says, "who": "", "holds": True, "rests_on": rests_on, "way_out": way_out}
