"""The command `lattermath`: parse, call the desk, answer. Heavy parts load inside commands."""

from __future__ import annotations

import gc
import io
import os
import sys
from collections.abc import Sequence

from cyclopts import App, CycloptsError

from lattermath import __version__
from lattermath.doors import (
    answering,
    calendar,
    keeping,
    look,
    phones,
    planning_ahead,
    printing,
    recompute,
    season_pictures,
    serving,
    supposing,
    taking,
    trial,
)
from lattermath.doors.log_work import log_app
from lattermath.doors.misspoken import misspoken
from lattermath.vocabulary.errors import Fault, InputError, LattermathError

# Allocations between two sweeps for rings of garbage; one command makes few, and Python's own 700
# costs a plan a tenth of its time (measured).
FEW_SWEEPS = 100_000

app = App(
    name="lattermath",
    help="Keep a vegetable plot bearing through the second half of the season.",
    help_epilogue="Example: lattermath demo",
    version=__version__,
    help_format="plaintext",
    suppress_keyboard_interrupt=False,
)
app.command(log_app)
for _commands in (
    planning_ahead.COMMANDS,
    supposing.COMMANDS,
    look.COMMANDS,
    keeping.COMMANDS,
    season_pictures.COMMANDS,
    recompute.COMMANDS,
    serving.COMMANDS,
    phones.COMMANDS,
    taking.COMMANDS,
    calendar.COMMANDS,
    printing.COMMANDS,
    trial.COMMANDS,
):
    for _function, _name, _example in _commands:
        app.command(_function, name=_name, help_epilogue=f"Example: {_example}")


def main(words: Sequence[str] | None = None) -> None:
    """Run one command and leave with its exit status.

    0 done; 1 nothing to do, or problems found; 2 wrong input; 3 the audit withheld the plan;
    130 interrupted.
    """
    gc.set_threshold(FEW_SWEEPS)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):  # a console that knows no UTF-8 must not stop us
            stream.reconfigure(encoding="utf-8", errors="replace")
    status = run(list(sys.argv[1:] if words is None else words))
    try:
        sys.stdout.flush()
    except BrokenPipeError:
        _reader_left()
    sys.exit(status)


def run(words: list[str]) -> int:
    """Run one command and give its exit status; every refusal has one shape on standard error."""
    as_json = "--json" in words or words[:1] == ["compute"]
    try:
        result = app(words, exit_on_error=False, print_error=False, result_action="return_value")
    except CycloptsError as error:
        return answering.refuse(misspoken(error, words), as_json)
    except LattermathError as error:
        return answering.refuse(error, as_json)
    except BrokenPipeError:
        _reader_left()
        return answering.DONE
    except OSError as error:
        return answering.refuse(_no_file(error), as_json)
    except KeyboardInterrupt:
        sys.stderr.write(answering.INTERRUPTED_WORDS + "\n")
        return answering.INTERRUPTED
    return result if isinstance(result, int) else answering.DONE


def _reader_left() -> None:
    """Whoever read the answer stopped reading, as `head` does: say nothing more."""
    sys.stdout = open(os.devnull, "w", encoding="utf-8")  # noqa: SIM115, PTH123  # open to the end


def _no_file(error: OSError) -> InputError:
    """A file or folder that cannot be used, as a fault like any other."""
    what = (error.strerror or str(error)).lower()
    remedy = "Check its name, and that it may be read and written."
    return InputError(Fault(what, "file", str(error.filename or ""), remedy))
