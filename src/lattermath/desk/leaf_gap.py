"""By how much a course against a leaf disease may miss the best, reckoned once and then kept."""

from __future__ import annotations

import numpy as np

from lattermath.desk.kept_courses import said
from lattermath.desk.kept_work import digest_of, remembered
from lattermath.desk.leaf_disease_course import LeafSearched
from lattermath.planning.leaf_bound import gap_of


def leaf_gap(searched: LeafSearched) -> float:
    """A share of what could at most be saved, beside what is done against others. [0 to 1]"""
    task, steps = searched.task, searched.found.steps
    key = digest_of(searched.case.bits, searched.others, task.left, [said(step) for step in steps])
    held = remembered("leaf gap", key, lambda: {"gap": np.array([gap_of(task, steps)])})
    return float(held["gap"][0])
