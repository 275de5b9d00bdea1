"""A printed sheet, filled in by pencil, typed up on the page that mirrors it."""

from __future__ import annotations

import io
import re
from pathlib import Path

import pytest
from pypdf import PdfReader
from starlette.testclient import TestClient

from lattermath.desk.entry_ids import new_id
from lattermath.desk.log_done import log_done
from lattermath.desk.taking_back import take_back
from lattermath.desk.told_entries import ToldEntry, record_of
from lattermath.vocabulary.errors import NotThere
from lattermath.vocabulary.plan import Plan, Task


@pytest.fixture(scope="module")
def plan(client: TestClient) -> Plan:
    made: Plan = client.app.state.house.keeper.wait(120).plan  # type: ignore[attr-defined]
    return made


@pytest.fixture(scope="module")
def printed(client: TestClient) -> str:
    """The paper as the printer has it, its front first, which may go on overleaf."""
    made = PdfReader(io.BytesIO(client.get("/paper/sheet.pdf").content))
    return " ".join(" ".join(page.extract_text().split()) for page in made.pages)


@pytest.fixture(scope="module")
def mark(printed: str) -> str:
    found = re.search(r"sheet ([0-9a-f]{5})\b", printed)
    assert found
    return found[1]


def number(printed: str, words: str) -> int:
    """The number that the paper prints before a task."""
    found = re.search(rf"(\d+) (?:\d\d:\d\d )?(?:\d+ min )?{re.escape(words)}", printed)
    assert found, (words, printed)
    return int(found[1])


def first(plan: Plan, kind: str) -> Task:
    return next(task for task in plan.visits[0].tasks if task.kind == kind)


def heads(task: Task) -> str:
    return task.says.translate({ord(mark): "" for mark in "«»"}).split(",")[0]


def fields(page: str) -> dict[str, str]:
    """What the page's form sends of itself."""
    return {
        name: re.findall(rf'name="{name}" value="([^"]+)"', page)[0]
        for name in ("id", "token")
        if f'name="{name}"' in page
    }


def entries(folder: Path) -> tuple[ToldEntry, ...]:
    return record_of(folder).entries


def test_the_mirror_shows_the_paper_line_by_line(
    client: TestClient, plan: Plan, printed: str, mark: str
) -> None:
    answer = client.get("/typing", params={"mark": mark.upper()})
    assert answer.url.path == f"/typing/{mark}"
    lines = re.findall(r'class="boxed">(\d+)</span> ([^<]+?) *<', answer.text)
    assert [int(n) for n, _ in lines] == list(range(1, len(plan.visits[0].tasks) + 1))
    for n, says in lines:
        assert number(printed, says.split(",")[0]) == int(n)


def test_what_is_typed_becomes_entries_once_and_what_lacks_is_asked_for(
    client: TestClient, folder: Path, plan: Plan, printed: str, mark: str
) -> None:
    page = client.get(f"/typing/{mark}").text
    picks = [task for task in plan.visits[0].tasks if task.kind == "pick"]
    water, look = first(plan, "water"), first(plan, "look")
    w, p, q, k = (number(printed, heads(t)) for t in (water, picks[0], picks[1], look))
    typed = {
        **fields(page),
        "at": "2011-07-30 18:45",
        f"{w} how": "as-written",
        f"{w} Cans": "3",
        f"{p} Picked": "800g",  # a figure without a tick says that it was done
        f"{q} how": "as-written",  # a tick without a figure says too little
        f"{k} Leaves": "4",
        f"{k} seen 0": "0",
        "note": "the tap drips",
    }
    before = len(entries(folder))
    answer = client.post(f"/typing/{mark}", data=typed)
    assert answer.status_code == 422
    assert answer.text.count("A tick does not say enough") == 1
    told = entries(folder)[: len(entries(folder)) - before]
    poured = [one for one in told if one.kind == "watering"]
    cans = record_of(folder).plot.water.can_litres
    assert sum(float(re.findall(r"«([\d.]+) l", one.says)[0]) for one in poured) == 3 * cans
    assert [one.planting for one in told if one.kind == "picking"] == [picks[0].planting]
    (seen,) = [one for one in told if one.kind == "sighting"]
    assert seen.says.endswith("4 leaves looked at, 0 in all")  # so the look asks
    assert {one.task for one in told if one.task} == {water.id, picks[0].id, look.id}
    assert any("the tap drips" in one.says for one in told)
    assert all(f"{one.at:%H:%M}" >= "18:45" for one in told)
    # Sent again, with the line mended: only that line is new.
    answer = client.post(f"/typing/{mark}", data={**typed, f"{q} Picked": "14 pieces"})
    assert answer.status_code == 200
    assert len(entries(folder)) == before + len(told) + 2
    # Taken back as one press: the tick and its work.
    picking = next(one for one in entries(folder) if one.kind == "picking")
    take_back(folder, picking.id)
    assert not any(one.task == picks[1].id and one.may_undo for one in entries(folder))


def test_a_box_that_says_not_done_goes_with_no_figure(
    client: TestClient, folder: Path, plan: Plan, printed: str, mark: str
) -> None:
    care = first(plan, "care")
    k = number(printed, heads(care))
    page = client.get(f"/typing/{mark}").text
    held = {**fields(page), f"{k} how": "not-done"}
    assert client.post(f"/typing/{mark}", data=held).status_code == 200
    newest = entries(folder)[0]
    assert (newest.task, newest.how) == (care.id, "not done")
    pick = [task for task in plan.visits[0].tasks if task.kind == "pick"][-1]
    n = number(printed, heads(pick))
    wrong = {**fields(page), f"{n} how": "not-done", f"{n} Picked": "1"}
    answer = client.post(f"/typing/{mark}", data=wrong)
    assert answer.status_code == 422 and "box says not done" in answer.text
    assert entries(folder)[0] == newest


def test_plants_set_out_get_a_name_and_take_the_lot(
    client: TestClient, folder: Path, plan: Plan, printed: str, mark: str
) -> None:
    out = first(plan, "set out")
    assert out.goes_in is not None
    k = number(printed, heads(out))
    page = client.get(f"/typing/{mark}").text
    typed = {**fields(page), f"{k} Set out": "5", f"{k} how": "as-written"}
    assert client.post(f"/typing/{mark}", data=typed).status_code == 200
    new = [p for p in record_of(folder).plot.plantings if p.bed == out.goes_in.bed]
    assert [(one.crop, one.plants) for one in new if one.pulled is None] == [(out.goes_in.crop, 5)]


def test_an_unreadable_hour_or_page_writes_nothing(
    client: TestClient, folder: Path, mark: str
) -> None:
    before = entries(folder)
    own = fields(client.get(f"/typing/{mark}").text)
    assert client.post(f"/typing/{mark}", data={**own, "at": "noonish"}).status_code == 422
    assert client.post(f"/typing/{mark}", data={**own, "id": "x"}).status_code == 422
    assert client.get("/typing/zzzzz").status_code in (404, 422)
    assert entries(folder) == before


def test_the_command_line_reads_numbers_of_that_very_sheet(
    folder: Path, plan: Plan, printed: str, mark: str
) -> None:
    care = [task for task in plan.visits[0].tasks if task.kind == "care"][-1]
    events = log_done(folder, str(number(printed, heads(care))), "as written", sheet=mark)
    assert care.id in {getattr(event.payload, "task", "") for event in events}
    with pytest.raises(NotThere):
        log_done(folder, "1", "as written", sheet="00000")
    with pytest.raises(NotThere):
        log_done(folder, "99", "as written", sheet=mark)


def test_a_program_may_name_the_sheet_too(
    client: TestClient, folder: Path, plan: Plan, printed: str, mark: str
) -> None:
    care = [task for task in plan.visits[0].tasks if task.kind == "care"][-2]
    told = {"kind": "done", "task": str(number(printed, heads(care))), "sheet": mark}
    answer = client.post("/api/log", json={**told, "id": new_id(), "at": "2011-07-30 19:10"})
    assert answer.status_code == 201, answer.text
    assert record_of(folder).entries[0].task == care.id
    unknown = client.post("/api/log", json={**told, "id": new_id(), "sheet": "00000"})
    assert unknown.status_code == 404
