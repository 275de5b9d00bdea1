"""Plot, season, looking and shelf of the demonstration's plot, held against its plan."""

from __future__ import annotations

import re

from starlette.testclient import TestClient

from lattermath.vocabulary.plan import Plan


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


def test_the_plot_is_drawn_with_a_name_for_those_who_do_not_see_it(client: TestClient) -> None:
    page = client.get("/plot").text
    assert re.search(r'<svg[^>]*role="img" aria-labelledby="plan-t plan-d">', page)
    assert '<title id="plan-t">The plot to scale, 8.6 by 6.4 metres' in page
    assert "url(" not in page


def test_the_season_page_draws_what_the_plan_holds(client: TestClient) -> None:
    page, plan = client.get("/season").text, plan_of(client)
    keys = ["harvest", "days", *(one.organism.replace("_", "-") for one in plan.populations)]
    for key in keys:
        assert f'<section class="block" id="{key}">' in page
        assert f'aria-labelledby="{key}-t {key}-d"' in page
    assert page.count("<details") == len(keys)
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
