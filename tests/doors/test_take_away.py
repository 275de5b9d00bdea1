"""The take-away page carries what a visit needs, and its entries come home once each."""

from __future__ import annotations

import base64
import gzip
import html
import io
import json
import re
import shutil
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image

from lattermath.desk import clock
from lattermath.desk.demo import Shown
from lattermath.desk.entry_ids import new_id
from lattermath.desk.told_entries import record_of
from lattermath.doors.asking import Units
from lattermath.doors.web.take_away import take_away_page
from lattermath.doors.web.take_in import read_parcel, take_in
from lattermath.record.ids import uuid7
from lattermath.sheets.leaf import leaf
from lattermath.vocabulary.errors import InputError
from lattermath.vocabulary.plan import Plan

DAY = date(2011, 7, 30)


@pytest.fixture(scope="module")
def shown(
    make_demo: Callable[[Path], Shown], tmp_path_factory: pytest.TempPathFactory
) -> tuple[Path, Plan]:
    made = make_demo(tmp_path_factory.mktemp("taken") / "plot")
    return made.folder, made.plan


@pytest.fixture
def folder(shown: tuple[Path, Plan], tmp_path: Path) -> Path:
    return Path(shutil.copytree(shown[0], tmp_path / "plot"))


def entry(
    number: int, form: str, fields: Mapping[str, list[str]], task: str = ""
) -> dict[str, Any]:
    return {
        "id": uuid7(1_312_000_000_000 + number, bytes(10)),
        "at": f"2011-07-30 19:{number:02d}",
        "form": form,
        "task": task,
        "fields": fields,
    }


def parcel(*entries: dict[str, Any], clock_says: str = "") -> str:
    told = {"format": 1, "plot": "Plot 14", "clock": clock_says or clock.now().isoformat()}
    return json.dumps({**told, "entries": entries})


def test_one_file_that_asks_for_nothing(shown: tuple[Path, Plan]) -> None:
    folder, plan = shown
    page = take_away_page(plan, record_of(folder), folder, "metric", "stamp", DAY)
    assert not re.search(r'(src|href)="(?!#)', page)
    within = re.findall(r'url\("?([^,)]{0,40})', page)
    assert within and all(one == "data:font/woff2;base64" for one in within)  # its typeface
    assert "connect-src 'none'" in page
    for task in plan.visits[0].tasks:
        assert f'data-task="{task.id}"' in page
    assert "[hidden] { display: none !important; }" in page  # no layout shows what is put away
    assert "In the eyes: rinse with plenty of water" in page  # the label's first aid
    assert page.count('<figure class="plan">') == 1 and page.count('<figure class="chart">') >= 4
    whole = len(gzip.compress(page.encode()))
    face = len(gzip.compress("".join(re.findall(r"base64,([A-Za-z0-9+/=]+)", page)).encode()))
    assert whole - face < 60_000 and whole < 120_000  # bytes: light enough to keep on a phone
    assert "not above 30 C" in page  # the label's own words


def test_whom_to_ring_and_first_aid_of_each_label(shown: tuple[Path, Plan]) -> None:
    """The number that the grower wrote, or that there is none; a label not copied says so."""
    folder, plan = shown
    record = record_of(folder)
    page = html.unescape(take_away_page(plan, record, folder, "metric", "stamp", DAY))
    assert "and ring 555 0100 (invented). You wrote this number down" in page
    assert "wear a hat" in page
    for label in record.plot.shelf:
        assert f"First aid by the label of {label.name}: {label.first_aid or 'not copied'}" in page
    rules = replace(record.plot.rules, poison_number="")
    silent = replace(record, plot=replace(record.plot, rules=rules))
    page = html.unescape(take_away_page(plan, silent, folder, "metric", "stamp", DAY))
    assert "No poison number is written down" in page and "555 0100" not in page


@pytest.mark.parametrize("units", ["metric", "us"])
def test_it_says_all_that_the_sheet_says(shown: tuple[Path, Plan], units: Units) -> None:
    folder, plan = shown
    front = leaf(plan, plan.plot, units)["front"]
    page = html.unescape(take_away_page(plan, record_of(folder), folder, units, "stamp", DAY))
    held = front["held"]
    said = [*held["decided"], *held["not_today"], *(note["says"] for note in held["notes"])]
    assert held["water_left"] and held["notes"] and held["decided"]
    for says in (front["work"], held["bag"], held["water_left"], *said):
        assert says in page


def test_entries_come_home_once_and_in_order(shown: tuple[Path, Plan], folder: Path) -> None:
    pick = next(t.id for t in shown[1].visits[0].tasks if t.kind == "pick")
    water = next(t.id for t in shown[1].visits[0].tasks if t.kind == "water")
    sent = parcel(
        entry(1, "done", {"how": ["as-written"]}, water),
        entry(2, "picked", {"planting": ["cucumbers"], "weight": ["0.4"]}, pick),
        entry(3, "spots", {"planting": ["melon"], "what": ["mildew"], "percent": ["20"]}),
    )
    before = len(record_of(folder).entries)
    first = take_in(folder, read_parcel(sent), "metric")
    assert (len(first.taken), len(first.known), first.refused) == (3, 0, ())
    after = record_of(folder).entries
    assert len(after) == before + 5  # water and its tick, picking and its tick, spots
    hours = [one.at for one in reversed(after[:5])]
    assert hours == sorted(hours)
    again = take_in(folder, read_parcel(sent), "metric")
    assert (len(again.taken), len(again.known)) == (0, 3)
    assert len(record_of(folder).entries) == before + 5


def test_a_photo_comes_home_with_its_entry_cleaned_and_once(folder: Path) -> None:
    picture, exif = io.BytesIO(), Image.Exif()
    exif[0x010F] = "SecretCam"
    Image.new("RGB", (90, 60), "red").save(picture, "JPEG", exif=exif)
    photo = base64.b64encode(picture.getvalue()).decode()
    spots = {"planting": ["melon"], "what": ["mildew"], "percent": ["20"]}
    sent = parcel({**entry(7, "spots", spots), "photo": photo})
    before = len(record_of(folder).entries)
    for _ in range(2):
        assert not take_in(folder, read_parcel(sent), "metric").refused
    entries = record_of(folder).entries
    assert len(entries) == before + 2
    (name,) = next(one.photos for one in entries if one.photos)
    kept = (folder / "photos" / name).read_bytes()
    assert Image.open(io.BytesIO(kept)).size == (90, 60) and b"SecretCam" not in kept


@pytest.mark.parametrize("photo", ["?", "YWJj", base64.b64encode(b"GIF89a nothing").decode()])
def test_a_photo_that_is_none_is_refused_with_its_entry(folder: Path, photo: str) -> None:
    spots = {"planting": ["melon"], "what": ["mildew"], "percent": ["20"]}
    before = len(record_of(folder).entries)
    told = take_in(
        folder, read_parcel(parcel({**entry(8, "spots", spots), "photo": photo})), "metric"
    )
    assert [fault.where for _, faults in told.refused for fault in faults] == ["photo"]
    assert len(record_of(folder).entries) == before


def test_what_cannot_be_is_named_and_holds_up_nothing_else(folder: Path) -> None:
    told = take_in(
        folder,
        read_parcel(
            parcel(
                entry(1, "picked", {"planting": ["peas"], "weight": ["0.4"]}),
                entry(2, "nothing", {}),
                entry(3, "picked", {"planting": ["cucumbers"], "weight": ["0.4"]}),
                entry(4, "done", {"how": ["as-written"]}, "zzz"),
                {**entry(5, "seen", {"planting": ["beans"], "what": ["aphids"]}), "id": "mine"},
            )
        ),
        "metric",
    )
    assert len(told.taken) == 1
    assert [faults[0].where for _, faults in told.refused] != []
    assert len(told.refused) == 4
    assert told.says[0] == "1 taken in."


def test_a_phone_whose_clock_runs_ahead_is_set_back(folder: Path) -> None:
    ahead = clock.now() + timedelta(hours=3)
    hour = ahead.astimezone(ZoneInfo("America/Denver")) - timedelta(minutes=20)
    late = {
        **entry(1, "seen", {"planting": ["beans"], "what": ["aphids"]}),
        "at": f"{hour:%Y-%m-%d %H:%M}",
    }
    told = take_in(folder, read_parcel(parcel(late, clock_says=ahead.isoformat())), "metric")
    assert len(told.taken) == 1
    assert any("3 hours ahead" in line for line in told.says)


def test_a_phone_whose_clock_is_slow_is_set_forward_and_a_written_hour_stays(
    folder: Path,
) -> None:
    """A treatment told hours too early would clear its picking hours too early."""
    slow = clock.now() - timedelta(hours=5)
    sent = [
        entry(1, "seen", {"planting": ["beans"], "what": ["aphids"]}),
        entry(2, "seen", {"planting": ["beans"], "what": ["aphids"], "at": ["2011-07-30 08:15"]}),
    ]
    told = take_in(folder, read_parcel(parcel(*sent, clock_says=slow.isoformat())), "metric")
    assert len(told.taken) == 2
    assert any("5 hours slow" in line for line in told.says)
    written, carried = record_of(folder).entries[:2]
    assert f"{written.at:%Y-%m-%d %H:%M}" == "2011-07-30 08:15"
    assert f"{carried.at:%Y-%m-%d %H:%M}" == "2011-07-31 00:01"


def test_entries_of_another_plot_are_not_taken_in(folder: Path) -> None:
    told = json.loads(parcel(entry(1, "visit", {"minutes": ["30"]})))
    own, before = record_of(folder).entries[-1].id, len(record_of(folder).entries)
    with pytest.raises(InputError, match="of another plot"):
        take_in(folder, read_parcel(json.dumps({**told, "journal": new_id()})), "metric")
    assert len(record_of(folder).entries) == before
    take_in(folder, read_parcel(json.dumps({**told, "journal": own})), "metric")
    assert len(record_of(folder).entries) == before + 1


@pytest.mark.parametrize(
    "text",
    [
        "",
        "[]",
        "{}",
        '{"format": 2}',
        parcel({"id": "x"}),
        parcel(entry(1, "seen", {})).replace("1", ""),
    ],
)
def test_a_file_of_another_make_is_refused_whole(text: str) -> None:
    with pytest.raises(InputError):
        read_parcel(text)


@pytest.mark.parametrize(
    ("number", "form", "fields"),
    [
        (31, "sown", {"crop": ["chard"], "seeds": ["8"], "place": ["cups"]}),
        (32, "sown", {"crop": ["chard"], "seeds": ["8"], "place": ["bed G"]}),
        (33, "set-out", {"crop": ["chard"], "plants": ["3"], "bed": ["g"]}),
    ],
)
def test_what_begins_without_a_name_arrives_once_under_the_name_made_for_it(
    shown: tuple[Path, Plan], number: int, form: str, fields: dict[str, list[str]]
) -> None:
    """Home heard it and the phone was not told: it comes again, and is the same."""
    first, again = (
        take_in(shown[0], read_parcel(parcel(entry(number, form, fields))), "metric")
        for _ in range(2)
    )
    assert (len(first.taken), len(again.known), len(again.refused)) == (1, 1, 0), first.says
    there = record_of(shown[0]).entries[0]
    assert "chard" in there.says


@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    form=st.sampled_from(["picked", "watered", "treated", "set-out", "sown", "counted", "done"]),
    fields=st.dictionaries(
        st.sampled_from(["planting", "weight", "bed", "amount", "how", "counts", "plants", "at"]),
        st.lists(st.text(max_size=12), max_size=3),
    ),
)
def test_any_words_are_taken_in_or_refused_plainly(
    shown: tuple[Path, Plan], form: str, fields: dict[str, list[str]]
) -> None:
    told = take_in(shown[0], read_parcel(parcel(entry(30, form, fields))), "metric")
    assert len(told.taken) + len(told.known) + len(told.refused) == 1


@pytest.mark.parametrize("text", ["", "  \n", "\ufeff"])
def test_an_empty_file_is_told_as_empty(text: str) -> None:
    with pytest.raises(InputError) as refused:
        read_parcel(text)
    (fault,) = refused.value.faults
    assert fault.what == "the file is empty" and fault.where == "file" and fault.remedy
    with pytest.raises(InputError) as broken:
        read_parcel("{")
    assert "empty" not in str(broken.value)
