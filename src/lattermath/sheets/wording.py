"""Every word a sheet prints, in one place. A third more room is left for other languages."""

from __future__ import annotations

WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)

MINUTES_WORK = "{minutes} minutes' work"
SUNSET = "sunset {hour}"
SHORT = "SHORT OF TIME?"
SHORT_DO = "Do {numbers}."
BAG = "IN THE BAG:"
PARTS = {
    "on arrival": "ON ARRIVAL",
    "pick": "PICK",
    "look": "LOOK",
    "care": "CARE",
    "replace": "REPLACE",
    "sick plants last": "SICK PLANTS LAST",
    "last job": "LAST JOB, THEN LEAVE",
}
PART_NOTES = {"pick": "(clean beds first)"}
HOURS = "{begins} to {ends}"
MINUTES = "{minutes} min"
NOT = "NOT {name}: {why}"
CLEAR = "Clear {when}."
CLEARANCE_UNKNOWN = "Not cleared: when is unknown."
ONLY_IF = "Only if {condition}: {says}"
NOT_TODAY = "NOT TODAY"
LOOK_AGAIN = "Look again {when}."
NO_TIME_FOR = "No time for: {left_out}."
WATER_LEFT = "WATER LEFT:"
DECIDED = "DECIDED"
LET_RUN = "Let run: {names}."
TOO_LATE = "Too late after about {day}."
SOW_BY = "SOW AT HOME by {day}:"
SOW = "SOW AT HOME:"
AT_HOME = "AT HOME:"
IF_YOU_MISS = "IF YOU MISS {day}:"
BRING = "{day} bring: {things}."
MIND = "MIND:"
ROUGH = "ROUGH:"
NOTHING_TO_DO = "Nothing needs doing at this visit."
NO_VISIT = "No visit is planned."
TURN_OVER = "Why? Turn over."
AND = " and "

WHY = "WHY"
WHO = {
    "label": "label",
    "garden": "the garden's rule",
    "our caution": "our caution",
    "model": "reckoned",
    "grower": "your record",
}
IF_SKIPPED = "If you skip it: {loss}"
VERDICTS = "KEEP OR REPLACE"
FATES = {
    "fight": "fight",
    "leave": "let run",
    "set out standby now": "set out the cups now",
    "wait for the lot": "wait for the cups",
    "direct sow": "sow in place",
    "another crop": "another crop",
    "cover": "cover crop",
}
VERDICT_WORDS = {"fight": "Fight", "let run": "Let run", "replace": "Replace"}
OPTION_HEADS = ("what", "kg: low", "middle", "high", "portions", "best in")
OPTION_HEADS_US = ("what", "lb: low", "middle", "high", "portions", "best in")
REPLACING_BETTER = "Replacing does better: {chance}"
GIVE_OR_TAKE = ", give or take {error}"
DECIDE_BY = "decide by {day}"
PICKING = "PICKING"
PICK_NOW = "now"
PICK_FROM = "not before {when}"
PICK_UNKNOWN = "not cleared"
POPULATIONS = "WHAT LIVES ON THE PLANTS"
ON_PLANTINGS = "{organism} on {plantings}"
STRIP_HEAD = "stage"
NOTHING_DONE = "nothing done"
STRIP_CAPTION = "{unit}: as planned, 8 in 10 lie between; below, the middle if nothing is done"
OUTLOOK_CAPTION = "8 in 10 lie between; below, if nothing is done"
LEFT_ON_LAST_DAY = "Left at the end, of every 100 there would be: {left}."
COURSE_STEP = "{day}: {says}"
OUTLOOK = "STILL TO COME, {unit} a week"
OUTLOOK_HEAD = "week of"
STANDBY = "CUPS"
FROST = "FROST"
CAUTIONS = "CAUTION"
STAMP = "STAMP"
STAMP_LINE = (
    "code {code}, lock {lock}, platform {platform}, tables {tables}, seed {seed}, entry {serial}, "
    "weather {weather}, as of {as_of}, preferences {preferences}, budget {budget}"
)
PREVIOUS = ", after {previous}"
LABEL_IS_LAW = "The label in your hand is the law. It outranks this sheet."
RINSE = "Rinse what you eat under running water. Leave what animals have soiled."

CHANCE = "{tenths} in 10"
CHANCE_NONE = "hardly ever"
CHANCE_ALL = "nearly always"
OF = "{amount} of {what}"
ABOUT = "about {figure}"
RANGE = "about {low} to {high}"
LESS_THAN = "less than {figure}"

SHEET_TITLE = "{plot}, {day}"
TICK = "Done: {says}"
WHY_SHORT = "Why?"
SEASON = (
    "The season as one stalk a day from {first} to {last}: {cut} days are cut, {left} still stand."
)
SEASON_TODAY = "today"
SEASON_FROST = "first frost about {day}"
DONE_BY = "About {minutes} minutes of work, done by {hour}."
SUNSET_SENTENCE = "Sunset {hour}."
RANGE_LOW, RANGE_MIDDLE, RANGE_HIGH = "low", "middle", "high"
PLANTING_HEAD, PICK_HEAD = "planting", "may be picked"
NO_JINJA = "the sheet as a page needs the web extra"
NO_JINJA_REMEDY = "Install it with: pip install 'lattermath[web]'"
