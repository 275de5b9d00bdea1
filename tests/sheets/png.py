"""Reads a picture: just enough of PNG for what the typesetter writes."""

from __future__ import annotations

import struct
import zlib

import numpy as np
from numpy.typing import NDArray

SIGNATURE = b"\x89PNG\r\n\x1a\n"
CHANNELS = {2: 3, 6: 4}


def pixels(picture: bytes) -> NDArray[np.int64]:
    """Red, green, blue, (height, width, 3), of a PNG of 8 bits a channel, not interlaced."""
    assert picture.startswith(SIGNATURE)
    at, packed, head = len(SIGNATURE), b"", b""
    while at < len(picture):
        (length,) = struct.unpack_from(">I", picture, at)
        kind, data = picture[at + 4 : at + 8], picture[at + 8 : at + 8 + length]
        head = data if kind == b"IHDR" else head
        packed += data if kind == b"IDAT" else b""
        at += length + 12
    wide, high, bits, colour, _, _, interlaced = struct.unpack(">IIBBBBB", head)
    assert (bits, interlaced) == (8, 0)
    step = CHANNELS[colour]
    rows = np.frombuffer(zlib.decompress(packed), np.uint8).reshape(high, 1 + wide * step)
    held = np.zeros((high, wide, step), np.int64)
    above = np.zeros((wide, step), np.int64)
    for y in range(high):
        above = held[y] = _unfiltered(
            rows[y, 0], rows[y, 1:].astype(np.int64).reshape(wide, -1), above
        )
    return held[:, :, :3]


def _unfiltered(kind: int, row: NDArray[np.int64], above: NDArray[np.int64]) -> NDArray[np.int64]:
    if kind == 0:
        return row
    if kind == 1:
        return np.cumsum(row, axis=0) % 256
    if kind == 2:
        return (row + above) % 256
    out = row.copy()
    left = corner = np.zeros(row.shape[1], np.int64)
    for x in range(len(row)):
        up = above[x]
        guess = (left + up) // 2 if kind == 3 else _paeth(left, up, corner)
        left = out[x] = (row[x] + guess) % 256
        corner = up
    return out


def _paeth(
    left: NDArray[np.int64], up: NDArray[np.int64], corner: NDArray[np.int64]
) -> NDArray[np.int64]:
    near = left + up - corner
    by_left, by_up, by_corner = abs(near - left), abs(near - up), abs(near - corner)
    first = (by_left <= by_up) & (by_left <= by_corner)
    return np.where(first, left, np.where(by_up <= by_corner, up, corner))
