"""Several treatments of one evening: each is ruled on at the very hour at which it is laid out.

The hours of every task are worked out here from its own minutes, and what its reasons say is read
as words, as on the back of a sheet.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from typing import Any

from tests.planning.label_cases import CAUTIONS, TUESDAY, ZURICH, evening, product, request

from lattermath.planning.evening_sprays import Hours, Sprays, evening_sprays, laid_at_their_hours
from lattermath.planning.label_limits import may_treat
from lattermath.planning.treating import Spraying
from lattermath.planning.treatment_request import Surroundings, applied_to
from lattermath.planning.visit_plan import Ingredients, visit_plan
from lattermath.vocabulary.evening import Applied
from lattermath.vocabulary.plan import Task, VisitPlan
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.ruling import Ruling

SOAP = product()
NIGHT = evening(TUESDAY)
BEANS = replace(request().planting, key="beans", name="Beans", bed="A")
PEAS = replace(BEANS, key="peas", name="Peas", bed="B")


def spray(planting: Planting, minutes: float, *, sure: bool) -> Spraying:
    only_if = "" if sure else "the look finds them"
    return Spraying("soap", SOAP.key, "aphid", "aphids", planting, minutes, (), ("top",), "Soap",
                    sprayed=True, only_if=only_if, sure=sure)  # fmt: skip


@dataclass
class Rules:
    """Permits that rule by label, hour and what was done before."""

    round: Surroundings = field(default_factory=lambda: Surroundings(False, False, ()))
    asked: list[datetime] = field(default_factory=list)

    def rule(self, planting: Planting, _m: str, _p: str | None, night: Any, minutes: float,
             planned: Sequence[Applied] = (), *, starts: datetime, **_: Any) -> Ruling:  # fmt: skip
        made = request(SOAP, planting=planting, starts=starts, evening=night, minutes=minutes)
        made = replace(made, applied=tuple(planned), surroundings=self.round)
        self.asked.append(starts)
        return may_treat(made, CAUTIONS)

    def applied(
        self, planting: Planting, method: str, product: str | None, at: datetime
    ) -> Applied:
        return applied_to(planting, method, product, SOAP, at)

    def runs_dry(self, *_: Any) -> bool:
        return False


def laid(
    wanted: Sequence[Spraying], *others: Task, rules: Any = None, minutes: int = 300
) -> tuple[VisitPlan, Sprays]:
    asked = rules or Rules()

    def rule(left: Sequence[Spraying], hours: Hours | None) -> Sprays:
        return evening_sprays(asked, left, NIGHT, [], {}, [NIGHT], hours)

    def lay(sprays: Sprays) -> VisitPlan:
        found = Ingredients((*sprays.tasks, *others), tuple(sprays.refused))
        return visit_plan(NIGHT, minutes, found)

    return laid_at_their_hours(wanted, rule, lay)


def clocks(task: Task) -> dict[str, str]:
    """What the reasons say of hours."""
    words = "; ".join(reason.says for reason in task.because)
    found = {}
    for what in ("done by", "safe to pick from", "keep out of the bed until"):
        said = re.search(rf"{what} (?:\w+ \d+ \w+ )?(\d\d:\d\d)", words)
        found[what] = said[1] if said else ""
    return found


def agrees(visit: VisitPlan) -> bool:
    """Soap: dry after 4 h, and by its label clear a day later."""
    for task in visit.tasks:
        if task.kind != "treat":
            continue
        assert task.ends is not None and task.starts is not None
        assert task.ends - task.starts == timedelta(minutes=task.minutes)
        out = (task.ends + timedelta(hours=4)).astimezone(ZURICH)
        own = {
            "done by": f"{task.ends:%H:%M}",
            "safe to pick from": f"{task.ends:%H:%M}",
            "keep out of the bed until": f"{out:%H:%M}",
        }
        if clocks(task) != own:
            return False
    return True


def test_two_sprays_of_unequal_minutes_whichever_was_wanted_first() -> None:
    """The must goes first, the one that waits for a look after it; neither keeps another's hour."""
    one, other = spray(BEANS, 7, sure=False), spray(PEAS, 14, sure=True)
    for wanted in ((one, other), (other, one)):
        visit, _ = laid(wanted)
        assert [task.planting for task in visit.tasks] == ["peas", "beans"]
        assert agrees(visit)


def test_what_else_is_a_last_job_moves_the_hours_of_a_spray() -> None:
    """A cover that is put on as the last job too: the sprays are over sooner than by themselves."""
    cover = Task("fleece", "cover", "last job", "Fleece.", 9.0, must=True)
    visit, sprays = laid((spray(BEANS, 7, sure=False), spray(PEAS, 14, sure=False)), cover)
    assert [task.kind for task in visit.tasks] == ["cover", "treat", "treat"]
    assert agrees(visit)
    assert sprays.hours == {t.id: t.starts for t in visit.tasks if t.kind == "treat"}


def test_what_found_no_place_leaves_its_minutes_to_the_others() -> None:
    """No minutes are asked for: what waits for a look is left out, and the must ends the visit."""
    visit, _ = laid((spray(BEANS, 7, sure=False), spray(PEAS, 14, sure=True)), minutes=14)
    assert [task.planting for task in visit.tasks] == ["peas"]
    assert visit.tasks[0].ends == min(NIGHT.leave, NIGHT.civil_dusk or NIGHT.leave)
    assert agrees(visit)


def test_what_found_no_place_does_not_unsettle_the_hours_of_the_rest() -> None:
    """Six equal jobs by hand in the time of three: three are laid out, and none is refused."""
    handwork = [
        replace(spray(replace(BEANS, key=key, bed=key), 10, sure=True), sprayed=False)
        for key in "abcdef"
    ]
    for wanted in (handwork, [*handwork[3:], *handwork[:3]]):
        waiting = [replace(one, sure=False, only_if="the look finds them") for one in wanted]
        for asked in (wanted, waiting):
            visit, sprays = laid(asked, minutes=30)
            assert sprays.refused == [] and len(sprays.tasks) == 6
            assert [task.planting for task in visit.tasks] == [
                one.planting.key for one in asked[:3]
            ]


def test_what_is_refused_at_its_own_hour_is_left_out_with_its_reason() -> None:
    """Alone it ends at dusk; before an hour's last work it would stand before flowers close."""
    cover = Task("bring in", "cover", "last job", "Bring in.", 60.0)
    open_flowers = Rules(Surroundings(True, False, ()))
    visit, sprays = laid((spray(BEANS, 15, sure=True),), cover, rules=open_flowers)
    assert [at.strftime("%H:%M") for at in open_flowers.asked] == ["20:55", "19:55"]
    assert [task.id for task in visit.tasks] == ["bring in"] and sprays.tasks == []
    (left,) = visit.not_today
    assert left.planting == "beans"
    assert "for the bees' sake in the evening window, 20:08" in left.because[0].says
