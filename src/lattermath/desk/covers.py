"""Mesh and fleece on this plot: what is covered now, what must come off, and who is kept out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lattermath.belief.clusters import ClusterBelief
from lattermath.belief.keeping_out import Spread, covered, kept_out
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning import course_task, courses
from lattermath.planning.garden_limits import FLEECE_OFF_ABOVE_C
from lattermath.planning.means import MESH, NEEDS_BEES, cover_of
from lattermath.vocabulary.events import Care, Treatment

MESH_ONCE_MIN, MESH_MIN_M2 = 8.0, 1.0  # judgement: fetching, laying, burying the edges
OFF = ("uncover", "mesh off", "fleece off", "cover off", "take off mesh", "take off fleece")


def covered_now(facts: SeasonFacts) -> frozenset[str]:
    """Plantings under a cover: laid as a treatment, and not since logged as taken off."""
    found: set[str] = set()
    for event in facts.events:
        done = event.payload
        if isinstance(done, Treatment) and done.method == MESH:
            found.update(done.plantings)
        elif isinstance(done, Care) and done.work.strip().casefold() in OFF:
            found.discard(done.planting)
    return frozenset(found)


def keeps_out(facts: SeasonFacts, organism: str) -> tuple[Spread, str] | None:
    """What the cover on hand keeps out of an organism; None where there is none, or it does not."""
    cover = cover_of(facts.plot)
    words = facts.tables.crosswalk.targets.get(organism, ())
    return cover and kept_out(facts.tables.methods[MESH], organism, words, cover)


def under_cover(
    facts: SeasonFacts, belief: ClusterBelief, places: Sequence[int] | None = None
) -> ClusterBelief:
    """The cluster with these places covered from today on; without places, those covered now."""
    keeps = keeps_out(facts, belief.organism)
    if places is None:
        now = covered_now(facts)
        places = [n for n, stand in enumerate(belief.stands) if stand.key in now]
    if keeps is None or not places:
        return belief
    return covered(belief, places, keeps[0], belief.unknowns.quantiles[MESH])


def to_uncover(facts: SeasonFacts) -> Iterator[str]:
    """What must come off: for the bees, and fleece in heat."""
    hot = facts.evenings[0].hottest_next_two_days_c if facts.evenings else None
    fleece, now = cover_of(facts.plot) == "fleece", covered_now(facts)
    for planting in facts.plot.standing():
        if planting.key not in now:
            continue
        if planting.crop in NEEDS_BEES and planting.in_bloom is not False:
            yield f"{planting.name}: take the cover off, bees must reach its flowers."
        elif fleece and (hot is None or hot > FLEECE_OFF_ABOVE_C):
            yield f"{planting.name}: take the fleece off, plants cook under it in heat."


def mesh_candidate(facts: SeasonFacts) -> course_task.Candidate:
    """The cover on hand as a treatment is asked for."""
    cover = cover_of(facts.plot) or "mesh"
    return course_task.Candidate(
        MESH, MESH, None, f"Lay the {cover} over, edges buried", courses.no_effect(MESH),
        ("whole",), courses.HAND_COVERAGE, MESH_MIN_M2, MESH_ONCE_MIN,
    )  # fmt: skip
