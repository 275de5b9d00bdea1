"""Every word of the pages that are given away or hung up, in one place, ready to be translated.

The cautions for eating and for helpers are common practice; the bitterness of cucumbers and
squashes is a sign of cucurbitacins, which make ill (memory, no source read).
"""

from __future__ import annotations

# ---------- shared ----------
AS_OF = "As of {when}."
LABEL_IS_LAW = "The label in your hand is the law, and outranks this paper."
RINSE = "Rinse everything under running water before it is eaten or stored."
SOILED = "Leave what animals have soiled, and what lies beside it."
BITTER = "A bitter cucumber, courgette, squash or melon: spit it out and throw it away."
UNSURE = "Not sure? Leave it on the plant and ask."
NOT_BEFORE = "not before {when}"
NOT_KNOWN = "nobody knows until when"
NOT_PICKED = "Do not pick: {opens}."
CUT = "Cut along the lines. Write in pencil; keep dry."

# ---------- bench labels ----------
LABELS = "Bench labels"
LABELS_LEAD = "One for each lot in cups. {as_of}"
COUNT = "{plants} {named}{variety}"
VARIETY = ", {variety}"
SOWN = "Sown"
IN_CUPS = "{day}, cups of {cup}"
READY = "Ready"
READY_SPAN = "{first} to {last}"
READY_FROM = "from {first}"
READY_ABOUT = "about {day}"
READY_NOT = "not this season"
CARE = "Care"
TO_SOW = "To sow by {day}"
TO_SOW_COUNT = "{sow} cups of {named}"
SOWN_BLANK = "Sown on"
VARIETY_BLANK = "Variety"
UP_BLANK = "Came up"
SET_OUT_BLANK = "Set out on"

# ---------- bed tags ----------
TAGS = "Bed tags"
TAGS_LEAD = "Hang each by its planting, in a clear bag. {as_of}"
DO_NOT_PICK = "Do not pick"
KEEP_OUT = "Keep out"
UNTIL = "until {when}"
UNTIL_UNKNOWN = "until the holder says so: nobody knows yet"
TREATED = "Treated"
TO_TREAT = "To be treated"
TREATED_WITH = "{when}, {what}"
TREATED_BY = "by {when}, {what}"
WHOM = "This holds for everybody, and for children and animals. Take the tag down after that hour."
WHOM_BOTH = (
    "This holds for everybody, and for children and animals. Take the tag down after the later."
)
WHOM_UNKNOWN = (
    "This holds for everybody, and for children and animals. Only the holder takes the tag down."
)
ONLY_PICKING = "You may walk and water here."
IF_TREATED = (
    "Hang this once it is treated, and only then. Done later than {hour}: add as much to each hour."
)
DONE_BLANK = "Done at"

# ---------- the helper's card ----------
HELPER = "For whoever helps at {plot}"
HELPER_DAY = "For {day}. {as_of} After that day, ask for a new card."
HELPER_AWAY = "For {day}, and {spans} while I am away. {as_of}"
AWAY_SPAN = " to "  # between its first day and its last
WATER = "Water"
PICK = "You may pick"
DO_NOT = "Do not pick"
STAY_OUT = "Keep out of"
ASK_FIRST = "What does not stand here: ask first."
NOTHING_TO_WATER = "Nothing needs water."
NOTHING_TO_PICK = "Nothing should be ready."
TAG_RULES = "Where a tag hangs, the tag rules, whatever stands here."
IF_TAGGED = "not before {when}, if a tag hangs there by then"
IF_TAGGED_UNKNOWN = "not at all, if a tag hangs there by then"
NEVER = "Never"
NO_TREATMENT = (
    "Treat nothing. No spray, dust, bait or granules, also no home-made one. Touch nothing on the "
    "shelf and no sprayer."
)
EATING = "Before it is eaten"
HEAT = (
    "In heat go early or late, with a hat and something to drink. Dizzy or sick: stop, go into the "
    "shade, drink, call somebody."
)
YOU = "For yourself"
WHILE_AWAY = "While I am away"
WHILE_AWAY_THEN = "While I am away {span}"  # of one absence among several
AWAY_DAYS = "I cannot come on {days}. Whoever comes then helps most with water."
AWAY_CANS = (
    "Cans as the ground should be by then; one holds {can}. After a good rain less, in great heat "
    "more."
)
AWAY_NO_WATER = "no bed should need water; look whether leaves hang"
AWAY_PICK = "{away} you may pick"
AWAY_NOT = "{away} do not pick"
MAY_PICK = "what is ready"
AFTER_TREATING = (
    "it is to be treated on {day}; after that only as its tag says, and without a tag not at all"
)
AWAY_WATER = (
    "Water at the foot what hangs its leaves in the morning, young plants first, and cups every "
    "day. Pick only what this card lets you pick."
)
AWAY_TAGS = "Where a tag hangs by then, or you are not sure, pick nothing."
SEEN_BLANK = "What I saw"
REACH_BLANK = "Reach me at"

# ---------- the picking list ----------
PICKING = "Picking list"
PICKING_DAY = "{plot}, {day}. {as_of}"
CLEAR_TO_PICK = "Pick, clean beds first"
PICKED_BLANK = "Picked"

# ---------- the command ----------
WHERE = "lattermath print"
ENDING = "this is no kind of file that can be printed"
ENDING_REMEDY = "Name a file that ends in .pdf or .html."
NO_SHAPE_REMEDY = "Write it in other letters, or write a page that ends in .html."
NOTHING = {
    "labels": "There is no lot in cups and nothing to sow: no label is needed.",
    "tags": "No treatment closes a planting, now or at the next visit: no tag is needed.",
    "helper": "No visit is planned: there is no card to write.",
    "picking": "No visit is planned: there is no list to write.",
}
WRITTEN = "Written: {file}. Print it at 100 %."
