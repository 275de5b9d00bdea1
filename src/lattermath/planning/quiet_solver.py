"""Keeps what a compiled solver prints, past every option it has, out of our answers."""

from __future__ import annotations

import ctypes
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def without_its_words() -> Iterator[None]:
    """Nothing that compiled code prints meanwhile comes to standard output, then or later.

    Piped, its words lie in a buffer of the C library until the process ends, and would stand after
    an answer in JSON; so that buffer is emptied before output is given back. Outside POSIX that
    buffer cannot be reached by name, and words that lie in it may still come.
    """
    try:
        sys.stdout.flush()
        ours = os.dup(1)
    except (OSError, ValueError):  # nobody listens: there is no output to keep clean
        yield
        return
    try:
        with open(os.devnull, "wb") as nowhere:  # noqa: PTH123  # no file of ours
            os.dup2(nowhere.fileno(), 1)
        yield
    finally:
        if os.name == "posix":
            ctypes.CDLL(None).fflush(None)
        os.dup2(ours, 1)
        os.close(ours)
