"""Plot, season, looking and shelf of the demonstration's plot, held against its plan."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

from starlette.testclient import TestClient

from lattermath.desk.look import look
from lattermath.desk.told_entries import record_of
from lattermath.vocabulary.plan import Plan

DAY = date(2011, 7, 30)


def plan_of(client: TestClient) -> Plan:
    plan = client.app.state.house.keeper.wait(120).plan  # type: ignore[attr-defined]
    assert isinstance(plan, Plan)
    return plan


def test_the_plot_page_shows_every_planting_with_its_verdict(client: TestClient) -> None:
    page, plan = client.get("/plot").text, plan_of(client)
    names = dict(plan.names)
    for verdict in plan.verdicts:
        assert names[verdict.planting] in page
    assert "Not to be picked before Sun 31 Jul 20:05" in page
    for population in plan.populations:
        for here in population.where:
            if here.seen and here.goes_to:
                assert f"May spread to {names[here.goes_to[0]]}" in page


def test_the_plot_leads_to_a_closer_look(client: TestClient) -> None:
    page = client.get("/plot").text
    links = re.findall(r'href="(/look\?planting=[^"]+)"', page)
    assert links
    for link in links:
        assert client.get(link).status_code == 200


def test_the_plot_is_drawn_with_a_name_for_those_who_do_not_see_it(client: TestClient) -> None:
    page = client.get("/plot").text
    assert re.search(r'<svg[^>]*role="img" aria-labelledby="plan-t plan-d">', page)
    assert '<title id="plan-t">The plot to scale, 8.6 by 6.4 metres' in page
    assert "url(" not in page


def test_the_season_page_draws_what_the_plan_holds(client: TestClient) -> None:
    page, plan = client.get("/season").text, plan_of(client)
    organisms = [one.organism.replace("_", "-") for one in plan.populations]
    keys = ["harvest", "days", "water", "warmth", *organisms]
    for key in keys:
        assert f'<section class="block" id="{key}">' in page
        assert f'aria-labelledby="{key}-t {key}-d"' in page
    assert page.partition("<h1")[2].count("<details") == len(keys)
    assert plan.harvest is not None
    assert "url(" not in page


def test_a_picture_and_its_numbers_are_files_of_their_own(client: TestClient) -> None:
    picture = client.get("/season/harvest.svg")
    assert picture.headers["content-type"] == "image/svg+xml"
    assert "default-src 'none'" in picture.headers["content-security-policy"]
    numbers = client.get("/season/harvest.csv")
    assert numbers.text.startswith("strip,what,from,to,low,middle,high,nothing done\r\n")
    for nowhere in ("/season/nothing.svg", "/season/harvest.png"):
        assert client.get(nowhere).status_code == 404


def test_the_harvest_of_the_plot_is_that_of_its_plantings(client: TestClient) -> None:
    """Where one alone bears in a week, it is its own; else its middle lies between their sums."""
    plan = plan_of(client)
    whole = plan.harvest
    assert whole is not None
    for week, span in zip(whole.weeks, whole.with_plan, strict=True):
        parts = [
            part
            for one in plan.outlook
            for monday, part in zip(one.weeks, one.with_plan, strict=True)
            if monday == week
        ]
        if len(parts) == 1:
            assert span == parts[0]
        low, high = sum(part.low for part in parts), sum(part.high for part in parts)
        assert low - 0.05 <= span.median <= high + 0.05
    assert len(whole.weeks) == max(len(one.weeks) for one in plan.outlook)


def answers(page: str) -> dict[str, str]:
    """What is pressed of each sign's three choices."""
    return dict(re.findall(r'name="sign\.([^"]+)" value="(\w*)" checked', page))


def test_looking_begins_with_where_and_offers_the_looks_of_the_visit(client: TestClient) -> None:
    page, plan = client.get("/look").text, plan_of(client)
    assert answers(page) == {}
    looks = [task for task in plan.visits[0].tasks if task.kind == "look"]
    assert looks
    for task in looks:
        assert f'href="/log/counted?task={task.id}"' in page


def test_a_planting_alone_is_asked_about_and_nothing_is_guessed(client: TestClient) -> None:
    page = client.get("/look", params={"planting": "aubergines"}).text
    assert "the most telling first" in page
    assert "May be behind it" not in page
    assert set(answers(page).values()) == {""}


def test_what_was_seen_is_weighed_as_on_the_command_line(client: TestClient, folder: Path) -> None:
    looked = look(folder, "melon", ("sticky leaves",), ("white specks fly up",), DAY)
    told = {"planting": "melon", "words": "sticky leaves", "sign.white_insect_cloud": "not"}
    page = client.get("/look", params=told).text
    first, chance = next(iter(looked.found.told.probabilities.items()))
    assert f"<b>{looked.tables.causes[first].name}</b>, about {round(100 * chance)} in 100" in page
    assert answers(page)["honeydew_sticky"] == "seen"
    assert answers(page)["white_insect_cloud"] == "not"
    next_look = looked.found.verdict.next_look
    assert next_look is not None
    assert answers(page)[next_look.sign.id] == ""  # it can be answered at once
    surer = client.get("/look", params={"planting": "melon", "words": "white specks fly up"}).text
    assert "/log/counted?planting=melon&amp;what=whitefly" in surer
    assert "nothing here is certain" in page


def test_what_was_counted_two_days_ago_is_not_asked_for_again(client: TestClient) -> None:
    told = {"planting": "aubergines", "words": "white specks fly up"}
    page = client.get("/look", params=told).text
    assert "Counted here on 28 Jul. The plan weighs a course" in page
    assert "/log/counted?planting=aubergines&amp;what=whitefly" not in page
    assert not {"shake_plant", "wings_lens", "scales_under_leaf"} & set(answers(page))


def test_not_looked_is_not_absent(client: TestClient) -> None:
    told = {"planting": "aubergines", "sign.white_insect_cloud": "seen"}
    left = client.get("/look", params={**told, "sign.honeydew_sticky": ""}).text
    bare = client.get("/look", params=told).text
    chances = re.compile(r"about (\d+) in 100")
    assert chances.findall(left) == chances.findall(bare)
    assert "honeydew_sticky" not in answers(left) or answers(left)["honeydew_sticky"] == ""


def test_words_that_mean_nothing_are_refused_beside_what_stands(client: TestClient) -> None:
    told = {"planting": "melon", "words": "<i>gloops", "sign.white_powder_top": "seen"}
    page = client.get("/look", params=told)
    assert page.status_code == 422
    assert "not known as something seen on a plant: &lt;i&gt;gloops" in page.text
    assert answers(page.text)["white_powder_top"] == "seen"
    assert 'aria-invalid="true"' in page.text


def test_looking_writes_nothing(client: TestClient, folder: Path) -> None:
    before = len(record_of(folder).entries)
    client.get("/look", params={"planting": "melon", "words": "white powder"})
    assert len(record_of(folder).entries) == before


def test_the_shelf_shows_each_label_in_its_own_words(client: TestClient, folder: Path) -> None:
    page, plot = client.get("/shelf").text, record_of(folder).plot
    assert plot.shelf
    for label in plot.shelf:
        assert f'id="shelf-{label.key}"' in page
        for line in (label.re_entry_hours, label.max_temperature_c):
            assert not line.words or f"“{line.words}”" in page
        assert not label.first_aid or label.first_aid in page
    assert "The label in your hand is the law" in page
    assert "Invented, with all its limits" in page


def test_the_shelf_says_no_where_the_record_or_the_label_does(client: TestClient) -> None:
    page = client.get("/shelf").text
    beans = page.partition('id="shelf-azadirachtin"')[2]
    assert re.search(r"<b>No</b> Pole beans\. Ask again Thu 4 Aug\.", beans)
    assert "Used Thu 28 Jul; again after 7 days." in beans
    assert "Not on its label, so never: Courgettes, Cucumbers, Cordon tomatoes" in beans
    assert re.search(r'Pole beans</th><td class="not">Sun 31 Jul 20:05', page)
    assert "<b>Yes</b>" not in page  # the hours are not asked here
