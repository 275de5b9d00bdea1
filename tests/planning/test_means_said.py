"""What is said of work by hand fits whatever it takes: aphids lay no masses of eggs."""

from __future__ import annotations

from lattermath.planning.means import MEANS
from lattermath.planning.treating import VERBS


def test_hand_picking_speaks_of_nothing_that_only_some_of_them_have() -> None:
    assert "hand_pick" in VERBS
    for method, means in MEANS.items():
        assert "egg" not in means.says, method
