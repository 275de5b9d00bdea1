from __future__ import annotations

import random
from datetime import UTC, datetime, timedelta
from uuid import UUID

import pytest

from lattermath.record.ids import id_maker, uuid7


def test_the_test_vector_of_rfc_9562_appendix_a6() -> None:
    # unix_ts_ms 017F22E279B0, rand_a CC3, rand_b 18C4DC0C0C07398F
    dice = bytes.fromhex("0CC3") + bytes.fromhex("18C4DC0C0C07398F")
    assert uuid7(0x017F22E279B0, dice) == "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"


def test_ids_carry_version_variant_and_time_whatever_the_dice() -> None:
    for seed in range(200):
        dice = random.Random(seed)
        made = UUID(uuid7(1_790_000_000_000 + seed, dice.randbytes(10)))
        assert made.version == 7
        assert made.variant == "specified in RFC 4122"
        assert made.int >> 80 == 1_790_000_000_000 + seed


def test_ids_of_later_times_sort_later() -> None:
    moments = iter(
        [datetime(2026, 1, 1, tzinfo=UTC) + timedelta(milliseconds=n) for n in range(50)]
    )
    new_id = id_maker(lambda: next(moments), random.Random(1).randbytes)
    made = [new_id() for _ in range(50)]
    assert made == sorted(made)


@pytest.mark.parametrize(("ms", "dice"), [(-1, bytes(10)), (1 << 48, bytes(10)), (5, bytes(9))])
def test_what_is_no_time_or_too_few_dice_is_refused(ms: int, dice: bytes) -> None:
    with pytest.raises(ValueError, match="UUIDv7"):
        uuid7(ms, dice)
