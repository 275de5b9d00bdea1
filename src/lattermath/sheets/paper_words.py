"""The words of the page from which paper is printed, in one place, ready to be translated."""

from __future__ import annotations

from lattermath.sheets import handout_words as h
from lattermath.sheets import picture_words as v

PAPER = "Paper"
LEAD = "Made from the plan as it stands. Print at 100 %."
FOR_THE_VISIT = "For the visit"
TO_HANG = "To hang up or hand out"
TO_SHOW = "To show others"
ELSEWHERE = "For elsewhere"
# Address, name, what it is for.
VISIT = (
    (
        "/paper/sheet.pdf",
        "The sheet",
        "one leaf, front and back, to fill in with a pencil",
    ),
    ("/paper/picking.pdf", "Picking list", "what may be picked and what not, and how to rinse it"),
)
HANG = (
    ("/paper/tags.pdf", "Bed tags", "do not pick or enter until, for family and neighbours"),
    ("/paper/labels.pdf", "Bench labels", "one for each lot in cups"),
    ("/paper/helper.pdf", "Helper's card", "cans, picking and bars; never a treatment"),
)
SHOW = (
    ("/paper/plot.pdf", "The plot", "drawn to scale"),
    ("/paper/season.pdf", "The season", "its pictures, with the figures behind them"),
    ("/account.pdf", "The account", "what was seen and done, and why"),
    ("/record.pdf", "The record", "entry by entry"),
)
CARRY = (
    ("/visits.ics", "Visits and limits", "a file that calendars take in"),
    ("/whole-record.zip", "The whole record", "in open forms, with photos; keep a copy"),
)
TYPING = "What was ticked and filled in with a pencil is typed in on the page it was printed from:"
NO_PLAN = "There is no plan yet. Come back when it is worked out."
NOTHING = {
    **h.NOTHING,
    "sheet": NO_PLAN,
    "plot": v.NO_CHARTS,
    "season": v.NO_CHARTS,
}
