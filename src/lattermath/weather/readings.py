"""Read a weather file of any known form into local days, or refuse it whole."""

from __future__ import annotations

import gzip
import hashlib
import io
import zlib
from dataclasses import replace
from datetime import date
from pathlib import Path
from zoneinfo import ZoneInfo

from lattermath.vocabulary.errors import Fault, WeatherFileError
from lattermath.weather.days import FORECAST, Reading, WeatherFile
from lattermath.weather.forms.diary import DIARY, ORDER
from lattermath.weather.forms.document import Document, Form
from lattermath.weather.forms.epw import EPW
from lattermath.weather.forms.ghcn_daily import GHCN_DAILY, GHCN_DLY, GHCN_ROWS
from lattermath.weather.forms.meteostat import METEOSTAT
from lattermath.weather.forms.open_meteo import OPEN_METEO, OPEN_METEO_FORECAST
from lattermath.weather.forms.open_meteo_csv import OPEN_METEO_CSV
from lattermath.weather.gates import set_aside

__all__ = ["FORMS", "Reading", "WeatherFile", "as_forecast", "read_weather", "read_weather_bytes"]

MOST_BYTES = 100_000_000  # judgement: a century of days takes a tenth of it

# Asked in this order; the first that knows the content reads it. A new form is added here.
FORMS: tuple[Form, ...] = (
    OPEN_METEO,
    OPEN_METEO_FORECAST,
    OPEN_METEO_CSV,
    GHCN_DAILY,
    GHCN_ROWS,
    GHCN_DLY,
    EPW,
    METEOSTAT,
    ORDER,
    DIARY,
)


def read_weather(
    path: Path, *, form: str | None = None, units: str | None = None, time_zone: str | None = None
) -> WeatherFile:
    """The local days of a weather file, in C and mm, with what was assumed said in words.

    The form is known from the content. `units` ("C mm", "F in", "metric", "us") is for files that
    state none; `time_zone` is the plot's own, to which hours are gathered into days.
    Raises WeatherFileError with every fault found; nothing is half-read.
    """
    try:
        data = path.read_bytes()
    except OSError as fault:
        reason = fault.strerror or "unknown"
        raise WeatherFileError(
            Fault("the file cannot be opened", path.name, reason, "Check its name and place.")
        ) from fault
    return read_weather_bytes(data, path.name, form=form, units=units, time_zone=time_zone)


def read_weather_bytes(
    data: bytes,
    name: str,
    *,
    form: str | None = None,
    units: str | None = None,
    time_zone: str | None = None,
) -> WeatherFile:
    """As `read_weather`, from the bytes of an uploaded or fetched file."""
    document = _document(data, name, units, time_zone)
    read = _form(document, form).read(document)
    if not read.readings and not read.usual_months:
        raise document.refusal(
            "the file holds no day of weather", remedy="Choose a file with readings."
        )
    kept, says = set_aside(read.readings, read.units)
    return replace(read, readings=kept, says=document.says + read.says + says)


def as_forecast(file: WeatherFile, issued: date) -> WeatherFile:
    """The same file with every day from `issued` on marked as forecast and not measured."""
    mark = f"{FORECAST} of {issued.isoformat()}"
    marked = tuple(
        r if r.day < issued else r._replace(marks=(mark, *(m for m in r.marks if m != FORECAST)))
        for r in file.readings
    )
    return replace(file, readings=marked)


def _form(document: Document, name: str | None) -> Form:
    known = ", ".join(form.name for form in FORMS)
    if name is not None:
        if named := [form for form in FORMS if form.name.startswith(name.strip().lower())]:
            exact = [form for form in named if form.name == name]
            fitting = exact or [form for form in named if form.recognises(document)]
            if fitting:
                return fitting[0]
            raise document.refusal(
                "the file is not of that form", value=name, remedy="Leave --form out."
            )
        raise document.refusal(
            "there is no such form of weather file", value=name, remedy=f"Use {known}."
        )
    for form in FORMS:
        if form.recognises(document):
            return form
    raise document.refusal(
        "this is no weather file of a known form",
        "line 1",
        document.text.lstrip().split("\n", 1)[0],
        f"Known forms: {known}. A diary needs a header such as date,tmin_c,tmax_c,rain_mm.",
    )


def _unpacked(where: Document, data: bytes) -> bytes:
    """The bytes of a file that an archive serves packed; its digest is that of what is inside."""
    if data[:2] != b"\x1f\x8b":
        return data
    try:
        with gzip.open(io.BytesIO(data)) as packed:
            inside = packed.read(MOST_BYTES + 1)
    except (OSError, EOFError, zlib.error) as fault:
        remedy = "Fetch it again."
        raise where.refusal(
            "the packed file is damaged", value=str(fault), remedy=remedy
        ) from fault
    if len(inside) > MOST_BYTES:
        raise where.refusal("the packed file is too large", remedy="Fetch fewer years at a time.")
    return inside


def _document(data: bytes, name: str, units: str | None, time_zone: str | None) -> Document:
    where = Document(name, "", "")
    data = _unpacked(where, data)
    if not data.strip():
        raise where.refusal("the file is empty", remedy="Choose a file with readings.")
    if time_zone is not None:
        try:
            ZoneInfo(time_zone)
        except (KeyError, ValueError, OSError) as fault:
            remedy = "Use a name such as Europe/London."
            raise WeatherFileError(
                Fault("there is no such time zone", "time zone", time_zone, remedy)
            ) from fault
    says: tuple[str, ...] = ()
    try:
        sixteen = data[:2] in (b"\xff\xfe", b"\xfe\xff")
        text = data.decode("utf-16" if sixteen else "utf-8-sig")
    except UnicodeDecodeError:
        text = data.decode("cp1252", errors="replace")
        says = ("The file is not in UTF-8; its letters were read as Western European.",)
    if "\x00" in text:
        raise where.refusal("this is not a text file", remedy="Save the readings as CSV or JSON.")
    return Document(name, text, hashlib.sha256(data).hexdigest(), units, time_zone, says)
