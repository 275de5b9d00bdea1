"""Every word of the pages that is not a word of the sheet, in one place."""

from __future__ import annotations

NAME = "Lattermath"
SKIP_LINK = "Go to the page itself"
DUSK = "Dusk"
SHORTCUTS = "Shortcuts"
CONTENTS = "Contents"
FOOT = (("/", "Visit"), ("/log", "Log"), ("#contents", "Contents"))

# Address, name and what it is for, in the order of the contents.
PAGES = (
    ("/", "Next visit", "what to do, in order"),
    ("/log", "Log", "write down what was seen and done"),
    ("/look", "Look", "what it may be, and the next look"),
    ("/plot", "Plot", "to scale, what stands where"),
    ("/season", "Season", "what is left, week by week"),
    ("/what-if", "What if", "the plan with one thing otherwise"),
    ("/picking", "Picking", "what may be picked, from when"),
    ("/standby", "Standby", "cups on the bench"),
    ("/shelf", "Shelf", "treatments and label limits"),
    ("/take", "Take away", "the visit without signal"),
    ("/paper", "Paper", "sheet, tags, labels, lists to print"),
    ("/record", "Record", "what was done, corrections"),
    ("/account", "Account", "the season, to show others"),
    ("/set-up", "Set up", "place, beds, crops, cups, shelf"),
    ("/phones", "Phones", "who else may use this plot"),
)

MAKING = "A newer sheet is being worked out. What you see is the one before it."
MAKING_FIRST = "Your sheet is being worked out. It comes by itself, in some seconds."
NEW_PLAN = "A new plan is there."
SHOW_IT = "Show it"
LOOK_AGAIN = "Look again"
REFUSED = "No plan could be made"
REFUSED_AUDIT = "The check before showing found a limit broken, so no sheet is shown."
PLAN_BEFORE = "What stands below is the plan before."

TICK_NOTE = "Press a box when the job is done as written. Open it for anything else."
DONE_OTHERWISE = "Done otherwise"
NOT_DONE = "Not done"
DONE_AT = "Done {hour}."
LEFT_AT = "Left, {hour}."
OTHERWISE_AT = "Done otherwise, {hour}."
SOMETHING_ELSE = "It was something else"
UNDO = "Undo"
ALL_PICKING = "All picking"
DONE_THIS_DAY = "Written down this day"
NOTHING_YET = "Nothing yet."

LOG = "Log"
LOG_LEAD = "What did you do or see?"
AS_LAST = "As last time"
LAST = "Last: {said}"
LOGGED = "Logged"
WHEN = "When"
LEAF_CLASSES = ("none", "few: up to 5", "many: up to 30", "heavy: more")
ROOT_CLASSES = ("few: the ball falls apart", "filling: the ball holds", "coiled: they circle")
CAME_UP = "Cups with a plant. Write it again when more come."
ALL_CUPS = "Empty: all of them."
ON_EACH = "On each, about"
LOOKED_AT = "How many looked at"
OR_PLANTS = "Leaves, or flowers tapped; plants for caterpillars, beetles, bugs and borers."
WITH_ANY, COUNT_EACH = "Or how many with any", "Or count each"
STAGE_HINT = "Eggs, scales (no crawlers), adult. May stay empty."
IN_FLOWERS = "Flowers: thrips tapped out of them; the number is then of flowers."
CLASS_WILL_DO = "A class will do."
COUNTS_OUTRANK = (
    "One blank a leaf or plant; leave the rest empty. Where you count, counts are kept."
)
WHEN_NOTE = "Empty: now. Else day and hour by the plot's clock."
LOG_IT = "Log it"
MEND = "Not logged yet"
FOR_TASK = "For task: {says}"

PHOTO_OF = "Photo kept with entry {serial}"
PHOTO = "Photo"
PHOTO_HINT = "Its place and all else the camera wrote into it are removed. May be left out."
PHOTO_CARRIED = "Made smaller here, its place removed, and handed over with the entry."
PHOTO_LATER = "This browser has no room for photos: attach them at home, under Log."
PHOTO_AGAIN = "Choose the photo again: a page that comes back cannot keep it."
RECORD = "Record"
RECORD_LEAD = (
    "Everything written down, the newest first. Nothing is ever erased: a correction adds a line."
)
CORRECTED = "put right by entry {serial}"
WITHDRAWN = "taken back by entry {serial}"
ENTRY = "entry {serial}"
AT_ODDS = "Two entries do not agree"
AT_ODDS_WHY = (
    "Here {why}. Both count until one is taken back: undo the one that is wrong, or leave both if "
    "both are right."
)
TICKED_ALREADY = "this job is ticked already"
TICKED_ALREADY_REMEDY = (
    "Nothing was written. If this one is right, undo the other under Record and try again; if not, "
    "take this one back."
)
OLDER = "Older"
NEWER = "Newer"

PICKING_LEAD = "Hatched: not yet."
PICK_NOW = "now"
PICK_NOT_BEFORE = "not before {when}"
PICK_UNKNOWN = "not known when"
OPEN_ALL_WEEK = "{name}: open all week"
BARRED_UNTIL = "{name}: barred until {when}"
BARRED_UNKNOWN = "{name}: barred, not known until when"
WHY = "Why?"

STANDBY_LEAD = "Young plants on the bench, and what to sow at home by when."
NO_LOTS = "No cups stand on the bench, and nothing needs sowing now."

PLOT = "The plot"
PLOT_STATE = "State on {when}."
PLOT_NORTH = "{size}, north at the top."
SIZE = "{east} by {north} {unit}"
METRES, FEET, METRES_SHORT, FEET_SHORT = "metres", "feet", "m", "ft"
NORTH = "N"
PLOT_TITLE = "The plot to scale, {size}"
PLOT_IN_WORDS = "The tables on this page say in words what stands in each place, and its state."
PLAN_WORDS = {  # in the drawing, where there is little room
    "fight": "fight",
    "let run": "let run",
    "replace": "replace",
    "pull": "take out",
    "barred": "not yet",
    "bare": "bare",
    "neighbour": "next door",
    "open": "",
}
STATE_WORDS = {  # beside the pattern
    "fight": "fight",
    "let run": "let run",
    "replace": "replace",
    "pull": "take out",
    "barred": "not to be picked yet",
    "bare": "bare ground",
    "neighbour": "next door, not yours",
    "open": "nothing decided",
}
MAY_GO = "{name} may go there"
BY_NUMBER = "By number: {names}."
SHARED_BED = "Plantings that share a bed are drawn by the room their plants ask for."
LAID_IN_A_ROW = (
    "Where {names} lie is not written down: drawn in a row by length and width. Say under Set up, "
    "Beds how far each lies from the corner peg, and they stand in their places."
)
LAID_ALONE = (
    "Where {names} lies is not written down: drawn in a row by length and width. Say under Set up, "
    "Beds how far it lies from the corner peg, and it stands in its place."
)
ON_PAPER = "Printed at 100 %, this is 1 to {scale}: the bar is {millimetres} mm long."
NO_PLAN_DRAWN = (
    "No bed is told yet, so there is nothing to draw to scale. Tell each with its length and width "
    "under Set up, Beds."
)
TELL_BEDS = "Tell the beds"
WHERE_HEAD, STANDS_HEAD, STATE_HEAD = "Place", "What stands there", "State"
WHAT_STANDS_WHERE = "What stands where"
PLANTS_OF = "{name}, {plants}"
NOTHING_STANDS = "nothing"
NEXT_DOOR = "next door"
NO_BED = "no bed written down"
NOT_DRAWN = "not on the plan"
NEIGHBOURS = "Not yours: look, never treat."
BARE = "Bare."
UNDECIDED = "Nothing decided yet."
NOT_PICKED_BEFORE = "Not to be picked before {when}."
NOT_PICKED_UNKNOWN = "Not to be picked: not known when it is clear."
ON_THEM = "What is on them"
ON_THEM_NOTE = (
    "Ranges are for today: 8 in 10 lie between. Perhaps: it can live there and nobody found it."
)
LEVEL_OF = "{name}, {level}"
MAY_SPREAD = "May spread to {names}."
STAYS = "Hardly any of it goes elsewhere."
PERHAPS = "Perhaps: {names}."
LOOK_CLOSER = "Look closer"
NOTHING_FOLLOWED = "Nothing that is followed was seen on any planting."

SEASON = "The season"
SEASON_LEAD = "What was, and what is to come if the plan is kept; ranges, because nobody knows."
TODAY = "today"
FIRST_FROST = "first frost"
FROST_ABOUT = "The usual first frost, about {day}."
WHOLE_PLOT = "Whole plot"
EGGS = "eggs"  # the name that a plan gives this stage
POPULATION_TITLE = "{name}, {unit}"
ON_NOTE = "On {names}."
COURSE_NOTE = (
    "Heavy line: the middle. Band: 8 in 10 lie between. Dashed: the middle if nothing is done. "
    "Solid upright: treated. Hatched upright: planned."
)
HATCH_NOTE = "Dotted: by then, {day} to {last}, the eggs of today have hatched."
STRIP_SAYS = (
    "{name}: about {now} now, about {then} on {day} as planned, {without} if nothing is done."
)
TREATED = "{names}: {what}"
DONE_ON = "{day}, done: {says}"
PLANNED_ON = "{day}, planned: {says}"
HARVEST_TITLE = "Harvest by week, {unit}"
HARVEST_NOTE = (
    "Solid: what you picked. Boxes: 8 in 10 lie between, the heavy line is the middle. "
    "Dashed: the middle if nothing is done. This week counts from today."
)
PIECES_NOTE = "Pickings counted in pieces, not weighed, are not drawn."
HARVEST_SAYS = "Most in the week of {best}: {much}. The last in the week of {last}: {little}."
NO_HARVEST = "Nothing more is expected."
DAYS_TITLE = "The days"
DAYS_NOTE = (
    "Hatched: not to be picked yet. Solid upright: treated. Open upright: treatment planned; it "
    "bars picking again as long as its label says. Ring: looked at. Solid bar: cups ready. "
    "Pointer: the last day on which it still pays."
)
WITH = "treated with {what}"
LOOKED_FOR = "looked for {what}"
PLANNED_STEP = "planned: {says}"
DECIDE_BY_THEN = "last day on which replacing or filling pays"
SOW_BY_THEN = "last day to sow"
CUPS_READY = "cups ready"
TO_SOW = "To sow: {crop}"
IN_CUPS = "{name}, in cups"
DECIDE_SAYS = "{name}: decide by {day}"
NOTHING_BARRED = "Nothing is barred from picking, and nothing must be decided by a day."
NUMBERS_BEHIND = "The numbers behind this picture"
NUMBER_HEADS = ("when", "low", "middle", "high", "nothing done")
FROM_TO = "{first} to {last}"
DAY_HEADS = ("where", "what", "when")
WEEKLY_NOTE = "Every seventh day; the file has each day."
SAVE_PICTURE = "Picture as a file"
SAVE_NUMBERS = "Numbers as a file"
NO_SEASON = "There is no plan yet to draw."

LOOK = "Look"
LOOK_LEAD = "Something is wrong, and you do not know what? Say where, and what you see."
LOOKS_OF_VISIT = "Looks of the coming visit"
LOG_THE_COUNT = "Log the count"
NO_LOOKS = "The plan asks for no look at the coming visit."
SAY_IT = "Say what you see"
WHERE_LOOK = "Where"
WHAT_YOU_SAW = "What you saw, in your words"
WHAT_YOU_SAW_HINT = "As in: white powder, sticky leaves. One thing at a time."
WEIGH_IT = "Weigh it"
ANSWERED = "What you answered"
MOST_TELLING = "What to look at, the most telling first"
ANY_ANSWER = "Not looked is an answer too, and never counts as not there."
SIGN_SEEN, SIGN_NOT, SIGN_OPEN = "Seen", "Not there", "Not looked"
MINUTES_EACH = "{minutes} min"
NOT_TAKEN_IN = "This was not taken in"
FIRST_RULE_OUT = "First rule out {name}: spraying would be a mistake."
BEHIND_IT = "May be behind it"
TWO_AT_ONCE = "Two can be at once."
IN_A_HUNDRED = "about {chance} in 100"
NONE_OF_THESE = "something that is not listed"
UNTOLD = "something else that is listed, each unlikely or no likelier for what was seen"
NEXT_LOOK = "Next look, {minutes} min:"
NO_FURTHER_LOOK = "No further look would change what to do."
CLINIC = "A look at the plot does not settle this: take a sample to a plant clinic."
CLINIC_LAST = "If that does not settle it, no look will: then take a sample to a plant clinic."
HOLD_BACK = "Do nothing yet: too little is known to treat."
THEN_COUNT = "Then: {how}."
LOG_SPOTS = "Log how much of the leaf"
COUNTED_HERE = "Counted here on {day}."
NO_CAUSE_MAKES = "No cause listed for this crop and region makes: {sign}"
THEN_PLAN = "The plan weighs a course from what was counted, within your labels."
FROM_RECORD = "What your record adds"
NEVER_CERTAIN = "Chances are the compilers' judgement, fitted to no data; nothing here is certain."
LOOK_WRITES_NOTHING = "Nothing on this page is written down. What you count is written on Log."

SHELF = "The shelf"
SHELF_LEAD = "What you have, and the limits you copied from its own label."
SHELF_ASKED = "Asked for {when}, by label, garden and your record."
SHELF_EMPTY = (
    "Nothing is written down as on the shelf. Everything that needs no product is planned all the "
    "same. A pack you have is copied under Set up, line by line, with the label in hand."
)
AT_A_GLANCE = "At a glance"
ON_THE_SHELF, NOTHING_BARS, BARRED_ON = "On the shelf", "Nothing bars it on", "Barred on"
NOWHERE = "none"
HOURS_ASKED_LATER = (
    "Of what stands here and is on its label. Not barred is not yet permitted: heat, rain, wind, "
    "wet leaves and the hour are asked for each visit, on its sheet."
)
NEVER_BUY = "This list never tells you to buy anything."
ACTIVE = "Active: {active}."
GROUP = "Group {group}."
LITRES_LEFT = "About {much} of mix left in it."
ON_LABEL = "On its label, as you copied it: {crops}."
NEXT_WOULD_BE = "Next: {says}"
NOT_ON_LABEL = "Not on its label, so never: {names}."
NO_CROPS = "No crop of its label was copied, so it may go on none."
INVENTED = "Invented, with all its limits, for the demonstration."
LINES_MISSING = "{count} lines not copied: nothing is allowed where such a line is needed."
NOT_BARRED, IS_BARRED = "Not barred", "No"
OPENS = "Ask again {when}."
INSTEAD = "Instead:"
LINE_BY_LINE = "The label, line by line"
LABEL_SAYS = "“{words}”"
SHELF_CAUTIONS = (
    "Never mix two things from this shelf in one sprayer.",
    "Keep each in its own pack, with its own label, locked away from children.",
)
PICKING_BARS = "Picking barred by treatments"
NO_PICKING_BARS = "Nothing that was used bars picking now."
PLANTING, PICK_FROM, BECAUSE = "Planting", "Pick from", "Because"

NOT_FOUND = "There is no such page"
NOT_FOUND_REMEDY = "Go on from the contents below."
WRONG = "This did not work"

TAKE_AWAY = "The visit, to take away"
PICTURES = "Plot and season in pictures"
NEEDS_SCRIPT = "Entries are kept by a script, and this browser runs none. Read, and write on paper."
NOT_KEPT = "This browser keeps nothing after closing. Hand your entries over before that."
SHOW = "Show"
WAITING_ENTRIES = "Entries on this phone"
ENTRIES_SHORT = "Entries"
WAITING_NOTE = (
    "They stay here through closing and reloading, until home says that it has them. "
    "Handing over twice writes nothing twice."
)
SEND_HOME = "Send home"
SAVE_FILE = "Save as a file"
COPY_TEXT = "Copy as text"
COPY_HERE = "The entries as text"
CLEAR_HANDED = "Clear what home has"
LABELS_ON_HAND = "Label limits, as you copied them"
FIRST_AID = "First aid, as the label says:"
YOU = "You"
# Common practice, from memory; no source was read.
HEAT_FOR_YOU = (
    "Drink before you are thirsty, wear a hat, work in the shade of the evening. Dizzy, sick, or "
    "cold in the heat: stop, go into the shade, drink, cool neck and arms, tell somebody. "
    "Confused, or not better within half an hour: ring the emergency number."
)
POISON = "Something got into eyes or mouth: do what the label says, keep the pack at hand, and ring"
POISON_NUMBER = "{number}. You wrote this number down; nobody has checked it."
NO_POISON_NUMBER = (
    "for help. No poison number is written down: look up your own country's, and write it down "
    "under Set up, The garden's rules (poison_number in plot.toml)."
)
FIRST_AID_OF = "First aid by the label of {name}: {says}"
NO_FIRST_AID = (
    "First aid by the label of {name}: not copied. Read it on the pack before you open it."
)

LABEL_NONE = "label gives none, I looked"
LABEL_NOT_COPIED = "not copied"
LABEL_FOR_CROP = "{line}, {crop}"

TAKEN = "{count} taken in."
KNOWN_ALREADY = "{count} known already."
NOT_TAKEN = "{count} could not be taken in:"
CLOCK_BEHIND = "The phone's clock was {much} slow; its hours were set forward by that."
ANOTHER_PLOT = "these entries are of another plot"
ANOTHER_PLOT_REMEDY = "Hand them over where that plot is served, or with --plot."
CLOCK_AHEAD = "The phone's clock was {much} ahead; its hours were set back by that."
DAYS, HOURS, MINUTES = ("day", "days"), ("hour", "hours"), ("minute", "minutes")

TAKE = "Take away"
TAKE_LEAD = "The coming visit as one page, for a plot without signal."
TAKE_OPEN = "Open the page"
TAKE_SAVE = "Save it as a file"
TAKE_HOW = (
    "Open it on the phone before you leave, and leave it open. It keeps what you enter, also "
    "through closing and reloading, and needs no signal."
)
TAKE_BACK = "Back home"
TAKE_BACK_NOTE = (
    "Opened from here, the page sends its entries by itself. Opened as a file, press Send home on "
    "it. Else paste what it copied, or choose the file that it saved. Handing over twice writes "
    "nothing twice."
)
PASTE_HERE = "Paste the entries"
OR_FILE = "Or the file that the page saved"
NOTHING_HANDED = "nothing was handed over"
NOTHING_HANDED_REMEDY = "Paste what the page copied, or choose the file that it saved."
TAKE_THEM_IN = "Take them in"

WHAT_IF = "What if"
WHAT_IF_LEAD = (
    "Suppose one thing, or several. The coming visits are planned both ways on the same weather; "
    "nothing of it is written down, and it takes as long as two plans."
)
WHAT_IF_FIELDS = (
    ("days", "Visits on these weekdays only", "sat, or tue,sat", "text"),
    ("minutes", "Minutes of work at a visit", "", "number"),
    ("cans", "Cans of water at a visit", "", "number"),
    ("frost", "First frost so many days later", "-7 is a week earlier", "number"),
    ("away_from", "Away from", "", "date"),
    ("away_to", "to", "", "date"),
)
WHAT_IF_NO_PRODUCTS = "Nothing from a pack"
WHAT_IF_ASK = "Plan it both ways"
WHAT_IF_WAITS = "It is still being worked out. Load this page again in a moment."

NAME_MADE_UP = "As you will call it. Empty: its crop and the day."
NAME_OF_SOWN = "Of the lot, or of the new planting. Empty: its crop and the day."
