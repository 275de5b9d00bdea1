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
    ("/picking", "Picking", "what may be picked, from when"),
    ("/standby", "Standby", "cups on the bench"),
    ("/take", "Take away", "the visit without signal"),
    ("/record", "Record", "what was done, corrections"),
)

MAKING = "The plan is being worked out. What you see is the one before."
MAKING_FIRST = "The plan is being worked out. This takes a few seconds the first time."
NEW_PLAN = "A new plan is there."
SHOW_IT = "Show it"
REFUSED = "No plan could be made"
REFUSED_AUDIT = "The check before showing found a limit broken, so no sheet is shown."
PLAN_BEFORE = "What stands below is the plan before."

TICK_NOTE = "Press a box when the job is done as written. Open it for anything else."
DONE_OTHERWISE = "Done otherwise"
NOT_DONE = "Not done"
DONE_AT = "Done {hour}."
LEFT_AT = "Left, {hour}."
UNDO = "Undo"
ALL_PICKING = "All picking"
DONE_THIS_DAY = "Written down this day"
NOTHING_YET = "Nothing yet."

LOG = "Log"
LOG_LEAD = "What did you do or see?"
LAST = "Last: {said}"
LOGGED = "Logged"
WHEN = "When"
WHEN_NOTE = "Empty: now. Else day and hour by the plot's clock."
LOG_IT = "Log it"
MEND = "Not logged yet"
FOR_TASK = "For task: {says}"

RECORD = "Record"
RECORD_LEAD = (
    "Everything written down, the newest first. Nothing is ever erased: a correction adds a line."
)
CORRECTED = "put right by entry {serial}"
WITHDRAWN = "taken back by entry {serial}"
ENTRY = "entry {serial}"
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

NOT_FOUND = "There is no such page"
NOT_FOUND_REMEDY = "Go on from the contents below."
WRONG = "This did not work"

TAKE_AWAY = "The visit, to take away"
NEEDS_SCRIPT = "Entries are kept by a script, and this browser runs none. Read, and write on paper."
NOT_KEPT = "This browser keeps nothing after closing. Hand your entries over before that."
SHOW = "Show"
WAITING_ENTRIES = "Entries on this phone"
ENTRIES_SHORT = "Entries"
WAITING_NOTE = (
    "They stay here through closing and reloading, until you hand them over and clear them. "
    "Handing over twice writes nothing twice."
)
SEND_HOME = "Send home"
SAVE_FILE = "Save as a file"
COPY_TEXT = "Copy as text"
COPY_HERE = "The entries as text"
CLEAR_HANDED = "Clear what was handed over"
LABELS_ON_HAND = "Label limits, as you copied them"
FIRST_AID = "First aid, as the label says:"
YOU = "You"
HEAT_FOR_YOU = (
    "Drink before you are thirsty, work in the shade of the evening, and stop when you feel dizzy "
    "or cold in the heat."
)
POISON = "If something got into eyes or mouth: rinse, keep the pack at hand, and ring for help."

# Lines of a label, as the shelf lists them.
LABEL_LINES = {
    "pre_harvest_days": "days before picking",
    "retreat_days": "days between treatments",
    "season_max": "most treatments",
    "rate_ml_per_l": "ml or g in each litre",
    "max_l_per_m2": "most litres on a square metre",
    "plant_back_days": "days before another crop",
    "re_entry_hours": "hours to stay out",
    "max_temperature_c": "not above, in °C",
    "rain_free_hours": "hours without rain",
    "max_wind_m_s": "most wind, in m/s",
    "bloom": "in flower",
    "sulfur_oil_gap_days": "days between sulfur and oil",
    "consecutive_max": "most in a row before another mode of action",
}
LABEL_NONE = "label gives none, I looked"
LABEL_NOT_COPIED = "not copied"
LABEL_FOR_CROP = "{line}, {crop}"

TAKEN = "{count} taken in."
KNOWN_ALREADY = "{count} known already."
NOT_TAKEN = "{count} could not be taken in:"
CLOCK_AHEAD = "The phone's clock was {minutes} minutes ahead; its hours were set back by that."

TAKE = "Take away"
TAKE_LEAD = "The coming visit as one page, for a plot without signal."
TAKE_OPEN = "Open the page"
TAKE_SAVE = "Save it as a file"
TAKE_HOW = (
    "Open it on the phone before you leave, and leave it open. It keeps what you enter, also "
    "through closing and reloading, and needs no signal."
)
TAKE_BACK = "Back home"
TAKE_BACK_NOTE = "The page sends its entries here by itself, or you paste what it copied."
PASTE_HERE = "Paste the entries"
TAKE_THEM_IN = "Take them in"
