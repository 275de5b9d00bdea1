"""Every word a sheet prints, in one place. A third more room is left for other languages."""

from __future__ import annotations

LONG_MONTHS = (
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

MINUTES_WORK, MINUTE_WORK = "minutes' work", "minute's work"
SUNSET = "sunset {hour}"
SHORT = "Short of time?"
SHORT_DO = "Do {numbers}."
BAG = "In the bag:"
PARTS = {
    "on arrival": "On arrival",
    "pick": "Pick",
    "look": "Look",
    "care": "Care",
    "replace": "Replace",
    "sick plants last": "Sick plants last",
    "last job": "Last job, then leave",
}
PART_NOTES = {"pick": "clean beds first"}
HOURS = "{begins} to {ends}"
MINUTES = "{minutes} min"
FOR_EACH = "For each of these:"
NOT = "Not"
CLEAR = "Clear {when}."
CLEARANCE_UNKNOWN = "Not known when it is clear."
ONLY_IF = "Only if {condition}: {says}"
NOT_TODAY = "Not today"
LOOK_AGAIN = "Look again {when}."
NO_TIME_FOR = "No time for: {left_out}."
WATER_LEFT = "Water left:"
DECIDED = "Decided"
LET_RUN = "Let run{more}: {names}."
BARE_BEDS = "{names}: bare."
OF_THESE = "{names}: {says}"
CLOSE_CALL = "A close call."
TOO_LATE = "Too late after about {day}."
SOW = "Sow at home"
SOW_BY = "by {day}: {says}"
AT_HOME = "At home:"
IF_YOU_MISS = "If you miss {day}:"
BRING = "bring: {things}."
MIND = "Mind:"
ROUGH = "Rough:"
NOTHING_TO_DO = "Nothing needs doing at this visit."
NOTHING_ELSE = "Nothing else needs doing at this visit."
NO_VISIT = "No visit is planned."
BLANKS: dict[str, tuple[str, ...]] = {
    "water": ("Cans",),
    "pick": ("Picked",),
    "look": ("Leaves",),  # and beside it what the look brings home
    "treat": ("Start", "litres", "undersides wetted"),
    "set out": ("Set out",),
    "pull": ("Pulled",),
    "sow": ("Sown",),
}
LOOKED_AT = {"leaves": "Leaves", "plants": "Plants", "flowers": "Flowers"}
BY_HAND: dict[str, tuple[str, ...]] = {  # of a treatment with nothing in the sprayer, by method
    "prune_leaves": ("Start", "leaves taken off"),
    "hand_pick": ("Start", "found"),
    "water_jet": ("Start", "undersides wetted"),
}
HAND_STARTED = ("Start",)
US_BLANKS = {"litres": "gallons"}  # by the metric one
ALSO_SEEN = "Also seen"
SHEET_MARK = "sheet {mark}"
TYPE_UP = "To type it up: Paper, sheet {mark}; or lattermath log done NUMBER --sheet {mark}."
TURN_OVER = "Why? Turn over."
TWO_PAGES = "A long visit: it goes on overleaf."
WHY_AFTER = "Why? On the next leaf."
AND = " and "

WHY = "Why"
WHO = {  # who says so; what the program works out itself has no name beside it
    "label": "label",
    "garden": "the garden's rule",
    "our caution": "our caution",
    "model": "",
    "grower": "your record",
}
WHO_SAYS = {
    "": "",
    "your record": "Your record:",
    "the garden's rule": "The garden's rule:",
    "label": "The label:",
    "our caution": "Our caution:",
}
SAID_BY = "{says} ({voice})"
GARDEN_SAYS = "in this garden"  # a rule that names the garden already
INSTEAD, INSTEAD_BEGINS = "Instead: {way}", "instead:"
WHY_LEGEND = "What stands without a name is reckoned from your record, the weather and the tables."
AS_TASKS = "As {numbers}."
IF_SKIPPED = "If you skip it: {loss}"
VERDICTS = "Keep or replace"
FATES = {
    "fight": "fight",
    "leave": "let run",
    "set out standby now": "set out the cups now",
    "wait for the lot": "wait for the cups",
    "direct sow": "sow in place",
    "another crop": "another crop",
    "cover": "fleece on cold nights",
    "pull": "take out",
}
VERDICT_WORDS = {"fight": "Fight", "let run": "Let run", "replace": "Replace", "pull": "Take out"}
OPTION_HEADS = ("what", "kg: low", "middle", "high", "portions", "best in")
OPTION_HEADS_US = ("what", "lb: low", "middle", "high", "portions", "best in")
ON_TOP = "What grows from today on; what is ready to pick today comes on top."
LET_RUN_CAPTION = "Let run, and replacing does better hardly ever:"
MAY_CARRY = "{name}, {area}, bare: what it may carry"
PART_MAY_CARRY = "{name}, about {area} of it bare by the spacing: what it may carry"
CARRY_HEADS = ("what", "kg", "portions", "pays", "last day")
CARRY_HEADS_US = ("what", "lb", "portions", "pays", "last day")
PAYS, PAYS_NOT = "yes", "no"
FILL = "fill it"
FILLING_BETTER = "Better than leaving it bare: {chance}"
FILLING_AFTER_BETTER = "Something in its place is better than leaving it bare: {chance}"
REPLACING_BETTER = "Replacing does better: {chance}"
GIVE_OR_TAKE = ", give or take {error}"
DECIDE_BY = "decide by {day}"
PICKING = "Picking"
PICK_NOW = "now"
PICK_FROM = "not before {when}"
PICK_UNKNOWN = "not known when"
ON_PLANTINGS = "{organism} on {plantings}"
RECKONED_AS = ", reckoned as {name},"  # behind what was logged, before where
NOT_FOUND_ON = "{organism} not found on {plantings}"
STRIP_HEAD = "stage"
NOTHING_DONE = "nothing done"
STRIP_CAPTION = "{unit}: as planned, 8 in 10 lie between; below, the middle if nothing is done"
OUTLOOK_CAPTION = (
    "{unit} a week: 8 in 10 lie between; below, if nothing is done and it differs; what is ready "
    "today comes on top"
)
LEFT_ON_LAST_DAY = "Left at the end, of every 100 there would be: {left}."
NO_TIME_THEN = (
    "{day} has no time or light for it on {plantings}: it waits, and what there will be to eat "
    "counts on it"
)
COURSE_STEP = "{day}: {plantings}: {says}"
MORE_STEPS = "and {count} more, the last {day}."
OUTLOOK = "Still to come"
LATER = "{name}: {says}"
OUTLOOK_HEAD = "week of"
STANDBY = "Cups"
FROST = "Frost"
CAUTIONS = "Caution"
STAMP = "Stamp"
STAMP_LINE = (
    "code {code}, lock {lock}, platform {platform}, tables {tables}, seed {seed}, entry {serial}, "
    "weather {weather}, as of {as_of}, preferences {preferences}, budget {budget}"
)
TASK_IDS = "tasks, for why and log done: {ids}"
PREVIOUS = ", after {previous}"
LABEL_IS_LAW = "The label in your hand is the law. It outranks this sheet."
RINSE = "Rinse what you eat under running water. Leave what animals have soiled."

CHANCE = "{tenths} in 10"
CHANCE_AT_LEAST = "9 in 10 or more"
MAY_BE = "May be {causes}."
CHANCE_NONE = "hardly ever"
CHANCE_ALL = "nearly always"
OF = "{amount} of {what}"
COUNTED = "{amount} {what}"
ABOUT = "about {figure}"
RANGE = "about {low} to {high}"
LESS_THAN = "less than {figure}"

NEXT = "Next"
TICK = "Done: {says}"
WHY_SHORT = "Why?"
SEASON = (
    "The season as one stalk a day from {first} to {last}: {cut} days are cut, {left} still stand."
)
SEASON_TODAY = "today"
SEASON_FROST = "first frost about {day}"
WORK_FROM = "Arrive {hour}. About {minutes} of work."
SUNSET_SENTENCE = "Sunset {hour}."
PLANTING_HEAD, PICK_HEAD = "planting", "may be picked"
NO_JINJA = "the sheet as a page needs the web extra"
NO_JINJA_REMEDY = "Install it with: pip install 'lattermath[web]'"
NO_TYPST = "the sheet as a PDF needs the print extra"
NO_TYPST_REMEDY = "Install it with: pip install 'lattermath[print]'"
NO_SHAPE = "the type that PDFs are set in has no shape for this"
NO_SHAPE_REMEDY = "Write it in other letters, or write the sheet as a page with --html."
BACK_OF_LEAF = "Why, and what was reckoned"
WHERE_IT_STOOD = "{bed}, where {name} stood"
OFF_THE_SHELF = "something that is not on the shelf"

IF_HEAD = "What if: {says}."
IF_NOT_WRITTEN = (
    "Both ways are planned on the same futures; nothing of this is written into the record."
)
IF_HARVEST = "What the plot still gives"
IF_WORK = "Work"
IF_VERDICTS = "Verdicts that turn"
IF_COURSES = "Courses that change"
IF_TASKS = "Tasks of the coming visits that change"
IF_SAME = "All as planned."
IF_COMPARED = "{what}: {was} as planned, {now} then: {apart}"
IF_RANGE = "{low} to {high}"
IF_NO_DIFFERENCE = "no difference"
IF_MOVED = "moved: {says}, from {was} to {now}."
IF_ADDED = "more: {says}, {now}."
IF_DROPPED = "less: {says}, planned for {was}."

SINCE = "Since {day}: {says}."
SINCE_NOTHING = "As the sheet of {day} foresaw."
SINCE_MORE = "{count} more on the back"
SINCE_ADDED = "new: {says}"
SINCE_DROPPED = "no more: {says}"
SINCE_MOVED = "{says}, from {was} to {now}"
SINCE_BECAUSE = "{says} ({causes})"
NOT_LOOKED = "Not looked at on {day}, though asked: {names}."
SINCE_HEAD = "Since the sheet before"

LAST_SOWINGS = "Last useful sowing here, by the usual frost:"
LAST_HEADS = ("crop", "in cups", "in place")
NOT_SO = "-"
