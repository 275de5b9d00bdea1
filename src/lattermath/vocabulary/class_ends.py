"""Where the classes of a look end, and what nobody counts; all judgement."""

from __future__ import annotations

from collections.abc import Mapping

from lattermath.vocabulary.events import Level

# Most insects of each level: a leaf turned over, and a plant shaken.
LEAF_LEVELS = {"none": 0, "few": 5, "many": 30}
SHAKE_LEVELS = {"none": 0, "few": 10, "many": 50}
# Least and most severity of each level, as a share of the leaf.
SEVERITY_LEVELS: Mapping[Level, tuple[float, float]] = {
    "none": (0.0, 0.0005),
    "few": (0.0005, 0.05),
    "many": (0.05, 0.30),
    "heavy": (0.30, 1.0),
}
# Twice the densest leaf of the tables (8.3 insects/cm2 on the 600 cm2 of a courgette leaf, about
# 5,000), and more than anybody counts: a comma was forgotten.
MOST_ON_ONE = 10_000  # insects on a leaf, on a card, or off a shaken plant
