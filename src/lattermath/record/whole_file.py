"""Writes a file whole or not at all."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from lattermath.vocabulary.errors import Fault, InputError

USUAL_MODE = 0o644


def write_whole(file: Path, content: str | bytes) -> None:
    """Write bytes, or text as UTF-8, beside the file and move it into place.

    An interruption, a loss of power too, leaves the old file or the new one. Who may read an old
    file may read the new one.

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
            out.flush()
            os.fsync(out.fileno())
        Path(name).chmod(file.stat().st_mode & 0o777 if file.exists() else USUAL_MODE)
        Path(name).replace(file)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
