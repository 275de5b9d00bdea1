"""Writes a file whole or not at all."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from lattermath.vocabulary.errors import Fault, InputError


def write_whole(file: Path, content: str | bytes) -> None:
    """Write bytes, or text as UTF-8, beside the file and move it into place.

    An interruption leaves the old file.

    Raises InputError where the folder is missing or may not be written.
    """
    try:
        handle, name = tempfile.mkstemp(dir=file.parent, prefix=f".{file.name}.")
    except OSError as error:
        remedy = "Name a file in a folder that is there and may be written."
        raise InputError(Fault("cannot write here", "file", str(file), remedy)) from error
    try:
        with os.fdopen(handle, "wb") as out:
            out.write(content.encode("utf-8") if isinstance(content, str) else content)
        Path(name).replace(file)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
