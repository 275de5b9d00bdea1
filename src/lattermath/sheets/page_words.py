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
LOG_HERE = "Log it here"
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
ANOTHER = "Log another"
BACK_TO_VISIT = "Back to the visit"
WHEN = "When"
WHEN_NOTE = "Empty: now. Else day and hour by the plot's clock."
LOG_IT = "Log it"
MEND = "Not logged yet"
CHOOSE = "Choose"
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
TAKEN_BACK = "Taken back"

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
