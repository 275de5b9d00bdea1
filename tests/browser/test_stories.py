"""What a grower does with the pages, done in a real browser."""

from __future__ import annotations

import base64
import json
import re
import shutil
import subprocess
import sys
import time
import unicodedata
import urllib.request
from collections.abc import Callable
from io import BytesIO
from pathlib import Path

from PIL import Image
from playwright.sync_api import BrowserContext, expect
from pypdf import PdfReader
from tests.browser.watching import Watched, newest, watch

from lattermath.desk.told_entries import record_of

README = Path(__file__).resolve().parents[2] / "README.md"
MINIMAL = re.compile(r"<!-- checked: minimal plot -->\n```toml\n(.*?)```", re.DOTALL)
# Of five minutes the machine may take so much; the rest is for writing eight blanks.
MACHINE_SECONDS = 30


def entries(folder: Path) -> int:
    return len(record_of(folder).entries)


def unspaced(text: str) -> str:
    """Letters only, joined letters parted: how lines break on paper does not matter."""
    return re.sub(r"\s+", "", unicodedata.normalize("NFKC", text))


def test_from_a_first_start_to_a_first_sheet(
    tmp_path: Path, serving: Callable[[Path, str], str], watched: Watched
) -> None:
    """The plot of the README, started, served, and its visit on the screen without a reload."""
    found = MINIMAL.search(README.read_text("utf-8"))
    assert found
    (tmp_path / "plot.toml").write_text(found[1], "utf-8")
    start = [sys.executable, "-m", "lattermath", "start", str(tmp_path)]
    subprocess.run(start, check=True, capture_output=True)
    page = watched.page
    page.goto(serving(tmp_path, "2026-07-26"))
    expect(page.locator(".task").first).to_be_visible(timeout=60_000)  # comes by itself
    expect(page.locator("main")).to_contain_text("rough")
    expect(page.locator("#waiting, #fresh")).to_be_hidden()
    assert not watched.complaints and not watched.left_the_machine()


def test_from_an_empty_folder_to_a_first_sheet(
    tmp_path: Path,
    serving: Callable[[Path, str], str],
    watched: Watched,
    record_property: Callable[[str, object], None],
) -> None:
    """Eight blanks and one choice, no word of a plot file, and the sheet comes by itself."""
    page = watched.page
    begun = time.perf_counter()
    page.goto(serving(tmp_path, "2026-07-26"))
    served = time.perf_counter() - begun
    expect(page).to_have_url(re.compile("/set-up$"))
    told = {
        "Latitude and longitude": "51.5, -0.6",
        "It usually comes": "25 October",
        "Sun 26 Jul today high": "26",
        "Sun 26 Jul today low": "14",
    }
    for label, words in told.items():
        page.get_by_role("textbox", name=re.compile(f"^{label}", re.IGNORECASE)).fill(words)
    assert page.get_by_label("Clocks there").input_value() == "America/Denver", "the phone's own"
    page.get_by_label("Clocks there").fill("Europe/London")
    first = page.locator("fieldset.planting").first
    first.get_by_label("Crop").fill("courgettes")
    first.get_by_label("About when").fill("early June")
    page.get_by_role("button", name="Make my first sheet").click()
    expect(page.locator(".slip")).to_contain_text("Choose one")  # it was not said how it began
    assert page.get_by_label("Latitude and longitude").input_value() == "51.5, -0.6"
    page.locator("fieldset.planting").first.get_by_label("set out as plants").check()
    begun = time.perf_counter()
    page.get_by_role("button", name="Make my first sheet").click()
    page.wait_for_url(re.compile("/$"))
    started = time.perf_counter() - begun
    expect(page.locator(".task").first).to_be_visible(timeout=60_000)  # comes by itself
    planned = time.perf_counter() - begun
    expect(page.locator("main")).to_contain_text("rough")
    for name, seconds in (("served", served), ("started", started), ("planned", planned)):
        record_property(name, seconds)
    assert served + planned < MACHINE_SECONDS, (served, started, planned)
    assert not [one for one in watched.complaints if "422" not in one]
    assert not watched.left_the_machine()


def test_beds_are_moved_by_pointer_and_by_keys_and_by_numbers(
    tmp_path: Path, serving: Callable[[Path, str], str], watched: Watched
) -> None:
    """A bed dragged two metres east lies two metres further east, in the file too."""
    found = MINIMAL.search(README.read_text("utf-8"))
    assert found
    beds = '# mine\n[[bed]]\nname = "A"\nlength_m = 3\nwidth_m = 1 # measured\n'
    (tmp_path / "plot.toml").write_text(f"{found[1]}\n{beds}", "utf-8")
    start = [sys.executable, "-m", "lattermath", "start", str(tmp_path)]
    subprocess.run(start, check=True, capture_output=True)
    page = watched.page
    page.goto(f"{serving(tmp_path, '2026-07-26')}/set-up/beds")
    bed = page.get_by_role("button", name="A", exact=True)
    page.locator("summary", has_text="A").first.click()
    east, north = page.get_by_label("East of the corner peg"), page.get_by_label("North of it")
    metre = page.evaluate("document.getElementById('beds-plan').getScreenCTM().a")

    def middle() -> tuple[float, float]:
        """Of the bed, from the corner of the page, however far it is scrolled."""
        box = bed.bounding_box()
        assert box
        scrolled = page.evaluate("window.scrollY")
        return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2 + scrolled

    bed.scroll_into_view_if_needed()
    begun, scrolled = middle(), page.evaluate("window.scrollY")
    page.mouse.move(begun[0], begun[1] - scrolled)
    page.mouse.down()
    page.mouse.move(begun[0] + 2 * metre, begun[1] - scrolled, steps=5)
    page.mouse.up()
    assert abs(float(east.first.input_value()) - 2) < 0.11 and float(north.first.input_value()) == 0
    east.first.fill("2")
    bed.focus()
    page.keyboard.press("Shift+ArrowUp")
    page.keyboard.press("ArrowLeft")
    assert (east.first.input_value(), north.first.input_value()) == ("1.9", "1")
    moved = middle()
    assert abs(moved[0] - begun[0] - 1.9 * metre) < 1 and abs(begun[1] - moved[1] - metre) < 1
    page.get_by_role("button", name="Write it down").click()
    expect(page.locator(".settles[role=status]")).to_be_visible()
    text = (tmp_path / "plot.toml").read_text("utf-8")
    assert "x_m = 1.9\ny_m = 1\n" in text and "# mine" in text and "1 # measured" in text
    assert not watched.complaints and not watched.left_the_machine()


def test_a_count_is_logged_the_plan_answers_and_undo_takes_it_back(
    home: str, folder: Path, watched: Watched
) -> None:
    page, before = watched.page, entries(folder)
    newest(home, record_of(folder).entries[0].serial)  # what other stories wrote is planned for
    page.goto(f"{home}/season")
    whitefly = page.get_by_text(re.compile("whitefly", re.IGNORECASE)).count()
    page.goto(f"{home}/log")
    page.get_by_role("link", name=re.compile("^Counted")).click()
    page.get_by_label("Melons", exact=True).check()
    page.get_by_label(re.compile("^What")).fill("whitefly")
    for leaf, number in enumerate(("40", "35", "52")):
        page.locator("input[name=counts]").nth(leaf).fill(number)
    page.get_by_role("button", name="Log it").click()
    expect(page.locator(".settles")).to_contain_text("whitefly")
    assert entries(folder) == before + 1
    page.goto(home)
    expect(page.locator("#fresh [data-done]")).to_be_visible(timeout=60_000)
    page.locator("#fresh").get_by_role("link", name="Show it").click()
    expect(page.locator("#fresh")).to_have_count(0)
    page.goto(f"{home}/season")
    assert page.get_by_text(re.compile("whitefly", re.IGNORECASE)).count() > whitefly
    page.goto(f"{home}/log")
    page.get_by_role("button", name=re.compile("^Undo: .*whitefly", re.IGNORECASE)).first.click()
    taken, entry = record_of(folder).entries[:2]
    assert taken.kind == "withdrawal" and entry.gone_by == taken.serial
    newest(home, taken.serial)
    page.goto(f"{home}/season")
    assert page.get_by_text(re.compile("whitefly", re.IGNORECASE)).count() == whitefly
    assert not watched.complaints and not watched.left_the_machine()


def test_the_take_away_page_works_without_signal_and_comes_home_once(
    home: str, folder: Path, phone: BrowserContext, tmp_path: Path
) -> None:
    """Saved, opened as a file, entered into offline, closed, opened again, handed back twice."""
    first, file, before = watch(phone.new_page()), tmp_path / "visit.html", entries(folder)
    first.page.goto(f"{home}/take")
    with first.page.expect_download() as saved:
        first.page.get_by_role("link", name="Save").click()
    saved.value.save_as(file)
    phone.set_offline(True)
    page = first.page
    page.goto(file.as_uri())
    form = page.locator("#form-picked")
    form.locator("summary").click()
    form.get_by_label("Courgettes", exact=True).check()
    form.get_by_label(re.compile("^Weight")).fill("0.7")
    form.get_by_role("button", name="Log it").click()
    expect(page.locator("[data-logged]")).to_be_in_viewport()
    expect(page.locator("[data-logged]")).to_contain_text("Courgettes, 0.7")
    expect(page.locator("#waiting")).to_contain_text("1 entry waits")
    page.reload()
    form.locator("summary").click()
    form.get_by_label("Courgettes", exact=True).check()
    form.get_by_label(re.compile("^Or how many")).fill("2")
    form.get_by_role("button", name="Log it").click()
    page.close()
    second = watch(phone.new_page())
    page = second.page
    page.goto(file.as_uri())
    expect(page.locator("#waiting")).to_contain_text("2 entries wait")
    page.get_by_role("button", name="Send home").click()
    expect(page.locator("[data-said]")).to_contain_text("Home does not answer")
    expect(page.locator("#waiting")).to_contain_text("2 entries wait")
    page.get_by_role("button", name="Copy as text").click()
    carried = page.locator("[data-text] textarea").input_value()
    assert entries(folder) == before
    phone.set_offline(False)
    for says in ("2 taken in", "2 known already"):
        page.goto(f"{home}/take")
        page.get_by_label("Paste the entries").fill(carried)
        page.get_by_role("button", name="Take them in").click()
        expect(page.locator(".settles")).to_contain_text(says)
    assert entries(folder) == before + 2
    later, earlier = record_of(folder).entries[:2]
    assert "0.7 kg" in earlier.says and earlier.at <= later.at  # in order
    assert not [one for one in first.complaints if "Failed to load" not in one]
    assert not first.left_the_machine() and not second.left_the_machine()


def test_a_photo_of_the_take_away_page_is_made_small_kept_and_comes_home(
    home: str, folder: Path, phone: BrowserContext, tmp_path: Path
) -> None:
    """As a phone gives it: large, lying on its side, with the maker's name in it."""
    picture, exif, file = BytesIO(), Image.Exif(), tmp_path / "visit.html"
    exif[0x010F], exif[0x0112] = "SecretCam", 6  # turned a quarter
    Image.effect_noise((2400, 1800), 90).convert("RGB").save(picture, "JPEG", exif=exif, quality=95)
    with urllib.request.urlopen(f"{home}/take-away.html") as answer:
        file.write_bytes(answer.read())
    seen, before = watch(phone.new_page()), entries(folder)
    phone.set_offline(True)
    page = seen.page
    page.goto(file.as_uri())
    form = page.locator("#form-seen")
    form.locator("summary").click()
    form.get_by_label("Melons", exact=True).check()
    form.get_by_label(re.compile("^What")).fill("strange holes")
    blank = form.get_by_label(re.compile("^Photo"))
    blank.set_input_files(
        {"name": "IMG.HEIC", "mimeType": "image/heic", "buffer": b"\0\0\0\x18ftypheic"}
    )
    form.get_by_role("button", name="Log it").click()
    expect(form.get_by_role("alert")).to_contain_text("Choose a JPEG or PNG")
    given = {"name": "holes.jpg", "mimeType": "image/jpeg", "buffer": picture.getvalue()}
    blank.set_input_files(given)
    form.get_by_role("button", name="Log it").click()
    expect(page.locator("#waiting")).to_contain_text("1 entry waits")
    page.reload()
    expect(page.locator("#waiting")).to_contain_text("1 entry waits")
    expect(page.locator("[data-list]")).to_contain_text("with a photo")
    page.get_by_role("button", name="Copy as text").click()
    expect(page.locator("[data-said]")).to_contain_text("What has a photo was left out")
    with page.expect_download() as saved:
        page.get_by_role("button", name="Save as a file").click()
    (carried,) = json.loads(Path(saved.value.path()).read_text("utf-8"))["entries"]
    sent = base64.b64decode(carried["photo"])
    assert len(sent) < 525_000 and b"SecretCam" not in sent
    assert Image.open(BytesIO(sent)).size == (960, 1280), "upright"
    there = Path(shutil.copytree(folder, tmp_path / "plot"))
    command = [sys.executable, "-m", "lattermath", "take-in", str(saved.value.path())]
    subprocess.run([*command, "--plot", str(there)], check=True, capture_output=True)
    assert entries(there) == before + 2
    shown = next(one.photos for one in record_of(there).entries if one.photos)
    with Image.open(there / "photos" / shown[0]) as kept:
        assert kept.size == (960, 1280)
    assert not seen.complaints and not seen.left_the_machine()


def test_the_take_away_page_opened_at_home_sends_what_waited(
    home: str, folder: Path, phone: BrowserContext
) -> None:
    page, before = watch(phone.new_page()).page, entries(folder)
    page.goto(f"{home}/take-away.html")
    phone.set_offline(True)
    page.locator("#form-visit summary").click()
    page.locator("#form-visit").get_by_label("Minutes").fill("35")
    page.locator("#form-visit").get_by_role("button", name="Log it").click()
    page.get_by_role("button", name="Send home").click()
    expect(page.locator("[data-said]")).to_contain_text("Home does not answer")
    phone.set_offline(False)  # and it goes by itself
    expect(page.locator("[data-said]")).to_contain_text("1 taken in")
    expect(page.locator("#waiting")).to_be_hidden()
    assert entries(folder) == before + 1


def test_printed_the_visit_is_the_visit_and_nothing_else(home: str, watched: Watched) -> None:
    page = watched.page
    page.goto(home)
    jobs = [job.strip() for job in page.locator(".task h3").all_text_contents()]
    assert jobs
    page.emulate_media(media="print")
    for gone in (".footbar", ".contents", ".undo", ".lightswitch", ".skip", ".screen-only"):
        assert all(not part.is_visible() for part in page.locator(gone).all()), gone
    paper = PdfReader(BytesIO(page.pdf(prefer_css_page_size=True)))
    told = unspaced("".join(sheet.extract_text() for sheet in paper.pages))
    missing = [job for job in jobs if unspaced(job) not in told]
    assert not missing, told
    assert "Shortcuts" not in told and "writedownwhatwasseen" not in told


def test_a_photo_goes_with_an_entry_and_is_seen_in_record_and_account(
    home: str, watched: Watched
) -> None:
    """Under the pages' own policy the picture is drawn, and in the face that the pages bring."""
    picture, page = BytesIO(), watched.page
    Image.new("RGB", (300, 200), "green").save(picture, "PNG")
    page.goto(f"{home}/log/seen")
    page.get_by_label("Melons", exact=True).check()
    page.get_by_label(re.compile("^What")).fill("strange rings")
    photo = {"name": "rings.png", "mimeType": "image/png", "buffer": picture.getvalue()}
    page.get_by_label(re.compile("^Photo")).set_input_files(photo)
    page.get_by_role("button", name="Log it").click()
    expect(page.locator(".settles")).to_contain_text("strange rings")
    for address in ("/record", "/account"):
        page.goto(f"{home}{address}")
        photos = page.get_by_role("img", name=re.compile("^Photo kept with entry"))
        for n in range(photos.count()):
            photos.nth(n).scroll_into_view_if_needed()  # other stories keep photos too
        mine = page.get_by_text("strange rings")
        expect(mine.first).to_be_visible()
        widths = photos.evaluate_all(
            "all => Promise.all(all.map(one => one.decode().then(() => one.naturalWidth)))"
        )
        assert 300 in widths
    assert page.evaluate("document.fonts.check('600 18px \"Fira Sans\"')")
    faces = [answer.url for answer in watched.answers if answer.url.endswith(".woff2")]
    assert faces and not watched.complaints and not watched.left_the_machine()
