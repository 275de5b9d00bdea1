"""How the command line answers: words or JSON, one error shape, exit statuses, progress."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from typing import Any, Literal

from lattermath.vocabulary.errors import Fault, LattermathError

DONE = 0
NOTHING = 1  # nothing to do, or problems found
WRONG_INPUT = 2
WITHHELD = 3  # the audit let no plan out
INTERRUPTED = 130

INTERRUPTED_WORDS = (
    "Interrupted. Nothing is half-written: the journal holds all that was acknowledged."
)

Progress = Callable[[str, float], None]  # what is being done, and the share of it done, 0 to 1


def say(lines: str | Iterable[str]) -> None:
    """Write lines on standard output."""
    text = lines if isinstance(lines, str) else "\n".join(lines)
    if text:
        sys.stdout.write(text if text.endswith("\n") else f"{text}\n")


def say_aside(line: str) -> None:
    """Write a line on standard error, where it spoils no answer."""
    sys.stderr.write(f"{line}\n")


def say_data(value: Any) -> None:
    """Write a record, or records, as JSON on standard output."""
    from lattermath.sheets.schema import as_data

    say(json.dumps(as_data(value), indent=2, ensure_ascii=False, allow_nan=False))


def answer(
    lines: Iterable[str], value: Any, as_json: bool, units: Literal["metric", "us"] = "metric"
) -> None:
    """Write the value as JSON where that was asked for, else the lines in the reader's units."""
    if as_json:
        say_data(value)
        return
    from lattermath.sheets.figures import said_in

    say(said_in(line, units) for line in lines)


def error_data(faults: Iterable[Fault]) -> dict[str, Any]:
    """The one error shape as data: the first fault's four fields, and the others below them."""
    first, *others = [_fault_data(fault) for fault in faults]
    return {**first, "others": others} if others else dict(first)


def _fault_data(fault: Fault) -> dict[str, str]:
    return {
        "what": fault.what,
        "where": fault.where,
        "value": fault.value,
        "remedy": fault.remedy,
    }


def refuse(error: LattermathError, as_json: bool) -> int:
    """Write a refusal on standard error and give its exit status."""
    if as_json:
        data = error_data(error.faults)
        sys.stderr.write(json.dumps(data, ensure_ascii=False) + "\n")
    else:
        sys.stderr.write("".join(f"{fault}\n" for fault in error.faults))
    return error.exit_status


@contextmanager
def progress() -> Iterator[Progress | None]:
    """A bar on standard error for long work; None where standard error is no terminal."""
    if not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console
    from rich.progress import BarColumn, TextColumn
    from rich.progress import Progress as Bar

    columns = (TextColumn("{task.description}"), BarColumn())
    with Bar(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("", total=1.0)

        def show(words: str, share: float) -> None:
            bar.update(task, description=words, completed=share)

        yield show
