"""Labels, tags, the helper's card and the picking list: what they say, on paper and as a page."""

from __future__ import annotations

import html
import io
import re
import sys
from dataclasses import replace
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from pypdf import PdfReader

from lattermath.sheets import handout_words as h
from lattermath.sheets.handout_file import handout_page, handout_pdf
from lattermath.sheets.handouts import Handout, Kind, handout
from lattermath.vocabulary.errors import InputError
from lattermath.vocabulary.measure import measure
from lattermath.vocabulary.plan import (
    Absence,
    Clearance,
    Closed,
    CourseStep,
    Drink,
    Outlook,
    Plan,
    Span,
    StandbyAdvice,
    Task,
    Used,
)
from lattermath.vocabulary.ruling import Because

ZONE = ZoneInfo("America/Chicago")
SUNDAY = datetime(2025, 8, 3, 20, 0, tzinfo=ZONE)
TUESDAY = datetime(2025, 8, 5, 20, 20, tzinfo=ZONE)
WEDNESDAY, THURSDAY = TUESDAY + timedelta(days=1), SUNDAY + timedelta(days=4)
KINDS: tuple[Kind, ...] = ("labels", "tags", "helper", "picking")
BAR = Because("not known when it is clear", holds=False, who="our caution")


def shut(
    planting: str,
    pick: datetime | None,
    enter: datetime | None = SUNDAY,
    *,
    used: datetime = SUNDAY,
    product: str | None = "soft-soap",
    planned: bool = False,
) -> Closed:
    """Closed to pickers; to everybody too unless `enter` is the hour of the spraying."""
    entering = Clearance(planting, enter == SUNDAY, enter, (BAR,))
    uses = (Used(used, product, "soap"),)
    return Closed(planting, uses, Clearance(planting, False, pick, (BAR,)), entering, planned)


@pytest.fixture
def full(plan: Plan) -> Plan:
    """Beans closed, aubergines to be sprayed, basil under something unknown, two lots in cups."""
    cups = StandbyAdvice(
        "cucumber_slicing",
        "4 cucumbers: ready, coil about Sat 9 Aug; water twice a day",
        lot="cups-1",
        ready_from=date(2025, 8, 4),
        ready_to=date(2025, 8, 8),
        named="cucumbers",
        called="young cucumbers",
        plants=4,
        sown=date(2025, 7, 20),
        cup_ml=200.0,
        variety="an old one",
    )
    sow = replace(plan.standby[0], named="chard", ready_from=date(2025, 9, 3))
    picking = (*plan.picking, Clearance("basil", False, None, (BAR,)))
    return replace(
        plan,
        standby=(cups, sow),
        picking=picking,
        closed=(
            shut("beans", THURSDAY),
            shut("basil", None, None, product=None),
            shut("aubergines", WEDNESDAY, TUESDAY + timedelta(hours=4), used=TUESDAY, planned=True),
        ),
        names=(*plan.names, ("soft-soap", "Soft soap")),
    )


def made(kind: Kind, plan: Plan) -> Handout:
    found = handout(kind, plan)
    assert found is not None
    return found


def words_of(made: Handout) -> list[str]:
    """Every text of a handout that must stand on paper and page."""
    found = [made.title, made.lead, made.foot, *made.blanks]
    for card in made.cards:
        found += [card.title, card.sub, *card.says, *card.blanks]
        found += [text for line in (*card.bars, *card.lines) for text in (line.head, line.says)]
    for part in made.parts:
        found += [part.head, *part.says, *(text for row in part.rows for text in (row.says,))]
    return [text for text in found if text]


def plain(text: str) -> str:
    return " ".join(text.split())


def pdf_text(data: bytes) -> str:
    return plain(" ".join(page.extract_text() for page in PdfReader(io.BytesIO(data)).pages))


def page_text(text: str) -> str:
    body = text.split("<body>")[1]
    return plain(html.unescape(re.sub(r"<[^>]+>", " ", body)))


@pytest.mark.parametrize("kind", KINDS)
def test_paper_and_page_say_the_same(full: Plan, kind: Kind) -> None:
    one = made(kind, full)
    on_paper, on_page = pdf_text(handout_pdf(one, "a4")), page_text(handout_page(one, "a4"))
    for text in words_of(one):
        assert plain(text) in on_page
        assert set(re.findall(r"\w+", text)) <= set(re.findall(r"\w+", on_paper)), text


def test_a_tag_says_what_when_and_until_when(full: Plan) -> None:
    beans = made("tags", full).cards[0]
    assert beans.title == "The beans"
    assert [(bar.head, bar.says) for bar in beans.bars] == [
        ("Do not pick", "until Thu 7 Aug 20:00")
    ]
    assert beans.lines[0].says == "Sun 3 Aug 20:00, Soft soap."
    assert h.ONLY_PICKING in beans.says[0] and h.LABEL_IS_LAW in beans.says
    assert not beans.blanks


def test_what_nobody_knows_the_end_of_stays_shut(full: Plan) -> None:
    basil = made("tags", full).cards[1]
    assert [bar.says for bar in basil.bars] == [h.UNTIL_UNKNOWN] * 2
    assert "Only the holder takes the tag down." in basil.says[0]
    (pick,) = [part for part in made("picking", full).parts if part.bar]
    assert f"Basil: {h.NOT_KNOWN}." in [row.says for row in pick.rows]


def test_the_tag_of_a_planned_treatment_waits_for_it(full: Plan) -> None:
    coming = made("tags", full).cards[2]
    assert [bar.head for bar in coming.bars] == ["Do not pick", "Keep out"]
    assert coming.lines[0].head == h.TO_TREAT and "by Tue 5 Aug 20:20" in coming.lines[0].says
    assert coming.says[0].startswith("Hang this once it is treated, and only then.")
    assert coming.blanks == (h.DONE_BLANK,)


def test_a_helper_waters_and_picks_and_treats_nothing(full: Plan) -> None:
    """No treatment of the visit stands on the card, nor the name of a product."""
    card = made("helper", full)
    text = " ".join(words_of(card))
    for task in full.visits[0].tasks:
        shown = task.says.split(" «")[0][:18] in text
        assert shown == (task.kind in ("water", "pick")), task.says
    assert "soap" not in text.lower()
    never = next(part for part in card.parts if part.head == h.NEVER)
    assert never.bar and never.says == (h.NO_TREATMENT,)


def test_the_helper_is_told_what_is_shut_now_and_what_the_visit_shuts(full: Plan) -> None:
    card = {part.head: [row.says for row in part.rows] for part in made("helper", full).parts}
    assert card[h.DO_NOT] == [
        "The beans: not before Thu 7 Aug 20:00.",
        f"Basil: {h.NOT_KNOWN}.",
        "Aubergines: not before Wed 6 Aug 20:20, if a tag hangs there by then.",
    ]
    assert card[h.STAY_OUT] == [
        f"Basil: {h.NOT_KNOWN}.",
        "Aubergines: not before Wed 6 Aug 00:20, if a tag hangs there by then.",
    ]


def away(plan: Plan, last: date) -> Plan:
    """The holder is away from the Friday after; everything of the outlook bears then."""
    weeks = (date(2025, 8, 4), date(2025, 8, 11))
    kg = (Span(0.2, 0.5, 0.9, "kg"),) * 2
    bears = tuple(Outlook(k, weeks, kg, kg) for k in ("beans", "basil", "aubergines", "tomatoes"))
    saturday, monday = date(2025, 8, 9), date(2025, 8, 11)
    water = (Drink(saturday, "tomatoes", 25.0, "2 and a half cans"),)
    gone = Absence(
        date(2025, 8, 8),
        last,
        (saturday, monday),
        Span(0, 1, 2, "kg"),
        "",
        water,
        measure(10.0, "l"),
    )
    clear = Clearance("tomatoes", True, None)
    shown = [one for one in plan.picking if one.planting not in ("tomatoes", "aubergines")]
    open_now = Clearance("aubergines", True, None)
    return replace(plan, away=(gone,), outlook=bears, picking=(*shown, clear, open_now))


def test_while_the_holder_is_away_water_stands_by_day_and_picking_by_planting(full: Plan) -> None:
    """Soap of this visit is over by then; basil under something unknown never opens; no course
    names the tomatoes. The card still treats nothing."""
    plan = replace(away(full, date(2025, 8, 12)), populations=(), verdicts=())
    card = {part.head: part for part in made("helper", plan).parts}
    assert [row.says for row in card[h.WHILE_AWAY].rows] == [
        "Sat 9 Aug: Cordon tomatoes 2 and a half cans.",
        f"Mon 11 Aug: {h.AWAY_NO_WATER}.",
    ]
    assert any("one holds 10 litres" in says for says in card[h.WHILE_AWAY].says)
    assert [row.says for row in card[h.AWAY_PICK.format(away=h.WHILE_AWAY)].rows] == [
        f"The beans: {h.MAY_PICK}.",
        f"Aubergines: {h.MAY_PICK}.",
        f"Cordon tomatoes: {h.MAY_PICK}.",
    ]
    assert card[h.AWAY_NOT.format(away=h.WHILE_AWAY)].bar
    assert [row.says for row in card[h.AWAY_NOT.format(away=h.WHILE_AWAY)].rows] == [
        f"Basil: {h.NOT_KNOWN}."
    ]


def test_what_a_later_visit_will_treat_opens_by_its_tag_only(full: Plan) -> None:
    plan = replace(away(full, date(2025, 8, 12)), verdicts=())
    [population, *_] = plan.populations
    step = CourseStep(date(2025, 8, 7), "soap", "soft-soap", ("tomatoes",), "Soap")
    plan = replace(plan, populations=(replace(population, course=(step,)),))
    card = {part.head: part for part in made("helper", plan).parts}
    shut = [row.says for row in card[h.AWAY_NOT.format(away=h.WHILE_AWAY)].rows]
    assert f"Cordon tomatoes: {h.AFTER_TREATING.format(day='Thu 7 Aug')}." in shut


def test_hand_work_of_a_later_visit_bars_no_picking(full: Plan) -> None:
    """Beetles picked off by hand leave nothing on a plant."""
    plan = replace(away(full, date(2025, 8, 12)), verdicts=())
    [population, *_] = plan.populations
    step = CourseStep(date(2025, 8, 7), "hand_pick", None, ("tomatoes",), "By hand")
    plan = replace(plan, populations=(replace(population, course=(step,)),))
    card = {part.head: part for part in made("helper", plan).parts}
    may = [row.says for row in card[h.AWAY_PICK.format(away=h.WHILE_AWAY)].rows]
    assert f"Cordon tomatoes: {h.MAY_PICK}." in may


def test_every_absence_ahead_stands_on_the_card(full: Plan) -> None:
    plan = replace(away(full, date(2025, 8, 9)), populations=(), verdicts=())
    [first] = plan.away
    thursday = date(2025, 8, 14)
    water = (Drink(thursday, "tomatoes", 10.0, "1 can"),)
    later = replace(first, first=thursday, last=thursday, missed=(thursday,), water=water)
    card = made("helper", replace(plan, away=(first, later)))
    assert "Fri 8 Aug to Sat 9 Aug and Thu 14 Aug while I am away" in card.lead
    parts = {part.head: part for part in card.parts}
    spans = ("Fri 8 Aug to Sat 9 Aug", "Thu 14 Aug")
    heads = [h.WHILE_AWAY_THEN.format(span=span) for span in spans]
    assert [row.says for row in parts[heads[1]].rows] == ["Thu 14 Aug: Cordon tomatoes 1 can."]
    for head in heads:
        shut = [row.says for row in parts[h.AWAY_NOT.format(away=head)].rows]
        assert shut == [f"Basil: {h.NOT_KNOWN}."]


@pytest.mark.parametrize("kind", ["helper", "picking"])
def test_a_picking_of_what_is_still_shut_carries_its_hour(full: Plan, kind: Kind) -> None:
    """The visit comes after the hour; whoever comes earlier is told not to pick yet."""
    pick = Task("t-x", "pick", "pick", "The beans, about 300 g", 5, "beans")
    visit = replace(full.visits[1], tasks=(pick,))
    part = made(kind, replace(full, visits=(visit,))).parts[1 if kind == "helper" else 0]
    assert [row.says for row in part.rows] == [
        "The beans, about 300 g. Do not pick: not before Thu 7 Aug 20:00."
    ]


@pytest.mark.parametrize("kind", ["helper", "picking"])
def test_what_is_eaten_is_rinsed_and_what_is_bitter_spat_out(full: Plan, kind: Kind) -> None:
    text = " ".join(words_of(made(kind, full)))
    for says in (
        "under running water",
        "what animals have soiled",
        "bitter cucumber, courgette, squash or melon: spit it out and throw it away",
    ):
        assert says in text


def test_a_label_for_each_lot_and_one_to_write_for_each_sowing(full: Plan) -> None:
    cups, sow = made("labels", full).cards
    assert (cups.title, cups.sub) == ("Young cucumbers", "4 cucumbers, an old one")
    assert [(line.head, line.says) for line in cups.lines] == [
        ("Sown", "Sun 20 Jul, cups of 200 ml"),
        ("Ready", "Mon 4 Aug to Fri 8 Aug"),
        ("Care", "ready, coil about Sat 9 Aug; water twice a day."),
    ]
    assert (sow.title, sow.sub) == ("Chard", "8 cups of chard")
    assert sow.says == ("To sow by Thu 7 Aug",) and h.SOWN_BLANK in sow.blanks
    us = handout("labels", full, "us")
    assert us is not None and us.cards[0].lines[0].says == "Sun 20 Jul, cups of 6.76 fl oz"


def test_nothing_to_print_is_nothing(full: Plan) -> None:
    bare = replace(full, visits=(), closed=(), standby=())
    assert [handout(kind, bare) for kind in KINDS] == [None] * 4


@pytest.mark.parametrize("kind", KINDS)
def test_same_plan_same_bytes_tagged_and_of_its_paper(full: Plan, kind: Kind) -> None:
    one = made(kind, full)
    data = handout_pdf(one, "letter")
    assert data == handout_pdf(one, "letter") != handout_pdf(one, "a4")
    read = PdfReader(io.BytesIO(data))
    root = read.trailer["/Root"]
    assert root["/Lang"] == "en-US" and "/StructTreeRoot" in root
    assert [round(float(side)) for side in read.pages[0].mediabox[2:]] == [612, 792]
    assert len(read.pages) == 1


def test_no_card_is_cut_by_the_end_of_a_page(full: Plan) -> None:
    many = replace(full, closed=tuple(shut(f"planting-{n}", THURSDAY) for n in range(15)))
    pages = PdfReader(io.BytesIO(handout_pdf(made("tags", many), "letter"))).pages
    texts = [page.extract_text() for page in pages]
    assert sum(text.count("Do not pick") for text in texts) == 15
    for text in texts:
        assert text.count("Do not pick") == text.count("Treated") == text.count("is the law")


def test_words_of_the_grower_are_no_markup(full: Plan) -> None:
    name = '*x* #panic("no") <b> & $y$'
    named = replace(full, names=tuple((key, name) for key, _ in full.names))
    one = made("tags", named)
    assert name in pdf_text(handout_pdf(one, "a4"))
    page = handout_page(one, "a4")
    assert name in html.unescape(page) and name in page_text(page)
    assert "<b> &" not in page


def test_the_page_asks_for_nothing_from_elsewhere(full: Plan) -> None:
    for kind in KINDS:
        page = handout_page(made(kind, full), "letter")
        assert not re.search(r"https?:|url\(|<script| style=| src=", page)
        assert "@page { size: letter;" in page


def test_refusals_say_what_to_do(full: Plan, monkeypatch: pytest.MonkeyPatch) -> None:
    odd = made("helper", replace(full, plot="Plot 🍅"))
    with pytest.raises(InputError) as refusal:
        handout_pdf(odd, "a4")
    assert ".html" in refusal.value.faults[0].remedy
    assert "Plot 🍅" in page_text(handout_page(odd, "a4"))
    monkeypatch.setitem(sys.modules, "typst", None)
    with pytest.raises(InputError) as refusal:
        handout_pdf(odd, "a4")
    (fault,) = refusal.value.faults
    assert fault.where == "lattermath print" and "lattermath[print]" in fault.remedy
