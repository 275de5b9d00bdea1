"""Files that were sent and wait for one answer, so that nobody has to send them again."""

from __future__ import annotations

import hashlib
from threading import Lock

from lattermath.desk.sent_weather import SentFile

MOST = 3  # each may be as large as a body may be


class SentFiles:
    """The last few files that wait, in memory only; the oldest goes first."""

    def __init__(self) -> None:
        """Begin with none."""
        self._held: dict[str, SentFile] = {}
        self._lock = Lock()

    def keep(self, file: SentFile) -> str:
        """Keep a file until its answer comes, and give the key to ask for it again."""
        key = hashlib.sha256(file.name.encode() + b"\0" + file.data).hexdigest()
        with self._lock:
            self._held.pop(key, None)
            self._held[key] = file
            for old in list(self._held)[:-MOST]:
                del self._held[old]
        return key

    def get(self, key: str) -> SentFile | None:
        """The file of a key; None where it waits no longer."""
        return self._held.get(key)

    def drop(self, key: str) -> None:
        """Let a file go that was taken in."""
        with self._lock:
            self._held.pop(key, None)
