"""What is probably true today of one insect on the plantings that it connects."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import timedelta
from functools import partial

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.cluster_plantings import Stand
from lattermath.belief.cluster_runs import ClusterSky
from lattermath.belief.cluster_sightings import Seen, read_sighting
from lattermath.belief.clusters import LOOK_BACK_DAYS, ClusterBelief, believe_cluster
from lattermath.belief.life_history import LifeHistory, arriving, life_of, still_lay
from lattermath.belief.treatment_kills import Application
from lattermath.desk.deposit_weather import deposit_paces
from lattermath.desk.enemies_seen import all_applied
from lattermath.desk.homes_of_insects import homes_of, worked
from lattermath.desk.kept_work import KeptParticles, digest_of
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning.means import MESH, on_hand
from lattermath.vocabulary.events import Sighting

FloatArray = NDArray[np.float64]

STRANGER = 0.05  # judgement: how much rarer an insect is in the region it is not known from
TRIED = ("prune_leaves", "water_jet", "hand_pick")  # of them the sampler learns from every count
HALF_YEAR, YEAR = 182.6, 365.25
# The newest belief of each organism under the digest of all it was made from; nothing changes it.
_HELD: dict[str, tuple[str, ClusterBelief]] = {}


def believe_insects(
    facts: SeasonFacts, organism: str, *, learns: bool = True, held: bool = False
) -> ClusterBelief | None:
    """Weigh everything seen and done; None where nothing seen stands on a planting.

    learns : False leaves the unknowns as they were before anything was seen, for comparison.
    held   : hold it in this process; what nothing new was seen or done of is then not run again.
    """
    life = life_of(facts.tables, organism)
    stands = homes_of(facts, life)
    seen = list(_seen(facts, life, organism, stands))
    if not seen:
        return None
    if not learns:
        seen = [replace(one, share=np.zeros_like(one.share)) for one in seen]
    return _believed(facts, life, stands, seen, held=held)


def believe_unseen(
    facts: SeasonFacts, organism: str, looked: int, longer: int = 0
) -> ClusterBelief | None:
    """What was to be expected before anything was seen, as of the evening of the facts.

    looked : day of the first look of all, that day or later.
    longer : days by which it began earlier than is reckoned. [d]

    None where it can live on no planting.
    """
    life = life_of(facts.tables, organism)
    stands = homes_of(facts, life)
    if not stands:
        return None
    today = facts.today_index
    nothing = Seen(today, 0, "count", np.zeros(len(life.stages)), 1.0, 0.0, None, -1)
    look_back = max(LOOK_BACK_DAYS - (looked - today), 0) + longer
    return _believed(facts, life, stands, [nothing], look_back)


def _believed(
    facts: SeasonFacts,
    life: LifeHistory,
    stands: tuple[Stand, ...],
    seen: list[Seen],
    look_back: int = LOOK_BACK_DAYS,
    *,
    held: bool = False,
) -> ClusterBelief:
    """Weigh these sightings with everything done."""
    organism, habits = life.figures.organism, life.figures.habits
    applied = all_applied(facts, life, organism, [stand.key for stand in stands])
    tabled = [label.active for label in facts.plot.shelf if label.active in facts.tables.methods]
    methods = [*tabled, *TRIED]
    into_year = _into_year(facts)
    laying = still_lay(habits.new_adults_lay_to, into_year)
    season = arriving(*habits.arrives, into_year)
    work = worked(facts, stands)
    sky = ClusterSky(
        facts.t_min,
        facts.t_max,
        facts.rain,
        facts.future_of_draw,
        facts.today_index,
        laying,
        season,
        deposit_paces(facts),
        work,
    )
    key = partial(_key, facts, organism, stands, seen, applied, (*methods, look_back), sky)
    more = [*on_hand(facts.plot), MESH]
    whole = digest_of(key(facts.today_index + 1), sky, more) if held else ""
    before, last = _HELD.get(organism, ("", None))
    if last is not None and before == whole:
        return last
    believed = believe_cluster(
        life,
        stands,
        sky,
        seen,
        applied,
        methods,
        facts.dice,
        KeptParticles(key),
        STRANGER if is_strange(facts, organism) else 1.0,
        look_back,
    )
    believed = with_more(believed, facts, more)
    if held:
        _HELD[organism] = whole, believed
    return believed


def _key(
    facts: SeasonFacts,
    organism: str,
    stands: tuple[Stand, ...],
    seen: Sequence[Seen],
    applied: Sequence[Application],
    more: tuple[object, ...],
    sky: ClusterSky,
    day: int,
) -> str:
    """A digest of all that the particles hang on that know of the looks up to a day.

    more : what else they hang on, on any day.
    """
    days = slice(0, day)
    by_day = (sky.laying, sky.arriving, sky.worked)
    return digest_of(
        organism, facts.tables.digest, stands, more, facts.plot.place.lies_in, day,
        min(one.day for one in seen), sorted({one.effect.method for one in applied}),
        facts.dice(f"cluster|{organism}|key").integers(0, 2**62, 4),
        [one for one in seen if one.day <= day], [one for one in applied if one.day < day],
        [None if each is None else each[days] for each in by_day],
        [each[:1, days] for each in (sky.t_min, sky.t_max, sky.rain)], sky.pace_from(0, day),
    )  # fmt: skip


def _seen(
    facts: SeasonFacts, life: LifeHistory, organism: str, stands: Sequence[Stand]
) -> Iterator[Seen]:
    """What was looked at for this organism, on plantings that stand."""
    for event in facts.events:
        look = event.payload
        if isinstance(look, Sighting) and look.what == organism:
            day = facts.day_index(event.day)
            read = read_sighting(look, day, event.serial, stands, life.figures)
            if read is not None:
                yield read


def with_more(belief: ClusterBelief, facts: SeasonFacts, methods: Sequence[str]) -> ClusterBelief:
    """The belief with methods that nothing is known of yet: as good as the tables' ranges say."""
    known = belief.unknowns.quantiles
    new = {
        method: facts.dice(f"cluster|{belief.organism}|prior|{method}").random(belief.n_draws)
        for method in methods
        if method not in known
    }
    return replace(belief, unknowns=replace(belief.unknowns, quantiles={**known, **new}))


def is_strange(facts: SeasonFacts, organism: str) -> bool:
    """Whether an organism is known from other regions only, by where the plot lies."""
    home, here = facts.tables.habits[organism].at_home, facts.plot.place.lies_in
    return bool(home) and here not in home


def _into_year(facts: SeasonFacts) -> FloatArray:
    """Day of the year by day, in the south as if half a year on, (n_days,)."""
    days = [facts.first + timedelta(days=n) for n in range(facts.t_min.shape[1])]
    north = np.array([day.timetuple().tm_yday for day in days], dtype=np.float64)
    return north if facts.plot.place.latitude >= 0 else (north + HALF_YEAR) % YEAR
