"""Every word of the set-up pages, in one place."""

from __future__ import annotations

SET_UP = "Set up"
FIRST = "Your first sheet"
FIRST_LEAD = (
    "Four things are enough: where the plot lies, when frost usually comes, this week's weather, "
    "and what grows. Rough is good. All of it can be mended later."
)
NOTHING_LEAVES = "What you write stays on this machine, in plot.toml in the folder {folder}."
STEP = "{number} of {of}"

# Place
PLACE = "Where the plot lies"
WHERE = "Latitude and longitude"
WHERE_HINT = "As a map shows them, latitude first: 51.5,\u00a0\u22120.6. South and west are minus."
ZONE = "Clocks there"
ZONE_HINT = "As in Europe/London or America/Chicago."
NO_ZONE, NO_ZONE_REMEDY = "what clocks are kept there is not said", "Write it as Europe/London."
FROST_HEAD = "First frost of autumn"
FROST = "It usually comes"
FROST_HINT = "As in 20 October, or late October. A neighbour knows. Leave it empty if nobody does."
NO_PLACE = "this is no place on a map"
NO_SUCH_PLACE = "there is no such place"
PLACE_AS = "Write latitude first, then longitude, with a space between: 51.5, -0.6."
ZONE_AND_PLACE = "the place and the clocks do not go together"
ZONE_REMEDY = (
    "{zone} is kept about {usual} (15° to an hour); you typed {typed}. "
    "Is a minus missing? Mend one of the two, or say that it is so."
)
EAST, WEST = "{degrees}° east", "{degrees}° west"
FROST_AND_PLACE = "the first frost of autumn hardly comes then"
FROST_REMEDY = (
    "In the {half} half of the world it comes in the other half of the year. Is it the last frost "
    "of spring? Mend it, or say that it is so."
)
NORTH, SOUTH = "northern", "southern"
SURE = "It is so, I looked"

# Weather
WEEK = "This week's highs and lows"
WEEK_HINT = (
    "What you know of them; one day is enough. Days to come are your own forecast, and count as "
    "that. Leave the others empty."
)
UNITS_ASKED = "Written in"
METRIC, US = "°C, metres, litres", "°F, feet, gallons"
DAY, HIGH, LOW, RAIN = "Day", "High", "Low", "Rain"
TODAY = "today"
NO_WEEK = "no high and low is written down yet"
NO_WEEK_REMEDY = "Write at least one day's, as near as you know."
HEAT_REMEDY = "Look at the choice between °C and °F. Mend it, or say that it is so."
HEAT_IMPOSSIBLE = "Look at the choice between °C and °F, and mend it."

# Crops
GROWS = "What grows"
GROWS_HINT = "One line a planting. About when is enough: mid-June, early May, about 12 May, April."
CROP, PLANTS, WHEN, HOW = "Crop", "Plants", "About when", "Begun"
SOWN, SET_OUT = "sown there", "set out as plants"
PLANTS_HINT = "Empty: not counted"
MORE_CROPS = "More crops"
PLANTING_N = "Planting {n}"
NO_CROP = "no crop is written down yet"
NO_CROP_REMEDY = "Write at least one, as in courgette."
NO_HOW = "whether it was sown there or set out as plants is not said"
NO_HOW_REMEDY = "Choose one: days are counted otherwise for each."
CROP_NEEDED = "which crop this is, is not said"
CROP_NEEDED_REMEDY = "Write it, as in courgette, or empty this line."

MAKE = "Make my first sheet"
NO_SHELF = (
    "Nothing to spray or buy is asked for: the first sheet is complete without products. It is "
    "marked rough, and says what would make it better."
)

# A plot file that is there
THERE = "There is a plot.toml in this folder"
THERE_SOUND = "It can be read, and a plot can be started with it as it stands."
THERE_WRONG = (
    "It cannot be taken yet. Mend this in the file, or write below what is missing: your own lines "
    "and comments in it stay."
)
THERE_BROKEN = (
    "Its form is broken, so no page can write in it. Mend it in the file, then open this again."
)
START_IT = "Start with it"

MEND = "Nothing was written yet"
ONE_TO_MEND, MANY_TO_MEND = "One thing is to mend:", "{n} things are to mend:"
NAMED_FAULT = "{label}: {what}"
FIRST_NOW = "No plot was started here yet. This is where it begins."
