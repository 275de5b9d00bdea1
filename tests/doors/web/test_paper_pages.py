"""Paper from the pages: opened by PDF, calendar and zip readers that are not ours."""

from __future__ import annotations

import io
import re
import zipfile
from pathlib import Path

import icalendar
import pytest
from pypdf import PdfReader
from starlette.testclient import TestClient

from lattermath.desk.bring_in import bring_in
from lattermath.desk.told_entries import record_of
from lattermath.sheets import paper_words as w

PDFS = {address for address, *_ in (*w.VISIT, *w.HANG, *w.SHOW)}


def text_of(data: bytes) -> str:
    return " ".join(page.extract_text() for page in PdfReader(io.BytesIO(data)).pages)


def test_the_page_leads_to_every_paper_and_nowhere_else(client: TestClient) -> None:
    page = client.get("/paper").text
    block = page[page.index('<main id="main">') : page.index("</main>")]
    links = set(re.findall(r'href="(/[^"]*)"', block)) - {"/paper"}  # a newer one of itself
    assert links == PDFS | {address for address, *_ in w.CARRY} | {"/typing"}


@pytest.mark.parametrize("address", sorted(PDFS))
def test_each_paper_opens(client: TestClient, address: str) -> None:
    answer = client.get(address)
    assert answer.status_code == 200, answer.text[:300]
    assert answer.headers["content-type"] == "application/pdf"
    assert len(text_of(answer.content).split()) > 20


def test_the_helper_is_asked_for_no_treatment(client: TestClient) -> None:
    text = text_of(client.get("/paper/helper.pdf").content)
    plan = client.app.state.house.keeper.wait(120).plan  # type: ignore[attr-defined]
    products = {step.says for one in plan.populations for step in one.course}
    assert products and not any(says in text for says in products)
    assert "can" in text and "running water" in text


def test_the_calendar_holds_the_visits(client: TestClient) -> None:
    answer = client.get("/visits.ics")
    read = icalendar.Calendar.from_ical(answer.text)
    days = {one["dtstart"].dt for one in read.walk("VEVENT")}
    plan = client.app.state.house.keeper.wait(120).plan  # type: ignore[attr-defined]
    assert plan.visits[0].date in {getattr(day, "date", lambda day=day: day)() for day in days}


def test_the_whole_record_is_taken_in_again(
    client: TestClient, folder: Path, tmp_path: Path
) -> None:
    with zipfile.ZipFile(io.BytesIO(client.get("/whole-record.zip").content)) as packed:
        assert packed.testzip() is None
        packed.extractall(tmp_path / "record")
    bring_in(tmp_path / "again", tmp_path / "record")
    before, after = record_of(folder), record_of(tmp_path / "again")
    assert [one.says for one in after.entries] == [one.says for one in before.entries]
    assert len(before.entries) > 10


def test_no_other_paper_is_known(client: TestClient) -> None:
    assert client.get("/paper/leaflet.pdf").status_code == 422
