"""A command line that cannot be read, as a fault like any other."""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from datetime import date
from typing import Any, Literal, get_args, get_origin

from cyclopts import CoercionError, CycloptsError, MissingArgumentError, UnknownOptionError
from cyclopts.exceptions import UnknownCommandError, UnusedCliTokensError

from lattermath.vocabulary.errors import Fault, InputError
from lattermath.vocabulary.sentence import inside

KINDS: dict[Any, tuple[str, str]] = {
    int: ("this is no whole number", "Write it as 12."),
    float: ("this is no number", "Write it as 1.5."),
    date: ("this is no day", "Write it as 2026-07-31."),
}


def misspoken(error: CycloptsError, words: list[str]) -> InputError:
    """What the parser says, said in the one shape: what, where, the value, the remedy."""
    command = " ".join(("lattermath", *(error.command_chain or ())))
    see = f"See: {command} --help"
    if isinstance(error, UnknownCommandError) and error.unused_tokens:
        word = error.unused_tokens[0]
        names = [name for name in error.app or () if not name.startswith("-")]
        remedy = _near(word, names) or f"There are: {', '.join(names)}."
        return InputError(Fault("there is no such command", command, word, remedy))
    if isinstance(error, MissingArgumentError) and error.argument is not None:
        name = _plain(error.keyword or error.argument.name)
        return InputError(Fault(f"{name} is missing", command, " ".join(words), see))
    if isinstance(error, CoercionError) and error.token is not None:
        return InputError(_unreadable(error, command, see))
    if isinstance(error, UnknownOptionError):
        word = error.token.keyword or error.token.value
        names = [name for option in error.argument_collection for name in option.names]
        return InputError(
            Fault("there is no such option", command, word, _near(word, names) or see)
        )
    if isinstance(error, UnusedCliTokensError) and error.unused_tokens:
        rest = " ".join(error.unused_tokens)
        remedy = f"Put quotes round a name of several words. {see}"
        return InputError(Fault("this is more than was asked for", command, rest, remedy))
    what = " ".join(str(error).split()).rstrip(".")
    return InputError(Fault(inside(what), command, " ".join(words), see))


def _unreadable(error: CoercionError, command: str, see: str) -> Fault:
    """A value that is not of the kind asked for."""
    token, kind = error.token, error.target_type
    name = (token.keyword if token else None) or (error.argument.name if error.argument else "")
    where = f"{command}, {_plain(name)}" if name else command
    value = token.value if token else ""
    if get_origin(kind) is Literal:
        remedy = f"Choose from {', '.join(map(str, get_args(kind)))}."
        return Fault("this is none of the words it may be", where, value, remedy)
    what, remedy = KINDS.get(kind, ("this cannot be read", see))
    return Fault(what, where, value, remedy)


def _plain(name: str) -> str:
    """Options as they are typed; other words of a command in small letters."""
    return name if name.startswith("-") else name.lower().replace("_", " ")


def _near(word: str, names: Iterable[str]) -> str:
    found = difflib.get_close_matches(word, list(names), n=1, cutoff=0.6)
    return f"Did you mean {found[0]}?" if found else ""
