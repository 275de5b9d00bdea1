"""The newest of what was worked out, held in this process under the digest of all it came from."""

from __future__ import annotations

from collections.abc import Callable
from threading import Lock
from typing import Generic, TypeVar

T = TypeVar("T")


class Held(Generic[T]):
    """Results by their key, the longest unasked forgotten first. Nobody changes what is held."""

    def __init__(self, most: int) -> None:
        """Hold up to so many."""
        self._most = most
        self._found: dict[str, T] = {}
        self._lock = Lock()  # pages are planned and read in several threads

    def get(self, key: str, work: Callable[[], T]) -> T:
        """What is held under the key, or what `work` gives now, which is then held."""
        with self._lock:
            held = key in self._found
            if held:
                found = self._found.pop(key)
                self._found[key] = found
        if not held:
            found = work()
            with self._lock:
                self._found[key] = found
                while len(self._found) > self._most:
                    del self._found[next(iter(self._found))]
        return found
