"""Every word of the calendar file's own, in one place, ready to be translated."""

from __future__ import annotations

PRODUCT = "-//Lattermath//visit plan//EN"  # who wrote the file, as RFC 5545 asks
VISIT = "Visit {plot}: {count} tasks, about {minutes}"
VISIT_ONE = "Visit {plot}: 1 task, about {minutes}"
VISIT_NONE = "Visit {plot}"
NOT_PICKED = "Do not pick {name} until {when}"
NOT_PICKED_UNKNOWN = "Do not pick {name}: not known until when"
KEEP_OUT = "Keep out: {name} until {when}"
KEEP_OUT_UNKNOWN = "Keep out: {name}, not known until when"
CALLED_OFF = "Called off: {says}"
SEQUENCE_OF_WORK = "{number} {says} ({minutes} min)"
CAUTION = "   Caution: {says}"
NOT = "NOT {name}: {says}"
BAG = "In the bag: {things}."
AS_OF = "As planned on {when}. Ask again before you go: what is seen and done until then counts."
TREATED = "{when}: {what}."
BARS = "Why: {says}."
LABEL = "The label in your hand is the law, and outranks this entry."
WITHDRAWN = "No longer so by the record of {when}."
NO_ICALENDAR = "the calendar file needs the calendar extra"
NO_ICALENDAR_REMEDY = "Install it with: pip install 'lattermath[calendar]'"
WHERE = "lattermath calendar"
NOTHING = "No visit is planned and nothing is closed: there is nothing to put in a calendar."
WRITTEN = "Written: {file}. {visits} and {limits}; taking it in again moves what has changed."

# A calendar that reads by itself
FEED = "A calendar that keeps itself up to date"
FEED_LEAD = (
    "An address of its own for a calendar program: it reads the coming visits, and until when what "
    "is closed, and asks again by itself. It reads nothing else and writes nothing."
)
FEED_NAME, FEED_NAME_HINT = "Which calendar", "So that you know it when you take it away."
FEED_MAKE = "Make an address"
FEED_MADE = (
    "Put this address into the calendar program, where it subscribes to a calendar. It is told "
    "this once; whoever has it can read your visits."
)
FEED_ADDRESS = "Its address"
FEED_OPEN = "Open it in this device's calendar"
FEED_HOME = (
    "The program must reach this machine: at home, while `lattermath serve --lan` runs. Away from "
    "home it shows what it read last."
)
FEEDS = "Calendars that read along"
FEED_LINE = "made {made}, last read {seen}"
FEED_REVOKE = "Take it away"
FEED_REVOKED = "Taken away: {name}. Its address answers no more."
NO_FEED = "There is no such calendar, or not any more. Make a new address on the page Paper."
NO_PLAN_YET = "The first plan is being worked out. Ask again in two minutes."
