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
