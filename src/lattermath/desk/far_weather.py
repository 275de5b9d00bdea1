"""Weather measured too far from the plot: asked about before it is taken, said on every sheet."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from lattermath.vocabulary.errors import Fault, WeatherFileError
from lattermath.vocabulary.measure import measure
from lattermath.vocabulary.place import Place
from lattermath.vocabulary.sentence import listed
from lattermath.weather.days import WeatherFile
from lattermath.weather.stations import Station, apart_km, station_of

# Common practice: air cools by 0.65 C for 100 m of height on average, so 150 m are a degree.
LAPSE_C_M = 0.0065
# judgement: frost pockets, showers and the coast differ within 50 km, though the air is much the
# same; a degree moves a harvest by days and is worth a word.
SAID_KM, SAID_M = 50.0, 150.0
# judgement: 400 km to the south or north are about as much warmth as 600 m of height (4 C), and
# frost comes weeks apart; that is another climate, and more often a slip than a choice.
ASKED_KM, ASKED_M = 400.0, 600.0
_SLIPS = (("the longitude", 1, -1), ("the latitude", -1, 1), ("both", -1, -1))


ANOTHER_CLIMATE = "this weather was measured in another climate than the plot's"


def ask_if_far(read: WeatherFile, place: Place) -> None:
    """Refuse weather of another climate, unless the grower said that it is meant.

    WeatherFileError with the distance, the height, a slip that may be behind it, and the way out.
    """
    station = station_of(read)
    if station is None or place.far_weather:
        return
    far, higher = _far_and_higher(station, place)
    if far <= ASKED_KM and abs(higher or 0.0) <= ASKED_M:
        return
    found = f"{far:,.0f} km"
    if higher is not None and abs(higher) > SAID_M:
        found += f" and {abs(higher):,.0f} m {'higher' if higher > 0 else 'lower'}"
    remedy = (
        f"{_slip(station, place)}Look at latitude and longitude under [place], or take a station "
        "nearer by; or, if you mean this one, write far_weather = true under [place]: every sheet "
        "will say that it is from afar."
    )
    raise WeatherFileError(Fault(ANOTHER_CLIMATE, read.file, found, remedy))


def far_words(stations: Iterable[Station], place: Place) -> Iterator[str]:
    """One warning for each file whose station is too far off, or too high or low, for the plot."""
    for station in stations:
        far, higher = _far_and_higher(station, place)
        high = higher is not None and abs(higher) > SAID_M
        if far > SAID_KM or high:
            yield _warning(station, far, higher if high else None)


def unplaced_words(unplaced: Sequence[str]) -> Iterator[str]:
    """One line on all weather of which nobody says where it was measured.

    The grower's own highs and lows are of the plot, and no part of it.
    """
    if unplaced:
        yield (
            f"Not known how far from the plot this was measured: {listed(unplaced)}. Where a "
            "station is not near, dates, frosts and water on this sheet may be out by days."
        )


def _warning(station: Station, far: float, higher: float | None) -> str:
    says = f"The weather of {station.file} was measured {measure(round(far), 'km')} from the plot"
    if higher is not None:
        cooler = measure(round(abs(higher) * LAPSE_C_M, 1), "C apart")
        up, air = ("higher", "cooler") if higher > 0 else ("lower", "warmer")
        height = measure(round(abs(higher)), "m")
        says += f", {height} {up}, where the air is about {cooler} {air}"
    meant = (
        "it is another climate: days, frosts, water and insects on this sheet may be out by weeks"
        if far > ASKED_KM or abs(higher or 0.0) > ASKED_M
        else "dates, frosts and water on this sheet may be out by days"
    )
    return (
        f"{says}; {meant}. Take a file of a station nearer by and take this one back in the "
        "record, or write down your own highs and lows."
    )


def _far_and_higher(station: Station, place: Place) -> tuple[float, float | None]:
    """The way to the station, and how much higher it stands; None where a height is unknown."""
    far = apart_km(station.latitude, station.longitude, place.latitude, place.longitude)
    if station.altitude_m is None or place.altitude_m is None:
        return far, None
    return far, station.altitude_m - place.altitude_m


def _slip(station: Station, place: Place) -> str:
    """A question, where the place as typed would be near with a minus more or less."""
    at = (station.latitude, station.longitude)
    for which, north, east in _SLIPS:
        near = apart_km(*at, place.latitude * north, place.longitude * east)
        if near <= ASKED_KM:
            far = f"{near:,.0f} km"
            return f"Is the minus of {which} missing, or too much? It would be {far} then. "
    return ""
