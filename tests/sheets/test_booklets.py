"""Account and record on paper and as a page: the same words, the same bytes, tagged."""

from __future__ import annotations

import base64
import html
import io
import re
from dataclasses import replace
from datetime import date, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from PIL import Image
from pypdf import PdfReader

from lattermath.sheets.account import account_booklet, record_booklet
from lattermath.sheets.booklet import Booklet, booklet_page, booklet_pdf
from lattermath.vocabulary.account import (
    Account,
    Act,
    Limit,
    PickedOfAll,
    Reason,
    Story,
    Used,
    WeekPicked,
)

ZONE = ZoneInfo("Europe/London")
AT = datetime(2025, 8, 3, 20, 0, tzinfo=ZONE)
WEEK = WeekPicked(date(2025, 7, 28), 1.25, 0)


@pytest.fixture
def account() -> Account:
    spray = Act(
        9,
        AT,
        "treated",
        "Treated with *soft* soap, «1.5 l» of mix",
        (Limit("stay out until 23:00", "not known"), Limit("used Fri 1 Aug", "not kept")),
        Reason(AT, True, ("about 12 scales a leaf", "soap slows it")),
    )
    beans = Story("beans", "Beans", "12 beans, bed F", (spray,), (WEEK,), (date(2025, 8, 1),), 20.0)
    soap = Used("*soft* soap", "soap", "beans", 1, (("wait before picking", "1 day"),))
    return Account(
        "Plot 14",
        AT,
        date(2025, 7, 1),
        9,
        (beans,),
        (soap,),
        (PickedOfAll(WEEK, (("Beans", WEEK),)),),
        ("Beans, treated Sun 3 Aug: used Fri 1 Aug",),
        ("soap on Beans: no fewer after it",),
        (),
        "abcdef0123456789",
    )


def texts(made: Booklet) -> list[str]:
    found = [made.title, made.lead, *made.foot]
    for part in made.sections:
        found += [part.head, part.about, *part.says]
        found += [text for head, items, _ in part.lists for text in (head, *items)]
        found += [
            text for one in part.lines for text in (one.when, one.says, *one.under, *one.bars)
        ]
        found += [cell for row in (part.table.rows if part.table else ()) for cell in row]
    return [text for text in found if text]


def words(text: str) -> set[str]:
    return set(re.findall(r"\w+", text))


def pdf_of(made: Booklet) -> PdfReader:
    return PdfReader(io.BytesIO(booklet_pdf(made, "a4")))


def test_paper_and_page_say_all_of_it(account: Account) -> None:
    made = account_booklet(account)
    paper = words(" ".join(page.extract_text() for page in pdf_of(made).pages))
    page = html.unescape(re.sub(r"<[^>]+>", " ", booklet_page(made, "a4").split("<body>")[1]))
    for text in texts(made):
        assert words(text) <= paper, text
        assert " ".join(text.split()) in " ".join(page.split()), text
    assert "*soft* soap" in page, "words of the grower are no markup"


def test_it_is_tagged_and_has_the_hour_of_its_last_entry_only(account: Account) -> None:
    made = account_booklet(account)
    read = pdf_of(made)
    assert read.trailer["/Root"]["/MarkInfo"]["/Marked"]
    assert read.metadata is not None and read.metadata.title == made.title
    assert booklet_pdf(made, "a4") == booklet_pdf(made, "a4")
    later = replace(account, as_of=AT.replace(hour=21))
    assert booklet_pdf(account_booklet(later), "a4") != booklet_pdf(made, "a4")


def test_what_was_not_kept_stands_apart_and_says_so(account: Account) -> None:
    made = account_booklet(account)
    assert made.sections[0].lists[0] == (
        "Not kept:",
        ("Beans, treated Sun 3 Aug: used Fri 1 Aug.",),
        True,
    )
    (line,) = made.sections[-1].lines
    assert line.bars == ("Not kept: used Fri 1 Aug.",)
    assert line.under[0] == "Why: About 12 scales a leaf. Soap slows it. (plan of Sun 3 Aug)"
    assert line.says == "Treated with *soft* soap, 1.5 litres of mix."


def test_in_us_units(account: Account) -> None:
    made = account_booklet(account, "us")
    assert "Picked in all: 2.8 lb." in made.sections[0].says
    assert made.sections[-1].lines[0].says.endswith("0.4 gal of mix.")


def test_the_record_goes_by_day(account: Account) -> None:
    entries = [
        (AT.replace(day=1, hour=9), "«2 kg» picked", "entry 1"),
        (AT, "hoed", "entry 2, taken back by entry 3"),
    ]
    made = record_booklet("Plot 14", entries)
    assert [part.head for part in made.sections] == ["Friday 1 August 2025", "Sunday 3 August 2025"]
    assert made.sections[1].lines[0].says == "hoed (entry 2, taken back by entry 3)"
    assert len(pdf_of(made).pages) == 1


def test_it_is_set_in_our_own_face_and_what_that_lacks_in_another(account: Account) -> None:
    page = pdf_of(account_booklet(replace(account, plot="Żółw → 14"))).pages[0]
    faces = {str(font["/BaseFont"]) for font in page["/Resources"]["/Font"].values()}
    assert any("FiraSans" in face for face in faces) and any("Fira" not in face for face in faces)
    assert "Żółw" in page.extract_text()


def test_photos_stand_on_page_and_paper(account: Account, tmp_path: Path) -> None:
    picture = io.BytesIO()
    Image.new("RGB", (60, 40), "green").save(picture, "JPEG")
    (tmp_path / "a.jpg").write_bytes(picture.getvalue())
    (story,) = account.stories
    shown = replace(story, acts=(replace(story.acts[0], photos=("a.jpg",)),))
    made = account_booklet(replace(account, stories=(shown,)))
    page = booklet_page(made, "a4", tmp_path)
    held = base64.b64encode(picture.getvalue()).decode()
    assert f'src="data:image/jpeg;base64,{held}" alt="Photo kept with entry 9' in page
    paper = PdfReader(io.BytesIO(booklet_pdf(made, "a4", tmp_path)))
    assert sum(len(one.images) for one in paper.pages) == 1
