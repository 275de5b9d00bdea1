"""What a plot file does not tell yet, the most helpful first."""

from __future__ import annotations

from collections.abc import Iterator

from lattermath.desk.set_up import PlotText


def gaps(held: PlotText, weather_taken: bool) -> Iterator[str]:
    """The words for what is not told yet, the most helpful first (judgement: what most figures of
    a first sheet hang on). The shelf is not among them: a sheet is complete without products.

    weather_taken : whether a weather file was taken in that the plot file need not name.
    """
    plantings = held.rows("planting")
    if not plantings:
        yield "plantings"
    named = held.document.get("weather") or held.rows("week") or held.table("forecast")
    if not (named or weather_taken):
        yield "weather"
    if any("plants" not in row for row in plantings):
        yield "plants"
    if "usual_first_frost" not in held.table("place"):
        yield "frost"
    if any("bed" not in row for row in plantings):
        yield "in_beds" if held.rows("bed") else "beds"
    if not held.table("visiting"):
        yield "visits"
    if not held.table("household").get("want"):
        yield "household"
    if not held.table("water"):
        yield "water"
