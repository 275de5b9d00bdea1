"""Every word of the set-up pages, in one place."""

from __future__ import annotations

SET_UP = "Set up"
FIRST = "Your first sheet"
FIRST_LEAD = (
    "Four things are enough: where the plot lies, when frost usually comes, this week's weather, "
    "and what grows. Rough is good. All of it can be mended later."
)
NOTHING_LEAVES = "What you write stays on this machine, in plot.toml in the folder {folder}."

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
LOOKED_AT = "What is odd here"
OR_TICK = "or tick below that it is so."

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
CROP, PLANTS, WHEN, HOW = "Crop", "Plants", "About when", "Sown or set out"
SOWN, SET_OUT = "sown there", "set out as plants"
MORE_CROPS = "More crops"
PLANTING_N = "Planting {n}"
NO_CROP = "no crop is written down yet"
NO_CROP_REMEDY = "Write at least one, as in courgette."
NO_HOW = "which of the two is not said"
NO_HOW_REMEDY = "Choose one: the plants are further on where they were set out."
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

# After the start
SET_UP_LEAD = "What the plan is made from. Nothing has to be told; each makes the sheet less rough."
MOST_HANGS_ON, WHEN_TIME = "Most hangs on these", "When there is time"
ONE_THING = "One thing would help most"
GO_THERE = "Tell it"
WRITTEN = "Written in plot.toml."
SAVE = "Write it down"
BACK = "Back to all of it"
TAKE_OUT = "Take it out of the file: it was written by mistake"
TAKE_OUT_NOTE = "What was pulled, used up or eaten is written under Log, and stays here."
NOT_SAID, YES, NO = "not said", "yes", "no"
USUAL = "Left empty: {usual}."
FILE_WRONG = "plot.toml cannot be read as a plot, so pages cannot write in it until it is mended."
NOT_TOLD = "nothing yet"
TOLD = "told"

PLACE_LEAD = "Where the plot lies, and when frost comes there."
PLACE_NAME = "Name of the place"
LATITUDE, LATITUDE_HINT = "Latitude", "North is plus."
LONGITUDE, LONGITUDE_HINT = "Longitude", "East is plus."
ALTITUDE = "Altitude"
FROST_LONG = "First frost of autumn, usually"
COUNTRY, COUNTRY_HINT = "Country", "As a label names it: GB, US. Rules of a label hold for one."
REGION = "Pests and diseases are those of"
OFFERS = "From your own weather files"
FROST_OFFER = (
    "In {years} autumns on record the first frost came between {first} and {last}, in the middle "
    "on {middle}{none}."
)
FROST_NONE = "; in {n} it did not come by the year's end"
TAKE_FROST = "Put {day} into the blank"
FROST_FEW = (
    "Your weather files hold {years} whole autumns; {least} are needed to say when frost comes."
)
STATION_OFFER = "{file} says that its station stands at {where}, {far} from the plot as written."
TAKE_STATION = "Put the station's place into the blanks"
OFFER_WRITES_NOTHING = "This only fills the blanks; it counts when you write it down."

BEDS = "Beds"
BEDS_LEAD = "Length and width are enough; where they lie makes the plan of the plot true."
BED_NAME = "What you call it"
LENGTH, WIDTH = "Length, east to west", "Width, north to south"
EAST_OF_PEG, NORTH_OF_PEG = "East of the corner peg", "North of it"
SOIL, SOIL_HINT = "Soil", "sand, loamy sand, sandy loam, loam, silt loam, silt, clay, ..."
ROOT_LIMIT, ROOT_LIMIT_HINT = "Roots stop at", "A raised bed's floor, or a pan. It may stay empty."
WATERED_HOW, AT_FOOT, OVERHEAD = "Water is given", "at the foot", "over the leaves"
MULCHED, MULCHED_YES = "Mulch", "mulched"
ADD_BED = "Another bed"
BED_PLAN = "The plan, to scale"
BED_PLAN_SAYS = "Beds in metres from the south-west peg, north at the top."
BED_PLAN_DRAG = (
    "Drag a bed, or choose it with Tab and move it with the arrow keys: 10 cm a press, with Shift "
    "1 m. The numbers follow, and count when you write it down."
)
BED_PLAN_NUMBERS = "The numbers below move the beds."

PLANTINGS_LEAD = (
    "About when is enough: mid-June, early May, about 12 May, April. The sheet reckons with how "
    "far the day may be off."
)
IN_BED = "In bed"
SOWN_WHEN, SET_OUT_WHEN = "Sown", "Set out"
DAY_HINT = "mid-June"
CALLED, CALLED_HINT = "What you call it", "Empty: by its crop."
VARIETY = "Variety"
MATURITY, MATURITY_HINT = "Days to maturity", "As on the packet."
RESISTS, RESISTS_HINT = "Resists", "As on the packet, with commas between: rust, mildew."
BEARING, BEARING_HINT = "Has borne since", "mid-July. Empty while it bears nothing."
VIGOUR = "How it looks"
IN_BLOOM, IN_BLOOM_HINT = "Open flowers that bees visit", "Leave it while nobody looked."
ADD_PLANTING = "Another planting"

CUPS = "Plants in cups"
CUPS_LEAD = "Plants that wait to take a place. Sown together, they are one lot."
CUP = "Cup holds"
STANDS, AT_HOME, AT_PLOT = "They stand", "at home", "at the plot"
WATERED_OFTEN, WATERED_HINT = "Watered", "A full cup in heat dries in a day or two."
ADD_LOT = "Another lot"

VISITS = "When you come"
VISITS_LEAD = "The sheet is made for the days on which you can come, and for as long as you stay."
VISIT_DAYS = "Days"
DAYS = {
    "mon": "Monday", "tue": "Tuesday", "wed": "Wednesday", "thu": "Thursday", "fri": "Friday",
    "sat": "Saturday", "sun": "Sunday",
}  # fmt: skip
ARRIVE, ARRIVE_HINT, MINUTES = "You come at", "18:30", "Minutes you stay"
AWAY, AWAY_HINT = "Away", "As in 10 August to 17 August, 1 September to 5 September."
GARDEN = "The garden's rules"
ORGANIC, NO_SPRAYS = "Organic means only", "No sprays at all"
GARDEN_LEAD = (
    "The garden's rules bind the plan as a label does. Your name stands on sheets to hand on."
)
NO_HOSE, NO_FIRES = "No hose", "No fires"
WASTE, WASTE_HINT = "Where sick plants go", "As in: the closed bin by the gate."
TIDY_BY, TIDY_HINT = "Plots are to be tidy by", "15 November"
RING = "Whom to ring"
POISON_NUMBER = "Your country's poison number"
POISON_HINT = "Look it up and write it as it is dialled; this program knows none."
HOLDER, HOLDER_NAME, HOLDER_PLOT = "Whose plot it is", "Your name", "Plot"
GATE_OPENS, GATE_CLOSES, CLOCK_HINT = "Gate opens", "Gate closes", "07:00"
BLOOM_NEAR = "Weeds in flower, or honeydew with bees, near your plants"

WATER = "Water"
WATER_LEAD = "What can be carried decides which bed goes first."
CAN, CANS = "A can holds", "Cans you can carry at a visit"
HOSE, HOSE_YES = "Hose", "there is a hose"
HOSE_BAN, HOSE_BAN_YES = "Ban", "its use is banned now"

HOUSEHOLD = "Who eats"
HOUSEHOLD_LEAD = (
    "The tenth courgette of a week is worth less than the first bean: tell what you can use."
)
PEOPLE, FREEZER = "People", "Room in the freezer"
JARS, JARS_HINT = "Empty jars", "Of half a litre."
WANTS = "What you like to eat"
FOOD, PORTIONS, WORTH = "Crop", "Portions a week", "Worth of one"
WORTH_HINT = "Beside the others: 2 is twice as dear to you as 1."
ADD_WANT = "Another"

NEXT_DOOR = "Next door"
NEXT_DOOR_LEAD = (
    "What grows on the neighbours' plots near yours. It is looked at and reckoned with, since "
    "insects and spores come over; it is never treated."
)
FAR_OFF, ON_SIDE = "How far off", "On which side of your beds"
ADD_NEIGHBOUR = "Another of theirs"

TIN = "The seed tin"
TIN_LEAD = "What there is to sow from. What you do not list is not offered as a replacement to sow."
CUPS_AND_MIX = "Cups and mix"
EMPTY_CUPS, MIX = "Empty cups", "Sowing mix"
USUAL_CUP = "200 ml"
PACKETS = "Packets of seed"
SEEDS, SEEDS_HINT = "Seeds left", "About is enough."
ADD_PACKET = "Another packet"

ON_HAND = "At hand against insects"
ON_HAND_ASKED = "You have"
MEANS_LEAD = (
    "What comes in no pack with a label. Hands, shears and a board cost nothing and are taken to "
    "be there; the hose stands under Water. What is not ticked is not planned with."
)
MEANS = {
    "vacuum": "a hand-held vacuum",
    "bags": "clear or paper bags",
    "fine mesh": "fine mesh, up to 0.35 mm",
    "mesh": "crop mesh",
    "fleece": "fleece",
    "predatory mites": "predatory mites",
    "lacewing larvae": "lacewing larvae",
    "ladybirds": "ladybirds",
    "whitefly wasps": "whitefly wasps",
    "yellow cards": "yellow cards",
}
MEANS_CAUTION = (
    "Never put dust or spray into a bag, and never leave one on in sun. Not mesh or fleece over "
    "flowers that bees must reach, nor fleece above 27 °C."
)
MEANS_NOTE = (
    "Ladybirds and wasps fly off an open plot, and yellow cards only show flight: no course is "
    "built on them."
)

SERVICE = "A forecast by itself"
SERVICE_LEAD = (
    "Left empty, nobody is ever asked. A forecast can also be typed in, as days to come, or taken "
    "from a file."
)
SERVICE_AT = "Address of the service"
OPEN_SERVICE = "https://api.open-meteo.com/v1/forecast"
SERVICE_HINT = (
    "It begins with https:// and answers in the documented JSON of Open-Meteo, whose own is "
    "https://api.open-meteo.com/v1/forecast. Empty it to turn this off."
)
DAYS_AHEAD, DAYS_PAST = "Days ahead", "Days just past"
SERVICE_NOTE = (
    "It is told the latitude and longitude rounded to 0.01°, the time zone and nothing else, at "
    "most every three hours, before a plan is made. Mind its terms: the open one is for "
    "non-commercial use, its data under CC BY 4.0. Without a network the plan rests on the last "
    "answer and says how old it is."
)

RATES = "What work is worth to you"
RATES_LEAD = (
    "The plan weighs what the plot gives against what it costs you, all in portions: one is what "
    "one person eats of a crop at a meal. None of this has to be told."
)
IN_PORTIONS = "portions"
HOUR, LITRE, TREATMENT = "An hour of work", "A litre carried", "A treatment with a chemical"
HOUR_DECIDES = (
    "How many portions an hour at the plot has to bring. Higher: fewer looks, less work by hand, "
    "and worn plants are let go or replaced sooner. Lower: more is done."
)
LITRE_DECIDES = (
    "Higher: thirsty plants that give little are let go sooner. A can of 10 is ten times it."
)
GIVEN = "A portion given away"
GIVEN_DECIDES = (
    "What a portion is worth that neighbours or a food bank get, against one you eat; 0 to 1. "
    "Nothing: what is more than twice your want counts for nothing. Higher: more is grown than you "
    "eat."
)
TREATMENT_DECIDES = (
    "What you would give not to treat once, whatever its label allows; soap and oil count less. "
    "Higher: fewer treatments, more harm borne. No rate ever loosens a label."
)

MONTHS = "The usual months"
MONTHS_LEAD = (
    "Highs, lows and rain as they usually are where the plot lies, from any table of your place. "
    "They stand in where there is no record of years; a weather file of years serves better."
)
MONTH = "Month"
MONTH_NAMES = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip
MONTH_UNITS_METRIC, MONTH_UNITS_US = "In °C, rain in mm a month", "In °F, rain in inches a month"
MONTH_MISSING = "this month is missing"
MONTH_MISSING_REMEDY = "Write all twelve, or empty the whole column of rain or the whole table."
MONTH_IN_ALL = (
    "Highs and lows go together, twelve of each. Rain may stay empty. An empty table is no table."
)

# What would help most, and where it is told.
GAPS = {
    "plantings": ("Write down what grows.", "/set-up/plantings"),
    "weather": ("Write down this week's highs and lows.", "/set-up/weather"),
    "plants": ("Count your plants: kilograms and cans hang on it.", "/set-up/plantings"),
    "frost": ("Find out when frost usually comes: it ends the season.", "/set-up/place"),
    "beds": ("Write down your beds, and what stands in which.", "/set-up/beds"),
    "in_beds": ("Say what stands in which bed: water hangs on it.", "/set-up/plantings"),
    "visits": ("Say on which days you come, and for how long.", "/set-up/visits"),
    "household": ("Say what you like to eat, and how much in a week.", "/set-up/household"),
    "water": ("Say what your can holds, and how many you can carry.", "/set-up/water"),
}
DAYS_TYPED, FILES_NAMED = "{days} typed in", "from {files}"
SHELF = "The shelf"
SHELF_MAY = "nothing; nothing is needed"

# The weather page
UNITS_METRIC, UNITS_US = "In °C and mm", "In °F and inches"
OPTIONAL = "It may stay empty."

# The shelf, copied from labels
SHELF_LEAD = (
    "Copy each pack line by line, with the label in your hand. The label is the law and outranks "
    "this program; a line that is not copied refuses the treatment."
)
ADD_PACK = "Copy another label"
NEW_PACK = "A label"
PACK_NAME, PACK_ACTIVE = "Name on the pack", "Active ingredient"
PACK_ACTIVE_HINT = "By its common name, as the label prints it: sulfur, pyrethrins."
PACK_GROUP, PACK_GROUP_HINT = "Group", "IRAC or FRAC, if printed."
PACK_COUNTRY_HINT = "Of the label: GB, US."
PACK_FORM, PACK_MEASURED = "It is used as", "Measured in"
PACK_AMATEURS, PACK_ORGANIC = "Sold to amateurs", "Allowed as an organic input"
PACK_LEFT, PACK_LEFT_HINT = "Spray it still makes", "It may stay empty."
PACK_FIRST_AID = "First aid, in the label's words"
WHOLE_LABEL = "Lines for every crop"
ON_CROP = "Lines for {crop}"
CROP_ON_LABEL = "A crop the label lists"
NO_CROPS_LISTED = "The label lists no crop; I looked"
CROP_OUT = "Take this crop out: the label does not list it"
NEVER_UNLISTED = "A crop that is not copied here is never treated."
LABEL_WORDS = "The label's own words"
GIVES_NONE = "The label gives none; I looked"
LINE_EMPTY = "not copied"
EMPTY_REFUSES = "Left empty, a line counts as not copied, and refuses."
LABEL_SURE = "The label says so, I looked again"
BOTH, BOTH_REMEDY = "a value, and that there is none", "Keep one of the two."
WORDS_ALONE = "words are copied, but no value"
WORDS_ALONE_REMEDY = "Write the value they give, or say that the label gives none."
SCOPE, OVER = "The most counts for one", "Counted over one"
LABEL_LINES = {
    "pre_harvest_days": "Days before picking",
    "retreat_days": "Days between treatments",
    "season_max": "Most treatments in a season",
    "rate_ml_per_l": "ml or g in each litre",
    "rate_fl_oz_per_gal": "Fl oz in each gallon",
    "max_l_per_m2": "Most litres on a square metre",
    "max_gal_per_1000_sq_ft": "Most gallons on 1,000 square feet",
    "plant_back_days": "Days before another crop",
    "re_entry_hours": "Hours to stay out",
    "max_temperature_c": "Not above, °C",
    "max_temperature_f": "Not above, °F",
    "rain_free_hours": "Hours without rain after it",
    "max_wind_m_s": "Most wind, m/s",
    "max_wind_mph": "Most wind, mph",
    "bloom": "In flower",
    "sulfur_oil_gap_days": "Days between sulfur and oil",
    "consecutive_max": "Most in a row before another mode of action",
}
VALUE = "Value"
PACK = "The pack"
CROPS_LISTED = "Crops the label lists"
BACK_TO_SHELF = "Back to the shelf"
