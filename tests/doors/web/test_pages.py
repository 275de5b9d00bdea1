"""The pages of the demonstration's plot, asked as a browser without scripts would."""

from __future__ import annotations

import html
import io
import json
import re
from pathlib import Path

import pytest
from PIL import Image
from starlette.testclient import TestClient

from lattermath.desk import clock
from lattermath.desk.known_words import known_words
from lattermath.desk.told_entries import record_of
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.doors.asking import Units
from lattermath.doors.web.last_values import all_offers
from lattermath.doors.web.log_fields import Filled
from lattermath.doors.web.log_forms import BY_KEY, FORMS, Asked
from lattermath.record.ids import uuid7
from lattermath.record.read_back import effective
from lattermath.sheets import page_words as p
from lattermath.vocabulary.events import Care, Picking, Watering

SPOTS = {"planting": "melon", "what": "powdery mildew", "percent": "15", "surface": "top"}


def entries(folder: Path) -> int:
    return len(record_of(folder).entries)


def new_id(number: int) -> str:
    return uuid7(1_311_000_000_000 + number, bytes(10))


@pytest.mark.parametrize("address", [address for address, _, _ in p.PAGES])
def test_every_page_of_the_contents_stands_and_runs_nothing_inline(
    client: TestClient, address: str
) -> None:
    page = client.get(address)
    assert page.status_code == 200
    assert "default-src 'none'" in page.headers["content-security-policy"]
    assert "unsafe" not in page.headers["content-security-policy"]
    assert not re.search(r"<script(?![^>]*\bsrc=)", page.text)
    assert not re.search(r"\s(style|on[a-z]+)=", page.text)
    assert not re.search(r'(src|href)="(https?:)?//', page.text)
    assert page.text.count("<h1") == 1
    assert f'href="{address}" aria-current="page"' in page.text


def test_the_visit_shows_what_the_sheet_shows(client: TestClient, folder: Path) -> None:
    page = client.get("/").text
    assert "Saturday 30 July" in page
    assert "Short of time?" in page
    assert re.search(r"Not Pole beans:.*Clear Sun 31 Jul 20:05", page, re.DOTALL)


def test_beside_spots_stand_leaves_to_judge_by(client: TestClient) -> None:
    page = client.get("/log/spots").text
    assert page.count("<clipPath") == 10 and ">25 %</text>" in page
    assert "Hold a leaf beside these" in page
    assert "<clipPath" not in client.get("/log/counted").text


def test_a_card_is_read_on_a_page(client: TestClient, folder: Path) -> None:
    told = {"planting": "melon", "what": "whitefly", "counts": "14,9", "days": "7"}
    before = entries(folder)
    assert client.post("/log/card", data={**told, "id": new_id(41)}).status_code == 200
    assert entries(folder) == before + 1
    refused = client.post("/log/card", data={**told, "days": "0", "id": new_id(42)})
    assert refused.status_code == 422 and entries(folder) == before + 1


def test_an_entry_arrives_once_however_often_it_is_sent(client: TestClient, folder: Path) -> None:
    before = entries(folder)
    told = {**SPOTS, "id": new_id(1)}
    for _ in range(3):
        answer = client.post("/log/spots", data=told, follow_redirects=False)
        assert answer.status_code == 303
        assert answer.headers["location"].startswith("/log?said=")
    assert entries(folder) == before + 1
    other = client.post("/log/spots", data={**told, "percent": "40"})
    assert other.status_code == 422
    assert "Another entry came under this id" in other.text
    assert entries(folder) == before + 1


def test_what_cannot_be_is_not_logged_and_what_was_written_stays(
    client: TestClient, folder: Path
) -> None:
    before = entries(folder)
    answer = client.post("/log/spots", data={**SPOTS, "percent": "150", "id": new_id(2)})
    assert answer.status_code == 422
    assert "This number is out of range" in answer.text
    assert 'value="150"' in answer.text
    assert re.search(r'value="melon" checked', answer.text)
    assert entries(folder) == before


def test_a_grower_s_words_are_never_markup(client: TestClient) -> None:
    told = {**SPOTS, "what": '<b onclick="x">', "id": new_id(3)}
    page = client.post("/log/spots", data=told).text
    assert "<b onclick" not in page
    assert "&lt;b onclick" in page


def test_a_box_pressed_twice_is_ticked_once(client: TestClient, folder: Path) -> None:
    task = _task(client, "treat", "pull")
    before = entries(folder)
    for _ in range(2):
        answer = client.post("/done", data={"task": task}, follow_redirects=False)
        assert answer.headers["location"] == f"/#task-{task}"
    kinds = [one.kind for one in record_of(folder).entries[: entries(folder) - before]]
    assert kinds[0] == "task done"
    assert kinds[1] in ("treatment", "pulling")
    assert len(kinds) == 2


def test_a_tick_that_does_not_say_enough_opens_its_form_filled_in(
    client: TestClient, folder: Path
) -> None:
    task = _task(client, "pick")
    before = entries(folder)
    answer = client.post("/done", data={"task": task}, follow_redirects=False)
    assert answer.headers["location"] == f"/log/picked?task={task}"
    chosen = re.search(
        r'name="planting" value="(\w+)" checked', client.get(answer.headers["location"]).text
    )
    assert chosen is not None
    told = {"planting": chosen[1], "weight": "0.4", "task": task, "id": new_id(4)}
    client.post("/log/picked", data=told)
    assert entries(folder) == before + 2
    assert record_of(folder).entries[0].task == task


def test_undo_takes_back_and_erases_nothing(client: TestClient, folder: Path) -> None:
    client.post("/log/spots", data={**SPOTS, "id": new_id(5)})
    newest = record_of(folder).entries[0]
    for _ in range(2):
        back = {"entry": newest.serial, "id": new_id(6), "back": "/log"}
        assert client.post("/undo", data=back, follow_redirects=False).status_code == 303
    taken, entry, *_ = record_of(folder).entries
    assert taken.kind == "withdrawal"
    assert entry.serial == newest.serial
    assert entry.gone_by == taken.serial
    assert f"taken back by entry {taken.serial}" in client.get("/record").text


@pytest.mark.parametrize(
    ("headers", "status"),
    [
        ({"sec-fetch-site": "cross-site"}, 403),
        ({"sec-fetch-site": "same-site"}, 403),
        ({"origin": "http://elsewhere.example"}, 403),
        ({"host": "elsewhere.example"}, 421),
        ({"host": "localhost.elsewhere.example"}, 421),
        ({"content-length": "99999999"}, 413),
        ({"sec-fetch-site": "same-origin"}, 403),  # a page, but none of ours: it has no token
        ({"origin": "http://localhost:8714"}, 403),
        ({"origin": "http://localhost:8714", "x-lattermath-token": "0" * 64}, 403),
    ],
)
def test_other_sites_change_nothing(
    client: TestClient, folder: Path, headers: dict[str, str], status: int
) -> None:
    before = entries(folder)
    assert client.post("/log/spots", data={}, headers=headers).status_code == status
    assert entries(folder) == before


def test_a_page_of_ours_brings_its_token_and_is_let_in(client: TestClient) -> None:
    browser = {"origin": "http://localhost:8714", "sec-fetch-site": "same-origin"}
    token = client.get("/token").json()["token"]
    field = re.search(r'name="token" value="([0-9a-f]{64})"', client.get("/log/spots").text)
    assert field is not None and field[1] == token
    answer = client.post("/log/spots", data={"token": token}, headers=browser)
    assert answer.status_code == 422  # let in, and the form is empty
    answer = client.post("/take-in", content="x", headers={**browser, "x-lattermath-token": token})
    assert answer.status_code == 422


def test_every_form_that_changes_something_brings_the_token(client: TestClient) -> None:
    found = 0
    for address in (*(address for address, _, _ in p.PAGES), "/log/spots", "/log/picked"):
        for form in re.findall(r'<form method="post".*?</form>', client.get(address).text, re.S):
            assert form.count('name="token"') == 1, (address, form)
            found += 1
    assert found > 10


def test_what_a_phone_keeps_is_there_and_nothing_is_forgotten(client: TestClient) -> None:
    worker = client.get("/installed-worker.js")
    assert worker.headers["content-type"].startswith("text/javascript")
    assert worker.headers["cache-control"] == "no-store"  # so that a new build is noticed
    told = json.loads(worker.text.splitlines()[0].removeprefix("const told = ").rstrip(";"))
    kept = {*told["parts"], *told["pages"]}
    assert all(client.get(address).status_code == 200 for address in kept)
    assert {address for address, _, _ in p.PAGES} <= set(told["pages"])
    for address in told["pages"]:
        asked = re.findall(r'(?:src|href)="(/static/[^"]+)"', client.get(address).text)
        assert set(asked) <= kept | {"/static/icon-180.png"}, address


def test_the_manifest_names_icons_that_are_there(client: TestClient) -> None:
    answer = client.get("/manifest.webmanifest")
    assert answer.headers["content-type"] == "application/manifest+json"
    assert answer.json()["start_url"] == "/" and len(answer.json()["icons"]) == 4
    assert all(client.get(one["src"]).status_code == 200 for one in answer.json()["icons"])


def test_a_page_that_is_not_there_says_so(client: TestClient) -> None:
    for address in ("/nothing", "/log/nothing"):
        page = client.get(address)
        assert page.status_code in (404, 422)
        assert 'role="alert"' in page.text


def _task(client: TestClient, *kinds: str) -> str:
    """The first task of the visit of one of these kinds."""
    plan = client.app.state.house.keeper.wait(120).plan  # type: ignore[attr-defined]
    return next(task.id for task in plan.visits[0].tasks if task.kind in kinds)


def test_the_visit_is_taken_away_and_its_entries_sent_home(
    client: TestClient, folder: Path
) -> None:
    page = client.get("/take-away.html")
    policy = page.headers["content-security-policy"]
    assert "unsafe" not in policy
    assert "connect-src http://localhost:8714" in policy
    before = entries(folder)
    carried = {
        "format": 1,
        "plot": "Plot 14",
        "clock": clock.now().isoformat(),
        "entries": [
            {
                "id": new_id(9),
                "at": "2011-07-30 19:30",
                "form": "spots",
                "fields": {name: [words] for name, words in SPOTS.items()},
            }
        ],
    }
    for known in (False, True):
        answer = client.post("/take-in", content=json.dumps(carried)).json()
        assert answer["known" if known else "taken"] == [new_id(9)]
    pasted = client.post("/take", data={"pasted": json.dumps(carried)})
    assert "1 known already" in pasted.text
    assert client.post("/take", data={"pasted": "nonsense"}).status_code == 422
    assert entries(folder) == before + 1


@pytest.mark.parametrize("name", ["account", "record"])
def test_account_and_record_come_as_paper(client: TestClient, name: str) -> None:
    answer = client.get(f"/{name}.pdf")
    assert answer.status_code == 200 and answer.content.startswith(b"%PDF-")
    assert answer.headers["content-type"] == "application/pdf"


def test_the_account_is_one_file_to_give_away(client: TestClient) -> None:
    alone = client.get("/account.html")
    assert "attachment" in alone.headers["content-disposition"]
    assert "Mildew salt (invented), on melons" in alone.text
    assert not re.search(r'(src|href)="', alone.text), "it needs no other file"
    assert "Treated with Mildew salt" in client.get("/account").text


def test_a_photo_sent_with_an_entry_is_shown_and_kept_once(
    client: TestClient, folder: Path
) -> None:
    picture = io.BytesIO()
    exif = Image.Exif()
    exif.get_ifd(0x8825)[29] = "2011:07:30"
    Image.new("RGB", (80, 60), "green").save(picture, "JPEG", exif=exif)
    told, before = {**SPOTS, "id": new_id(90)}, entries(folder)
    for _ in range(2):
        sent = {"photo": ("spots.jpg", picture.getvalue(), "image/jpeg")}
        answer = client.post("/log/spots", data=told, files=sent, follow_redirects=False)
        assert answer.status_code == 303
    assert entries(folder) == before + 2
    page = client.get("/record").text
    (name,) = set(re.findall(r'<img src="/photo/(\w{64}\.jpg)\?small"', page))
    shown = client.get(f"/photo/{name}")
    assert shown.headers["content-type"] == "image/jpeg" and b"Exif" not in shown.content
    assert f'src="/photo/{name}"' in client.get("/account").text
    assert "data:image/jpeg;base64," in client.get("/account.html").text
    assert b"/Image" in client.get("/account.pdf").content
    for wrong in ("../plot.toml", "a" * 64 + ".jpg", "..%2f..%2fplot.toml"):
        assert client.get(f"/photo/{wrong}").status_code == 404


def test_a_photo_goes_in_as_a_browser_sends_it(client: TestClient, folder: Path) -> None:
    """With the marks of a browser, so that the gate asks for the form's own token."""
    picture = io.BytesIO()
    Image.new("RGB", (80, 60), "red").save(picture, "JPEG")
    page = client.get("/log/spots").text
    assert 'accept="image/jpeg,image/png"' in page
    token = re.search(r'name="token" value="(\w+)"', page)
    marks, before = {"origin": "http://localhost:8714"}, entries(folder)
    for told, expected in ((token and token[1], 303), ("0" * 64, 403), (None, 403)):
        form = ({"token": told} if told else {}) | {**SPOTS, "id": new_id(92)}
        sent = {"photo": ("spots.jpg", picture.getvalue(), "image/jpeg")}
        answer = client.post(
            "/log/spots", data=form, files=sent, headers=marks, follow_redirects=False
        )
        assert answer.status_code == expected
    assert entries(folder) == before + 2


@pytest.mark.parametrize("units", ["metric", "us"])
def test_a_blank_names_the_unit_that_a_bare_number_is_read_in(folder: Path, units: Units) -> None:
    record = record_of(folder)
    asked = Asked(record.plot, units, {})
    for key, blank, fields in (
        ("watered", "amount", [("bed", record.plot.beds[0].key)]),
        ("treated", "litres", [("planting", "melon"), ("with", "water jet")]),
    ):
        (hint,) = [one.hint for one in BY_KEY[key].blanks(asked) if one.name == blank]
        made = BY_KEY[key].read(Filled([*fields, (blank, "1")]), asked)
        assert made.litres == pytest.approx(1 if units == "metric" else 3.785, abs=1e-3)
        assert ("litres" if units == "metric" else "gallons") in hint.lower()


def test_a_heic_picture_is_refused_on_the_form(client: TestClient, folder: Path) -> None:
    before = entries(folder)
    sent = {"photo": ("IMG.HEIC", b"\0\0\0\x18ftypheic\0\0\0\0mif1heic", "image/heic")}
    answer = client.post("/log/spots", data={**SPOTS, "id": new_id(93)}, files=sent)
    assert answer.status_code == 422 and "write JPEG" in answer.text
    assert entries(folder) == before


def test_what_is_no_picture_is_refused_and_nothing_is_logged(
    client: TestClient, folder: Path
) -> None:
    before = entries(folder)
    sent = {"photo": ("spots.jpg", b"no picture at all", "image/jpeg")}
    answer = client.post("/log/spots", data={**SPOTS, "id": new_id(91)}, files=sent)
    assert answer.status_code == 422 and "This is no picture: spots.jpg" in answer.text
    assert entries(folder) == before


def test_what_has_arrived_is_told_to_whoever_knows_the_journal(
    client: TestClient, folder: Path
) -> None:
    """Also to a page of a file, which has no origin; without the journal's id nobody learns more
    than that there is no such page.
    """
    told = record_of(folder).entries
    known, first, strange = told[3].id, told[-1].id, uuid7(5, bytes(10))
    from_file = {"origin": "null", "sec-fetch-site": "cross-site"}
    asked = {"journal": first, "ids": f"{known},{strange},,{'x' * 500}"}
    answer = client.get("/arrived", params=asked, headers=from_file)
    assert answer.json() == {"known": [known]}
    assert answer.headers["access-control-allow-origin"] == "null"
    for journal in ("", strange, known):
        answer = client.get("/arrived", params={**asked, "journal": journal}, headers=from_file)
        assert answer.status_code == 404 and known not in answer.text
        assert "access-control-allow-origin" not in answer.headers
    beside = client.get("/hand-over")
    assert beside.headers["cross-origin-opener-policy"] == "unsafe-none"
    assert client.get("/take").headers["cross-origin-opener-policy"] == "same-origin"


@pytest.mark.parametrize(
    ("kind", "form", "blanks"),
    [
        ("pick", "picked", {"weight": "0.3"}),
        ("water", "watered", {"bed": "A", "amount": "20"}),
        ("care", "care", {"work": "tie", "planting": "tomatoes"}),
    ],
)
def test_done_otherwise_leads_to_the_form_of_the_job_and_back_to_it(
    client: TestClient, folder: Path, kind: str, form: str, blanks: dict[str, str]
) -> None:
    """The planting stands there; then the visit says the entry at that job, and takes it back."""
    client.app.state.house.keeper.wait(60)  # type: ignore[attr-defined]
    plan = client.app.state.house.keeper.look().plan  # type: ignore[attr-defined]
    done = {one.task for one in record_of(folder).entries if one.may_undo}
    tasks = [t for t in plan.visits[0].tasks if t.kind == kind and t.id not in done]
    task = next((t for t in tasks if t.planting), tasks[0])
    address = f"/log/{form}?task={task.id}&how=otherwise"
    assert html.escape(address) in client.get("/").text
    shown = client.get(address).text
    if task.planting and kind != "water":
        assert re.search(rf'value="{task.planting}" checked', shown)
        blanks = {**blanks, "planting": task.planting}
    assert "It was something else" in shown
    how = re.search(r'name="how" value="([^"]*)"', shown)
    told = {
        **blanks,
        "task": task.id,
        "how": how[1] if how else "",
        "id": new_id(900 + ord(kind[0])),
    }
    answer = client.post(f"/log/{form}", data=told, follow_redirects=False)
    assert re.fullmatch(rf"/\?said=\d+#task-{task.id}", answer.headers["location"])
    newest = record_of(folder).entries[0]
    assert (newest.task, newest.how) == (task.id, "otherwise")
    visit = client.get(answer.headers["location"]).text
    row = visit.partition(f'id="task-{task.id}"')[2] or visit
    assert p.LOGGED in row.partition("</li>")[0] or p.LOGGED in visit
    before = len(record_of(folder).entries)
    entry = re.search(r'name="entry" value="(\d+)"', row)
    assert entry
    back = {"entry": entry[1], "id": new_id(1100 + ord(kind[0])), "back": "/", "task": task.id}
    answer = client.post("/undo", data=back, follow_redirects=False)
    assert answer.headers["location"] == f"/#task-{task.id}"
    assert len(record_of(folder).entries) == before + 2  # the work and its tick go together
    assert not any(one.task == task.id and one.may_undo for one in record_of(folder).entries)


@pytest.mark.parametrize("units", ["metric", "us"])
def test_what_was_done_last_is_offered_whole_and_what_was_seen_is_not(
    folder: Path, units: Units
) -> None:
    """Read back by its own form, an offer is the entry it came from, in either units."""
    record = record_of(folder)
    asked = Asked(record.plot, units, known_words(folder))
    offered = all_offers(FORMS, folder, asked)
    newest: dict[str, object] = {}
    with open_journal(folder_at(folder)) as journal:
        for event in effective(journal.events()):
            if isinstance(event.payload, (Picking, Watering, Care)):
                place = getattr(event.payload, "bed", None) or event.payload.planting
                newest[f"{event.kind} {place}"] = event.payload
    for key, kind in (("picked", "picking"), ("watered", "watering"), ("care", "care")):
        assert offered[key]
        for one in offered[key]:
            filled = Filled((name, word) for name, words in one.fields.items() for word in words)
            read = BY_KEY[key].read(filled, asked)
            place = getattr(read, "bed", None) or getattr(read, "planting", "")
            was = newest[f"{kind} {place}"]
            for name in read.__slots__:
                mine, its = getattr(read, name), getattr(was, name)
                assert mine == (pytest.approx(its, abs=0.02) if isinstance(its, float) else its)
    assert offered["counted"] and offered["treated"] and not offered["none-seen"]
    for key in ("counted", "shaken", "card", "spots", "seen"):
        names = {name for one in offered[key] for name in one.fields}
        assert not names & {"counts", "level", "percent", "note", "total"}


def test_an_offer_fills_its_form_without_a_script_too(client: TestClient) -> None:
    page = client.get("/log/picked").text
    found = re.search(r'href="(/log/picked\?[^"]+)" data-fill="([^"]+)"', page)
    assert found
    fields = json.loads(html.unescape(found[2]))
    filled = client.get(html.unescape(found[1])).text
    assert f'value="{fields["planting"][0]}" checked' in filled
    assert f'name="weight" value="{fields["weight"][0]}"' in filled
    assert "As last time" not in client.get("/log/none-seen").text
