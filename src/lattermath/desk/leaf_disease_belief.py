"""What is probably true today of each leaf disease on the plantings it spreads between."""

from __future__ import annotations

from collections.abc import Sequence

from lattermath.belief.leaf_covers import GROWTH, LeafApplication, leaf_reach
from lattermath.belief.leaf_disease import LeafBelief, LeafSky, believe_leaf_disease
from lattermath.belief.leaf_disease_effect import LeafEffect, leaf_effect
from lattermath.belief.leaf_disease_sightings import LeafStand, leaf_stands, read_leaf_sighting
from lattermath.desk.deposit_weather import deposit_paces
from lattermath.desk.kept_work import digest_of, sampled_before
from lattermath.desk.leaf_nights import LeafNights, leaf_nights
from lattermath.desk.season_facts import SeasonFacts
from lattermath.desk.tubers_wait import blighted
from lattermath.science.leaf_age import spared_by_age
from lattermath.vocabulary.events import Sighting, Treatment
from lattermath.vocabulary.plot import Planting

# Diseases with a rate, a latent period and the weather they need in the tables. The others are
# answered by planning/disease_answers.py and said not to be reckoned.
FOLLOWED = (
    "cucurbit_powdery_mildew",
    "cucurbit_downy_mildew",
    "early_blight_tomato",
    "septoria_leaf_spot_tomato",
    "late_blight",
    "bean_rust",
)


def followed_diseases(facts: SeasonFacts) -> list[LeafBelief]:
    """Every disease that something was seen of and that the tables have figures for."""
    seen = {event.payload.what for event in facts.events if isinstance(event.payload, Sighting)}
    there = [one for one in FOLLOWED if one in seen]
    wet = any(facts.tables.diseases[one].spread_by_wet_leaves for one in there)
    nights = leaf_nights(facts) if wet else None
    found = [believe_leaf_disease_here(facts, one, nights) for one in there]
    return [belief for belief in found if belief is not None]


def believe_leaf_disease_here(
    facts: SeasonFacts, disease_id: str, nights: LeafNights | None, *, learns: bool = True
) -> LeafBelief | None:
    """Weigh everything seen and done; None where nothing seen stands on a planting.

    nights : wetness, which a disease that needs none can do without.
    learns : False leaves the unknowns as they were before anything was seen, for comparison.
    """
    disease = facts.tables.diseases[disease_id]
    stands = leaf_stands(facts.plot, disease, facts.tables.crosswalk)
    seen = [
        read
        for event in facts.events
        if isinstance(event.payload, Sighting) and event.payload.what == disease_id
        if (
            read := read_leaf_sighting(
                event.payload, facts.day_index(event.day), event.serial, stands
            )
        )
        is not None
    ]
    if not seen:
        return None
    sky = LeafSky(
        facts.t_min,
        facts.t_max,
        facts.rain,
        facts.future_of_draw,
        facts.today_index,
        tuple(nights.on(stand.key) for stand in stands)
        if nights is not None and disease.spread_by_wet_leaves
        else None,
        deposit_paces(facts),
    )
    applied, methods = _applications(facts, disease_id, stands), list(effects(facts, disease_id))
    past = facts.today_index + 1
    key = digest_of(
        disease_id, facts.tables.digest, stands, seen, applied, methods, facts.today_index,
        facts.t_min[:1, :past], facts.t_max[:1, :past], facts.rain[:1, :past], sky.nights,
        {driver: speed[:past] for driver, speed in sky.pace.items()}, _spared(facts, disease_id),
        facts.dice(f"mildew|{disease_id}|key").integers(0, 2**62, 4), learns,
    )  # fmt: skip
    return believe_leaf_disease(
        disease,
        stands,
        sky,
        seen,
        applied,
        methods,
        facts.dice,
        lambda work: sampled_before(key, work),
        _spared(facts, disease_id),
        learns=learns,
    )


def _spared(facts: SeasonFacts, disease_id: str) -> float:
    """Share of the leaf that is too young or too old to take a disease."""
    age = facts.tables.leaf_ages.get(disease_id)
    if age is None:
        return 0.0
    names = ("young_days", "young_takes", "old_days", "old_takes")
    told = {name: figure.value for name in names if (figure := getattr(age, name)) is not None}
    return spared_by_age(GROWTH, **told)


def effects(facts: SeasonFacts, disease_id: str) -> dict[str, LeafEffect]:
    """What each method of the tables does to the disease, by method."""
    words = facts.tables.crosswalk.targets.get(disease_id, ())
    found = {key: leaf_effect(method, words) for key, method in facts.tables.methods.items()}
    return {key: effect for key, effect in found.items() if effect is not None}


def _applications(
    facts: SeasonFacts, disease_id: str, stands: tuple[LeafStand, ...]
) -> list[LeafApplication]:
    """The journal's treatments of these plantings that do anything to the disease."""
    known, keys = effects(facts, disease_id), [stand.key for stand in stands]
    found = []
    for event in facts.events:
        done = event.payload
        if not isinstance(done, Treatment) or done.method not in known:
            continue
        places = tuple(keys.index(key) for key in done.plantings if key in keys)
        if places:
            effect = known[done.method]
            reach = leaf_reach(effect, done.surfaces, done.coverage)
            day = facts.day_index(event.day)
            found.append(LeafApplication(day, effect, places, reach, event.serial))
    return found


def haulm_off(facts: SeasonFacts, disease: str, plantings: Sequence[Planting]) -> frozenset[int]:
    """The places among plantings whose haulm is off for this disease, or comes off tonight."""
    if disease != "late_blight":
        return frozenset()
    ill = blighted(facts)
    return frozenset(n for n, p in enumerate(plantings) if p.crop == "potato" and p.key in ill)
