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
TYPING = "What was ticked and filled in with a pencil:"
NO_PLAN = "There is no plan yet. Come back when it is worked out."
NOTHING = {
    **h.NOTHING,
    "sheet": NO_PLAN,
    "plot": v.NO_CHARTS,
    "season": v.NO_CHARTS,
}

# The page that mirrors a printed sheet.
TYPE_UP = "Type up a sheet"
TYPE_UP_LEAD = "Which one? Its mark stands at its head."
TYPE_UP_OTHER = "Mark of another sheet"
TYPE_UP_OPEN = "Open it"
TYPE_UP_NONE = "No sheet of the last two weeks is kept."
SHEET = "Sheet {mark}"
SHEET_OF = "{day}, worked out {when}, {tasks}"
MIRROR_LEAD = "Line by line as on the paper. Leave empty what was left empty."
ARRIVED = "You came at"
BOX = "The box of {number}"
BOXES = (("as-written", "done"), ("otherwise", "otherwise"), ("not-done", "not done"))
NOTHING_SAID = "nothing"
COVERAGE_HINT = "all, most, half or some"
START_HINT = "19:40"
WRITE_IT_DOWN = "Write it all down"
WRITTEN_COUNT = "{count} lines written down."
STILL_OPEN = "Not yet written: mend what stands beside it and press again. Nothing is doubled."
WRITTEN_ALREADY = "Written down already: {says}"
SAY_OTHERWISE = "Say what was done"
ALSO_SEEN_HINT = "Kept as a note. Insects or spots are better logged by themselves."
IN_BED = "{crop} in {bed}"
COUNTED_BY_HAND = ("leaves taken off", "found")  # blanks whose figure is kept as a note
# Judgement: what is meant by these, as the form of a treatment says it.
COVERAGE_WORDS = {"all": 0.9, "nearly all": 0.9, "most": 0.7, "half": 0.5, "some": 0.4}
NO_HOUR, NO_HOUR_REMEDY = "this is no hour", "Write it as 19:40."
NO_NUMBER, NO_NUMBER_REMEDY = "this is no whole number", "Write it as 12."
NOT_DONE_AND_FILLED = "the box says not done, and something stands in the blanks"
NOT_DONE_REMEDY = "Choose done or otherwise, or empty the blanks."
TICK_SAYS_LITTLE = "a tick does not say enough"
PICKED_REMEDY = "Write the weight, 1.2 or 800g, or 14 pieces; where nothing was ripe, not done."
LOOKED_REMEDY = "Write what was counted: one a leaf, 3,0,5, or the sum; 0 where none was seen."
SOWN_REMEDY = "Write how many seeds."
PULLED_REMEDY = "Write how many plants."
OLDER_SHEET = "this sheet was made before sheets told what goes where"
OLDER_REMEDY = "Log it by itself: Set out or Sown."
