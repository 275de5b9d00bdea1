"""Every word of the account and the printed record, in one place, ready to be translated."""

from __future__ import annotations

ACCOUNT = "An account of the season"
ACCOUNT_LEAD = "{plot}, {first} to {last}. What was seen and done, when, with what, and why."
RECORD = "The record of the season"
RECORD_LEAD = "{plot}, {first} to {last}. Every entry in the order of its hour; nothing is erased."

GLANCE = "In short"
TREATED_NEVER = "No product was used."
TREATED = "Products were used {times} on {days}."
ALL_KEPT = "Of the label lines that the record can show, every one was kept."
NOT_KEPT = "Not kept:"
FAILED = "Found not to work:"
NONE_FAILED = "No count of insects after a treatment was as high as the one before it."
UNCOUNTED = "Nobody counted after these, so nothing is known of them:"
NO_HARVEST = "No picking was written down."
PICKED = "Picked in all: {much}."

HARVEST = "Picked, week by week"
HARVEST_HEADS = ("week from", "in all", "of which")
PIECES = "pieces"
NOTHING = "nothing"

USED = "What was used, and its label"
USED_LEAD = (
    "Limits as the grower copied them from the label. Not in the record, and so not told: heat, "
    "wind, rain, flowers and bees at the hour."
)
USED_HEAD = "{name}, on {crop}"
USED_SAYS = "Active ingredient {active}. Used {times}. {lines}."
USED_UNKNOWN = "Used {times}. No label was written down for it."
INVENTED = "Invented, with all its limits."

WATERED = "Watered on {days}, {much} in all: {when}."
PICKED_HERE = "Picked: {much}."
NOTHING_WRITTEN = "Nothing was written down of it."
STATES = {
    "kept": "Kept",
    "not kept": "Not kept",
    "not known": "To keep",
    "open": "Nothing against it",
}
LIMIT = "{state}: {says}."
WHY = "Why: {says} (plan of {day})"
NOT_ASKED = "The plan of {day} did not ask for it."
PHOTO_OF = "Photo kept with entry {serial}, {when}"

FOOT = (
    "Made from {entries} entries of the grower's own journal. The holder's name, the place, the "
    "household and what was seen on neighbours' plots are left out. The label in hand is the "
    "law, and outranks this paper."
)
STAMP = "Stamp {stamp}: the same stamp, the same account."
PAGE_LEAD = (
    "For a neighbour or a committee: what was seen and done on each planting, why, and whether its "
    "label was kept."
)
AS_PDF, AS_PAGE = "Save as PDF", "Save as a page"
RECORD_AS_PDF = "The whole record as PDF"
WHERE = "lattermath print account"
NO_SHAPE_REMEDY = "Write it in other letters, or write a page that ends in .html."
NO_ENTRY = "nothing was logged by then"
NO_ENTRY_REMEDY = "Log something first, name a later day, or leave --on out."
