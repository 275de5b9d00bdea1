"""Photos: nothing of the camera stays in the bytes, size is bounded, only pictures are kept."""

from __future__ import annotations

import hashlib
import io
import struct
import sys
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from PIL import Image

from lattermath.record.photos import (
    LONGEST_SIDE,
    MOST_BYTES,
    SMALL_BYTES,
    clean,
    faults_in,
    keep,
    photos_of,
    small,
    sound,
)
from lattermath.vocabulary.errors import InputError
from lattermath.vocabulary.events import Care, Event, Photo, Withdrawal

NOON = datetime(2025, 8, 3, 12, 0, tzinfo=UTC)
GPS, ORIENTATION, MAKER = 0x8825, 0x0112, 0x010F


def camera(size: tuple[int, int] = (320, 240), form: str = "JPEG", turned: int = 1) -> bytes:
    """A picture, red above and blue below, as a camera writes it: place, maker, words."""
    picture = Image.new("RGB", size, "red")
    picture.paste("blue", (0, size[1] // 2, *size))
    exif = Image.Exif()
    exif[MAKER], exif[ORIENTATION] = "SecretCam", turned
    place = exif.get_ifd(GPS)
    place[1], place[2], place[3], place[4] = "N", (50.0, 51.0, 12.5), "E", (4.0, 21.0, 7.25)
    out = io.BytesIO()
    more = {"comment": b"SecretWords"} if form == "JPEG" else {}
    picture.save(out, form, exif=exif, icc_profile=b"SecretProfile" * 9, **more)
    return out.getvalue()


def segments(data: bytes) -> Iterator[tuple[int, bytes]]:
    """Marker and content of each segment of a JPEG up to the dots (ITU-T T.81, annex B)."""
    assert data[:2] == b"\xff\xd8"
    at = 2
    while data[at + 1] != 0xDA:
        (length,) = struct.unpack_from(">H", data, at + 2)
        yield data[at + 1], data[at + 4 : at + 2 + length]
        at += 2 + length


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
def test_place_maker_words_and_profile_are_gone_from_the_bytes(form: str) -> None:
    given = camera(form=form)
    assert b"SecretCam" in given, "the picture carries what is to go"
    assert Image.open(io.BytesIO(given)).getexif().get_ifd(GPS)[2] == (50.0, 51.0, 12.5)
    made = clean(given, "spots").data
    for word in (b"Exif", b"Secret", b"GPS", b"ICC_PROFILE", b"http://ns.adobe", b"Photoshop"):
        assert word not in made
    kinds = {kind for kind, _ in segments(made)}
    assert not kinds & {0xE1, 0xE2, 0xED, 0xFE}, "no Exif, profile, press words or comment"
    app = [content for kind, content in segments(made) if 0xE0 <= kind <= 0xEF]
    assert [content[:5] for content in app] == [b"JFIF\0"]
    assert not Image.open(io.BytesIO(made)).getexif()


def test_a_picture_that_was_held_upright_stands_upright() -> None:
    """Orientation 6: the camera's left edge is the upper edge."""
    made = Image.open(io.BytesIO(clean(camera(turned=6), "x").data))
    assert made.size == (240, 320)
    left, right = made.getpixel((20, 160)), made.getpixel((220, 160))
    assert left[2] > 200 > left[0] and right[0] > 200 > right[2]


def test_sides_and_bytes_are_bounded() -> None:
    noise = Image.effect_noise((3000, 2000), 80).convert("RGB")
    out = io.BytesIO()
    noise.save(out, "JPEG", quality=95)
    made = clean(out.getvalue(), "noise")
    assert (made.width, made.height) == (LONGEST_SIDE, round(LONGEST_SIDE * 2 / 3))
    assert len(made.data) <= MOST_BYTES < len(out.getvalue())
    small = clean(camera(), "small")
    assert (small.width, small.height) == (320, 240), "nothing is blown up"


def test_what_is_clear_lies_on_white() -> None:
    out = io.BytesIO()
    Image.new("RGBA", (20, 20), (0, 0, 0, 0)).save(out, "PNG")
    made = Image.open(io.BytesIO(clean(out.getvalue(), "clear").data))
    assert made.getpixel((9, 9)) == (255, 255, 255)


@pytest.mark.parametrize(
    "data",
    [b"", b"%PDF-1.7 no picture", camera()[:200], b"GIF89a" + bytes(40), b"<svg></svg>"],
    ids=["empty", "pdf", "torn", "gif", "svg"],
)
def test_what_is_no_picture_is_refused(data: bytes) -> None:
    with pytest.raises(InputError) as refused:
        clean(data, "spots.jpg")
    (fault,) = refused.value.faults
    assert (fault.where, fault.value) == ("photo", "spots.jpg") and "JPEG" in fault.remedy


def test_it_is_kept_once_under_the_digest_of_its_bytes(tmp_path: Path) -> None:
    made = clean(camera(), "x")
    for _ in range(2):
        keep(tmp_path / "photos", made)
    (file,) = (tmp_path / "photos").iterdir()
    assert file.name == hashlib.sha256(file.read_bytes()).hexdigest() + ".jpg" == made.file
    assert sound(file)
    file.write_bytes(file.read_bytes() + b"x")
    assert not sound(file)
    shown = Photo("a", made.file, 1, 1, 1)
    assert len(list(faults_in(tmp_path / "photos", [event(2, "b", shown)]))) == 1


def event(serial: int, name: str, payload: object, supersedes: str | None = None) -> Event:
    kind = "photo" if isinstance(payload, Photo) else "care"
    return Event(serial, name, kind, 1, NOON, "UTC", NOON, payload, supersedes)  # type: ignore[arg-type]


def test_a_photo_goes_with_the_entry_that_stands() -> None:
    care, shown = event(1, "a", Care("beans", "hoe")), event(2, "b", Photo("a", "f.jpg", 1, 1, 1))
    assert photos_of([care, shown]) == {"a": ("f.jpg",)}
    mended = event(3, "c", Care("beans", "tie"), "a")
    assert photos_of([care, shown, mended]) == {"c": ("f.jpg",)}
    assert photos_of([care, shown, event(3, "d", Withdrawal(), "b")]) == {}


def test_without_the_extra_it_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    data = camera()
    monkeypatch.setitem(sys.modules, "PIL", None)
    with pytest.raises(InputError, match=r"photos need Pillow.*lattermath\[photos\]"):
        clean(data, "spots.jpg")


@pytest.mark.parametrize("brand", [b"heic", b"mif1", b"avif"])
def test_a_heic_picture_is_refused_with_the_way_to_send_it(brand: bytes) -> None:
    """The first box of such a file; what follows is not read."""
    given = struct.pack(">I", 24) + b"ftyp" + brand + bytes(4) + b"mif1heic" + bytes(4000)
    with pytest.raises(InputError) as refused:
        clean(given, "IMG_0042.HEIC")
    (fault,) = refused.value.faults
    assert "HEIC" in fault.what and fault.value == "IMG_0042.HEIC"
    assert "write JPEG" in fault.remedy and "nothing was kept" in fault.remedy


def test_a_picture_in_a_list_is_light() -> None:
    noise = io.BytesIO()
    Image.effect_noise((1600, 1200), 90).convert("RGB").save(noise, "JPEG", quality=95)
    kept = clean(noise.getvalue(), "noise").data
    made = small(kept)
    assert len(made) <= SMALL_BYTES < len(kept)
    assert Image.open(io.BytesIO(made)).size == (480, 360)
    assert Image.open(io.BytesIO(small(clean(camera((80, 60)), "x").data))).size == (80, 60)
