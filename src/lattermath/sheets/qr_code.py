"""An address as a square for a phone's camera (QR code, ISO/IEC 18004), on a page or a screen."""

from __future__ import annotations

from itertools import zip_longest
from typing import Any

from markupsafe import Markup

from lattermath.sheets import phone_words as h
from lattermath.vocabulary.errors import Fault, InputError

QUIET = 4  # modules of light around it, as the standard asks
BLACK_ON_WHITE, AS_BEFORE = "\x1b[30;107m", "\x1b[0m"
HALVES = {(0, 0): " ", (1, 0): "▀", (0, 1): "▄", (1, 1): "█"}


def drawing(words: str, says: str) -> Markup:
    """The square as SVG, black on white by attributes alone; `says` is its title."""
    made = _made(words)
    width = made.symbol_size(scale=1, border=QUIET)[0]
    dark = "".join(
        f"M{x + QUIET} {y + QUIET}h1v1h-1z"
        for y, row in enumerate(made.matrix)
        for x, module in enumerate(row)
        if module
    )
    return Markup(
        '<svg class="qr" viewBox="0 0 {0} {0}" width="{1}" height="{1}" role="img">'
        '<title>{2}</title><path fill="#fff" d="M0 0h{0}v{0}H0z"/><path d="{3}"/></svg>'
    ).format(width, width * 6, says, dark)


def on_screen(words: str) -> list[str]:
    """The square as lines for a terminal, two rows a line, black on white whatever its colours."""
    rows = [list(row) for row in _made(words).matrix_iter(border=QUIET)]
    pairs = zip_longest(rows[::2], rows[1::2], fillvalue=[0] * len(rows[0]))
    return [
        BLACK_ON_WHITE
        + "".join(HALVES[a > 0, b > 0] for a, b in zip(*pair, strict=True))
        + AS_BEFORE
        for pair in pairs
    ]


def _made(words: str) -> Any:
    try:
        import segno
    except ImportError as missing:
        raise InputError(Fault(h.NO_QR, "lattermath serve", "", h.NO_QR_REMEDY)) from missing
    return segno.make(words, error="m", micro=False)
