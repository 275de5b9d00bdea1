"""Areas under disease progress curves.

Sources: manual of the open R package agricolae after Campbell and Madden 1990 (read); its prose
says 1045, its own figure and the arithmetic 1015. Second series: data of an APS teaching exercise
(read), total computed in checks-diseases 7.
"""

import pytest

from lattermath.science.disease_progress import progress_area


def test_campbell_and_madden() -> None:
    found = progress_area([14, 21, 28], [40, 80, 90])
    assert found.audpc == pytest.approx(1015)
    assert found.relative == pytest.approx(0.725)
    assert found.audps == pytest.approx(1470)


def test_teaching_exercise() -> None:
    assert progress_area([0, 2, 5, 6], [1, 2, 7, 7.5]).audpc == pytest.approx(23.75)
