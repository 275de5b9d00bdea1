"""`lattermath log`, what was wrong: an entry put right, or taken back."""

from __future__ import annotations

from typing import Annotated

from cyclopts import Parameter

from lattermath.doors.asking import HERE, AsJson, At, PlotFolder
from lattermath.doors.log_entries import corrects, example, log_app, post
from lattermath.vocabulary.errors import Fault, InputError
from lattermath.vocabulary.events import Withdrawal

__all__ = ["log_app"]

# They say what became of a task or of another entry.
TAKEN_BACK = ("done", "withdraw", "correct", "photo")


@log_app.command(help_epilogue=example("withdraw 17 --why 'wrong bed'"))
def withdraw(
    entry: Annotated[str, Parameter(help="Number of the entry.")],
    /,
    *,
    why: str = "",
    at: At = "",
    plot: PlotFolder = HERE,
    as_json: AsJson = False,
) -> int:
    """Take an entry back; it stays in the journal and no longer counts."""
    held = corrects.set(entry)
    try:
        return post(plot, Withdrawal(why), at, as_json)
    finally:
        corrects.reset(held)


@log_app.command(help_epilogue=example("correct 17 count aubergines whitefly 3,0,1"))
def correct(
    entry: Annotated[str, Parameter(help="Number of the entry that was wrong.")],
    /,
    *words: Annotated[
        str, Parameter(allow_leading_hyphen=True, help="The entry as it should have been.")
    ],
) -> int:
    """Put an entry right: say it again as it should have been. It keeps its hour without --at."""
    if words and words[0] in TAKEN_BACK:
        remedy = f"Take it back (log withdraw {entry}), and write down what was done."
        raise InputError(Fault("this puts no entry right", "log correct", words[0], remedy))
    if not words:
        remedy = "Say it again: log correct 17 count beans aphids 3,0."
        raise InputError(
            Fault("the entry as it should have been is missing", "log correct", entry, remedy)
        )
    held = corrects.set(entry)
    try:
        result = log_app(
            list(words), result_action="return_value", exit_on_error=False, print_error=False
        )
    finally:
        corrects.reset(held)
    return int(result or 0)
