"""The plantings of a cluster that may be looked at, with what is known of a look at each."""

from __future__ import annotations

from lattermath.desk.did_it_work import counts_awaited
from lattermath.desk.insect_cluster import Searched, suspects
from lattermath.desk.insect_sprayings import only_if
from lattermath.desk.pest_parts import last_cards
from lattermath.planning import courses
from lattermath.planning.watch import Watch


def watches_of(searched: Searched) -> list[Watch]:
    """Every own planting of the cluster: suspects, and those beside what is treated first."""
    course, found = searched.cluster, searched.found
    beside = courses.look_beside(course.belief, found) if found.steps else ()
    treated = {
        course.belief.stands[p].key: course.rulings.visits[step.visit]
        for step in reversed(found.steps)
        for p in step.places
    }
    likely = suspects(course.facts, course.belief) | course.sick
    waiting = counts_awaited(course.facts, course.belief)
    cards = last_cards(course.facts, course.belief.organism)
    watches = []
    for place, stand in enumerate(course.belief.stands):
        if not stand.treatable:
            continue
        day = treated.get(stand.key)
        waits = day is not None and bool(only_if(course, place, day))
        watches.append(
            Watch(
                course.belief.organism,
                course.name,
                course.rulings.plantings[place],
                course.looked.get(stand.key),
                suspected=stand.key in likely,
                found=stand.key in course.sick,
                neighbour_of_sick=stand.key in beside,
                decides="the treatment" if waits else "",
                decides_on=day if waits else None,
                flowers=courses.tapped_on(course.belief, stand),
                card=cards.get(stand.key),
                awaited=waiting.get(stand.key, ()),
            )
        )
    return watches
