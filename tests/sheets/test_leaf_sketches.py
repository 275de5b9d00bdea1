"""The drawn leaves: the share covered, measured again from the picture itself."""

from __future__ import annotations

import re
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest

from lattermath.desk.leaf_sketches import PERCENT, leaf_sketches
from lattermath.doors.command import run
from lattermath.science.leaf_sketch import leaf_outline, leaf_spots, within

SVG = "{http://www.w3.org/2000/svg}"
GRID = 280


def edges(path: str) -> list[np.ndarray]:
    """The closed edges of a path made of whole numbers and straight pieces."""
    found = [[float(n) for n in re.findall(r"-?\d+", part)] for part in path.split("Z") if part]
    return [np.array(numbers).reshape(-1, 2) for numbers in found]


def winds(points: np.ndarray, edge: np.ndarray) -> np.ndarray:
    """Points that an edge goes round: by the angle it turns, not by crossings."""
    turned = np.zeros(len(points))
    for a, b in zip(edge, np.roll(edge, -1, axis=0), strict=True):
        (ax, ay), (bx, by) = (a - points).T, (b - points).T
        turned += np.arctan2(ax * by - ay * bx, ax * bx + ay * by)
    return np.abs(turned) > np.pi


def area(edge: np.ndarray) -> float:
    x, y = edge.T
    return abs(float(x @ np.roll(y, -1) - y @ np.roll(x, -1))) / 2


def leaves() -> list[tuple[int, np.ndarray, list[np.ndarray]]]:
    """Label, leaf and spots, as they stand in the picture."""
    root = ElementTree.fromstring(leaf_sketches())
    clips = {c.get("id"): c[0].get("d") for c in root.iter(f"{SVG}clipPath")}
    labels = [int(t.text.split()[0]) for t in root.iter(f"{SVG}text")]
    spots = [p for p in root.iter(f"{SVG}path") if p.get("clip-path")]
    return [
        (label, edges(clips[spot.get("clip-path")[5:-1]])[0], edges(spot.get("d")))
        for label, spot in zip(labels, spots, strict=True)
    ]


def test_every_leaf_is_covered_as_its_label_says() -> None:
    """On a raster of 280 by 280: within 5 in 100 of the share."""
    drawn = leaves()
    assert [label for label, _, _ in drawn] == [*PERCENT, *PERCENT]
    for label, leaf, spots in drawn:
        low, high = leaf.min(0), leaf.max(0)
        x, y = (np.linspace(a, b, GRID) for a, b in zip(low, high, strict=True))
        points = np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
        points = points[winds(points, leaf)]
        under = np.zeros(len(points), dtype=bool)
        for spot in spots:
            near = np.all((points >= spot.min(0)) & (points <= spot.max(0)), axis=1)
            under[near] |= winds(points[near], spot)
        assert 100 * under.mean() == pytest.approx(label, rel=0.05), label


def test_the_first_leaf_by_the_surveyors_formula() -> None:
    """Nine specks that neither touch nor reach over the edge: areas alone give 1 %."""
    label, leaf, spots = leaves()[0]
    assert len(spots) == 9
    assert 100 * sum(map(area, spots)) / area(leaf) == pytest.approx(label, rel=0.05)


def test_within_goes_by_the_same_edge() -> None:
    outline = leaf_outline()
    points = np.random.default_rng(2).uniform((-0.5, -0.1), (0.5, 1.1), (4000, 2))
    share = within(points, outline).mean() * 1.0 * 1.2
    assert share == pytest.approx(area(outline), rel=0.06)
    assert np.array_equal(within(points, outline), winds(points, outline))


@pytest.mark.parametrize(("share", "number"), [(0.0, 3), (1.0, 3), (0.1, 0)])
def test_what_cannot_be_drawn_is_refused(share: float, number: int) -> None:
    with pytest.raises(ValueError, match="between 0 and 1"):
        leaf_spots(leaf_outline(), share, number)


def test_the_command_writes_the_picture(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "leaves.svg"
    assert run(["log", "sketches", str(file)]) == 0
    assert file.read_text("utf-8") == leaf_sketches()
    assert "Hold a leaf beside these" in capsys.readouterr().out
    assert run(["log", "sketches", str(tmp_path / "nowhere" / "leaves.svg")]) != 0


def test_the_picture_holds_words_and_no_script() -> None:
    text = leaf_sketches()
    assert "<script" not in text and "href" not in text
    assert ElementTree.fromstring(text).get("aria-label")
