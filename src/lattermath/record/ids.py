"""Entry ids that sort by time: UUID version 7. The caller brings the clock and the dice."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from uuid import UUID

EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


def uuid7(unix_ms: int, dice: bytes) -> str:
    """The UUIDv7 of a time in Unix milliseconds and ten random bytes.

    Source: RFC 9562, section 5.7 (layout) and appendix A.6 (the test vector the tests use).
    """
    if not 0 <= unix_ms < 1 << 48:
        raise ValueError("a UUIDv7 holds 48 bits of milliseconds since 1970")
    if len(dice) != 10:
        raise ValueError("a UUIDv7 takes ten random bytes")
    rand_a = int.from_bytes(dice[:2], "big") & 0xFFF
    rand_b = int.from_bytes(dice[2:], "big") & ((1 << 62) - 1)
    return str(UUID(int=unix_ms << 80 | 0x7 << 76 | rand_a << 64 | 0b10 << 62 | rand_b))


def id_beside(entry_id: str, number: int) -> str:
    """The id of an entry that arrives with another: the same each time, of the same instant.

    ValueError where the other is no UUIDv7.
    """
    other = UUID(entry_id)
    if other.version != 7:
        raise ValueError("not a UUIDv7")
    dice = hashlib.sha256(f"{other} {number}".encode()).digest()
    return uuid7(other.int >> 80, dice[:10])


def id_maker(
    now: Callable[[], datetime], random_bytes: Callable[[int], bytes]
) -> Callable[[], str]:
    """A function that gives a fresh id at each call, from the given clock and dice."""

    def new_id() -> str:
        return uuid7((now() - EPOCH) // timedelta(milliseconds=1), random_bytes(10))

    return new_id
