"""Photos that go with entries: cleaned of all that a camera writes beside the picture, and bounded.

A camera writes the place, the hour, its own number and a small preview into the file. Kept is
a new file of the picture's dots alone, under the SHA-256 of its bytes, beside the journal.
"""

from __future__ import annotations

import hashlib
import io
import os
import re
import tempfile
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from lattermath.vocabulary.errors import Fault, InputError
from lattermath.vocabulary.events import Event, Photo, Withdrawal

if TYPE_CHECKING:
    from PIL.Image import Image as Picture

FORMS = ("JPEG", "PNG", "WEBP")
LARGEST_FILE = 40_000_000  # bytes that are read at all; judgement
MOST_DOTS = 120_000_000  # judgement: more is no telephone's picture, and would fill the memory
LONGEST_SIDE = 1600  # dots; judgement: leaf spots can still be told apart
MOST_BYTES = 500_000  # judgement: two hundred of them are 100 MB
SMALL_SIDE, SMALL_BYTES = 480, 40_000  # of a picture in a list, which is opened to see it whole
QUALITIES = (85, 75, 65, 55, 45, 35, 25)  # of JPEG, tried in turn until it is small enough
NAME = re.compile(r"[0-9a-f]{64}\.jpg")
# Brands of the first box of a HEIC, HEIF or AVIF file (ISO 14496-12 `ftyp`; brands from memory).
HEIC_BRANDS = (b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1", b"avif")
HEIC_REMEDY = (
    "Choose it on the phone that took it, on this page: phones then send JPEG by themselves. Or "
    "set the camera to write JPEG (often called most compatible); nothing was kept."
)
REMEDY = "Choose a JPEG, PNG or WebP file, as a camera writes it; nothing was kept."


@dataclass(frozen=True, slots=True)
class Clean:
    """A picture ready to be kept. Sides in dots."""

    data: bytes  # JPEG
    width: int
    height: int

    @property
    def file(self) -> str:
        """The name that its bytes give it."""
        return f"{hashlib.sha256(self.data).hexdigest()}.jpg"


def clean(data: bytes, called: str) -> Clean:
    """The picture alone, upright, its longest side at most 1600 dots and at most 500 kB.

    called : what the file is called, for a refusal.

    InputError where it is no picture, too large to be one, or the photos extra is not installed.
    """
    try:
        from PIL import Image, ImageOps
    except ImportError as missing:
        remedy = "Install it: pip install 'lattermath[photos]'."
        raise InputError(Fault("photos need Pillow", "photo", called, remedy)) from missing
    if not data or len(data) > LARGEST_FILE:
        raise InputError(Fault("this is empty or too large to be a photo", "photo", called, REMEDY))
    if data[4:8] == b"ftyp" and data[8:12] in HEIC_BRANDS:
        what = "this is a HEIC picture, which is not read here"
        raise InputError(Fault(what, "photo", called, HEIC_REMEDY))
    Image.init()  # so that every form is known
    try:
        with Image.open(io.BytesIO(data), formats=FORMS) as found:
            if found.width * found.height > MOST_DOTS:
                raise ValueError("it has too many dots")
            upright = ImageOps.exif_transpose(found)
            flat = _on_white(upright)
    except (OSError, ValueError, SyntaxError, Image.DecompressionBombError) as fault:
        raise InputError(Fault("this is no picture", "photo", called, REMEDY)) from fault
    flat.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
    return Clean(_small_enough(flat), flat.width, flat.height)


def _on_white(picture: Picture) -> Picture:
    """The dots alone in a new picture, which carries nothing of the old one's file."""
    from PIL import Image

    plain = Image.new("RGB", picture.size, "white")
    if picture.mode in ("RGBA", "LA", "PA") or "transparency" in picture.info:
        seen = picture.convert("RGBA")
        plain.paste(seen, mask=seen.getchannel("A"))
    else:
        plain.paste(picture.convert("RGB"))
    return plain


def small(data: bytes) -> bytes:
    """A kept picture as a list shows it: at most 480 dots long and about 40 kB, JPEG."""
    from PIL import Image

    with Image.open(io.BytesIO(data), formats=("JPEG",)) as kept:
        kept.thumbnail((SMALL_SIDE, SMALL_SIDE))
        return _small_enough(kept, SMALL_BYTES)


def _small_enough(picture: Picture, most: int = MOST_BYTES) -> bytes:
    """As JPEG, in the best quality that is small enough; the last one whatever it weighs."""
    made = b""
    for quality in QUALITIES:
        out = io.BytesIO()
        picture.save(out, "JPEG", quality=quality, optimize=True)
        made = out.getvalue()
        if len(made) <= most:
            break
    return made


def keep(folder: Path, picture: Clean) -> None:
    """Put a picture into the folder of photos under its name; one that is there stays."""
    target = folder / picture.file
    if target.exists():
        return
    folder.mkdir(exist_ok=True)
    handle, making = tempfile.mkstemp(dir=folder, prefix=".new-")
    try:
        with os.fdopen(handle, "wb") as out:
            out.write(picture.data)
            out.flush()
            os.fsync(out.fileno())
        Path(making).replace(target)
    except BaseException:
        Path(making).unlink(missing_ok=True)
        raise


def sound(file: Path) -> bool:
    """Whether a file of the folder of photos still is what its name says."""
    named = NAME.fullmatch(file.name) is not None and file.is_file()
    return named and hashlib.sha256(file.read_bytes()).hexdigest() == file.stem


def faults_in(folder: Path, events: Iterable[Event]) -> Iterator[Fault]:
    """Photos of standing entries that are no longer there, or no longer what they were."""
    for name in sorted({name for names in photos_of(events).values() for name in names}):
        if not sound(folder / name):
            remedy = "Bring it back from a backup; the entries are not touched."
            yield Fault("a photo is gone or was changed", str(folder / name), "", remedy)


def photos_of(events: Iterable[Event]) -> dict[str, tuple[str, ...]]:
    """File names of the standing photos by id of the entry that they go with.

    A photo of an entry that was corrected goes with its correction.
    """
    every = list(events)
    gone = {event.supersedes for event in every if event.supersedes is not None}
    heir = {
        event.supersedes: event.id
        for event in every
        if event.supersedes is not None and not isinstance(event.payload, Withdrawal)
    }
    found: dict[str, tuple[str, ...]] = {}
    for event in every:
        if isinstance(event.payload, Photo) and event.id not in gone:
            goes_with = event.payload.of
            while goes_with in heir:
                goes_with = heir[goes_with]
            if event.payload.file not in found.get(goes_with, ()):
                found[goes_with] = (*found.get(goes_with, ()), event.payload.file)
    return found
