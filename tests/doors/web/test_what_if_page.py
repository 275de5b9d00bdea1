"""The page that supposes: two plans, their difference, and not a word in the record."""

from __future__ import annotations

from pathlib import Path

from starlette.testclient import TestClient

from lattermath.desk.told_entries import record_of
from lattermath.sheets import page_words as p


def test_a_supposition_is_answered_and_nothing_is_written(client: TestClient, folder: Path) -> None:
    before = len(record_of(folder).entries)
    page = client.get("/what-if", params={"minutes": "40"})
    for _ in range(5):
        if p.WHAT_IF_WAITS not in page.text:
            break
        page = client.get("/what-if", params={"minutes": "40"})
    assert page.status_code == 200
    assert "Minutes of work at a visit: " in page.text and "minutes then: -" in page.text
    assert 'name="minutes" value="40"' in page.text
    assert len(record_of(folder).entries) == before


def test_what_cannot_be_read_is_said_and_the_form_kept(client: TestClient) -> None:
    for field, value in (
        ("minutes", "many"), ("cans", "-1"), ("days", "someday"), ("away_from", "2011-02-30"),
        ("frost", "-99"),
    ):  # fmt: skip
        page = client.get("/what-if", params={field: value})
        assert page.status_code == 422, field
        assert f'name="{field}" value="{value}"' in page.text
