"""What disagrees: statement, causes and chances are held apart, and only the back has chances."""

from __future__ import annotations

from dataclasses import replace

from lattermath.sheets.back import back
from lattermath.sheets.front import front
from lattermath.sheets.odds_told import at_odds
from lattermath.vocabulary.at_odds import Disagreement, MayBe
from lattermath.vocabulary.plan import Plan

# A count that itself reads like a chance: no rule on words could tell the two apart.
SAYS = "Aubergines: scales on (9 in 10) leaves, where 1 to 2 were expected."
CAUSES = (MayBe("the spray missed undersides", 0.52), MayBe("a miscount", 0.02))


def test_only_the_back_says_how_likely_each_cause_is(plan: Plan) -> None:
    odd = replace(
        plan.populations[0], disagrees=SAYS, may_be=CAUSES, to_tell="To tell: turn leaves."
    )
    told = replace(plan, populations=(odd,))
    sheet = front(told, "Plot", "metric")
    assert sheet is not None
    causes = "May be the spray missed undersides{}, a miscount{}. To tell: turn leaves."
    assert any(note.says == f"{SAYS} {causes.format('', '')}" for note in sheet.notes)
    lines = [line for block in back(told, "metric") for line in block.says]
    assert f"{SAYS} {causes.format(' (5 in 10)', ' (1 in 10)')}" in " ".join(lines)


def test_no_cause_is_certain(plan: Plan) -> None:
    for chance, words in ((0.94, "(9 in 10)"), (0.951, "(9 in 10 or more)"), (1.0, "or more)")):
        odd = replace(
            plan.populations[0], disagrees=SAYS, may_be=(MayBe("another insect", chance),)
        )
        [back_says], [front_says] = at_odds(odd, chances=True), at_odds(odd, chances=False)
        assert words in back_says
        assert "in 10" not in front_says.removeprefix(SAYS)


def test_every_planting_that_disagrees_is_told_and_the_front_without_chances(plan: Plan) -> None:
    other = Disagreement("Cucumbers: none on 10 leaves, where 9 to 20 were expected.",
                         (MayBe("a miscount", 0.4), MayBe("a storm", 0.3), MayBe("a slip", 0.2)),
                         "To tell: look there again.")  # fmt: skip
    odd = replace(plan.populations[0], disagrees=SAYS, may_be=CAUSES, more_at_odds=(other,))
    told = replace(plan, populations=(odd,))
    sheet = front(told, "Plot", "metric")
    assert sheet is not None
    notes = [note.says for note in sheet.notes]
    short = f"{other.says} May be a miscount, a storm, a slip. {other.to_tell}"
    assert short in notes and any(note.startswith(SAYS) for note in notes[: notes.index(short)])
    lines = " ".join(line for block in back(told, "metric") for line in block.says)
    assert (
        f"{other.says} May be a miscount (4 in 10), a storm (3 in 10), a slip (2 in 10). " in lines
    )


def test_no_line_gives_a_look_for_causes_that_it_does_not_call_possible(plan: Plan) -> None:
    """The second line told what a look would find "if it was a miscount" and named no cause."""
    other = Disagreement("Cucumbers: none on 10 leaves, where 9 to 20 were expected.", CAUSES,
                         "To tell: look again: about 9 if it was a miscount.")  # fmt: skip
    odd = replace(plan.populations[0], disagrees=SAYS, may_be=CAUSES, more_at_odds=(other, other))
    for chances in (True, False):
        for line in at_odds(odd, chances=chances):
            assert line.index("May be") < line.find("To tell") or "To tell" not in line
