"""Every word of weather files on the pages, in one place."""

from __future__ import annotations

WEEK_STAYS = "Days written down before stay known; only the week in view changes in the file."
FILES_HEAD = "Weather files"
FILES = "Names, with commas between"
FILES_HINT = (
    "Files in {folder}: GHCN-Daily as CSV or .dly, Open-Meteo, Meteostat daily, EPW, or a diary "
    "of highs and lows. Years of them tell when frost comes."
)
SEND_FILE = "Send a file from here"
SEND_FILE_HINT = (
    "From this phone or computer, up to 25 MB. It is kept in the plot's folder and taken into the "
    "record."
)
FILE_UNITS, FILE_METRIC, FILE_US = "The file does not say its units", "°C and mm", "°F and inches"
CHOOSE_UNITS = "Choose below what it is written in, and press again."
FILE_IS_FORECAST = "Its days from today on are a forecast"
FILE_WAITS = "{file} is here and waits for this answer; it need not be sent again."
TAKEN_FILES = "Taken in"
TAKEN_FILE = "{file}: {days}, {first} to {last}"
TAKEN_BACK_AT = "Take one back in the record"
FILE_GONE, FILE_GONE_REMEDY = "the file is not here any more", "Choose it again, and send it."
FAR_REMEDY = (
    "Look at latitude and longitude under Where the plot lies, or take a station nearer by. If you "
    "mean this one, say that it is so; every sheet will say that it is from afar."
)
