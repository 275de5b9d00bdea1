"""What the plot's own weather files offer for its place: to fill blanks with, never written."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path
from urllib.parse import urlencode

from lattermath.desk.place_offers import (
    LEAST_YEARS,
    FrostOnRecord,
    frost_on_record,
    stations,
)
from lattermath.doors.asking import Units
from lattermath.sheets import set_up_words as u
from lattermath.vocabulary.place import Place
from lattermath.weather.stations import Station, apart_km

MILE_KM = 1.609344
FOOT_M = 0.3048


def place_offers(folder: Path, today: date, place: Place, units: Units) -> list[dict[str, str]]:
    """Each offer: what it says, and where and by what press it fills the blanks."""
    frost = frost_on_record(folder, today)
    return [*_frost(frost), *(_station(one, place, units) for one in stations(folder))]


def _frost(found: FrostOnRecord) -> Iterator[dict[str, str]]:
    if found.first is None or found.middle is None or found.last is None:
        if found.years:
            says = u.FROST_FEW.format(years=found.years, least=LEAST_YEARS)
            yield {"says": says, "address": "", "press": ""}
        return
    first, middle, last = (f"{day.day} {day:%B}" for day in (found.first, found.middle, found.last))
    none = u.FROST_NONE.format(n=found.without) if found.without else ""
    says = u.FROST_OFFER.format(years=found.years, first=first, last=last, middle=middle, none=none)
    query = urlencode({"place.usual_first_frost": middle})
    press = u.TAKE_FROST.format(day=middle)
    yield {"says": says, "address": f"/set-up/place?{query}", "press": press}


def _station(one: Station, place: Place, units: Units) -> dict[str, str]:
    far = apart_km(one.latitude, one.longitude, place.latitude, place.longitude)
    told = f"{far / MILE_KM:.0f} miles" if units == "us" else f"{far:.0f} km"
    where = f"{one.latitude:.4g}, {one.longitude:.4g}"
    filled = {"place.latitude": f"{one.latitude:g}", "place.longitude": f"{one.longitude:g}"}
    if one.altitude_m is not None:
        filled["place.altitude_m"] = f"{one.altitude_m:g}"
        filled["place.altitude_ft"] = f"{one.altitude_m / FOOT_M:.0f}"
    return {
        "says": u.STATION_OFFER.format(file=one.file, where=where, far=told),
        "address": f"/set-up/place?{urlencode(filled)}",
        "press": u.TAKE_STATION,
    }
