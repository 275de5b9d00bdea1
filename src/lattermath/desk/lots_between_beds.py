"""Keep or replace for every planting and bare bed, with the standby lots exchanged between them.

Each is decided by itself first, one after another. Where two of them want the same cups, it is then
searched who should have which, and when; whoever gets something else by it is decided again with
that in hand.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from lattermath.belief.crop_belief import CropBelief
from lattermath.belief.crop_growth import GrowingSeason
from lattermath.belief.lot_belief import LotBelief
from lattermath.desk.permits import Permits
from lattermath.desk.plan_crops import CropPlans, afresh, decide_crops, without_taken
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning.bare_ground import Filling, fill
from lattermath.planning.fates import Care, Choices, FateOutlook
from lattermath.planning.keep_or_replace import Decision, Table, decide, look_first, rest_of_plot
from lattermath.planning.lot_exchange import (
    LEAST_GAIN,
    Exchange,
    Site,
    beside,
    contested,
    exchanged,
    resting,
    same_way,
)
from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.ruling import Because

Asked = tuple[Choices, Table]


def decide_with_exchange(
    facts: SeasonFacts,
    season: GrowingSeason,
    beliefs: Mapping[str, CropBelief],
    lots: tuple[LotBelief, ...],
    cares: Mapping[str, Care],
    permits: Permits,
    *,
    dated: bool = True,
    rough: bool = False,
) -> CropPlans:
    """All decisions; what each gets from the cups is what is best for all ground together.

    dated : find the last day of each replacement.
    rough : for a first look at them all, with every lot given in turn.
    """
    crops = decide_crops(facts, season, beliefs, lots, cares, permits, dated=dated, rough=rough)
    asked = None if rough else _exchange(facts, crops)
    if asked is None:
        return crops
    found = exchanged(asked)
    moved = {s.key: found[s.key] for s in asked.sites if not same_way(found[s.key], s.now)}
    if not moved:
        return crops
    reached = _worth(asked, found)
    gain, beyond = reached - _worth(asked, {}), max(asked.most() - reached, 0.0)
    again = _Anew(facts, crops, moved, gain, beyond, dated).decided()
    kept = _chosen(again)
    return again if _worth(asked, kept) > _worth(asked, {}) + LEAST_GAIN else crops


def _exchange(facts: SeasonFacts, crops: CropPlans) -> Exchange | None:
    """The ground that stands in one another's way for some lot; None where none does."""
    lots = tuple(lot for lot in crops.lots if not lot.lost and lot.lot.plants > 0)
    if not lots or not facts.visits:
        return None
    chosen = _chosen(crops)
    asked = {**{bed: one.asked for bed, one in crops.fillings.items()}, **crops.bare}
    sites = [
        Site(key, replace(told[0], lots=lots), chosen[key], bare=True)
        for key, told in asked.items()
        if told is not None
    ]
    sites += [
        Site(key, replace(choices, lots=lots), chosen[key])
        for key, (choices, table) in crops.asked.items()
        if not crops.decisions[key].waits and not look_first(choices, table)
    ]
    taking_part = {site.key for site in sites}
    fixed = {key: one for key, one in chosen.items() if key not in taking_part}
    for outlook in fixed.values():
        lots = tuple(without_taken(lots, outlook))
    others = [belief for key, belief in crops.beliefs.items() if key in fixed]
    rest = rest_of_plot(others, "", facts.plot.household, crops.season, fixed)
    plants = {lot.lot.key: lot.lot.plants for lot in lots}
    everything = Exchange(sites, plants, facts.plot.household, rest)
    fought_over = contested(everything)
    if not fought_over:
        return None
    names = {site.key for site in fought_over}
    settled = [everything.begun(site) for site in sites if site.key not in names]
    return everything.among(fought_over, beside(rest, settled))


def _chosen(crops: CropPlans) -> dict[str, FateOutlook]:
    """What becomes of each planting and each bare bed."""
    found = {key: resting() for key in crops.bare}
    found |= {bed: one.chosen for bed, one in crops.fillings.items()}
    return found | {key: one.chosen for key, one in crops.decisions.items()}


def _worth(asked: Exchange, chosen: Mapping[str, FateOutlook]) -> float:
    """Worth of these at their sites; what is not among them stays as it was decided. [portions]"""
    told = (replace(site, now=chosen.get(site.key, site.now)) for site in asked.sites)
    return asked.worth([asked.begun(site) for site in told])


@dataclass(slots=True)
class _Anew:
    """Decides again what gets something else by the exchange.

    moved : what it gets, by planting or bed.
    gain  : what all of them together gain by it. [portions]
    beyond : what no sharing out could give more than that. [portions]
    dated : find the last day of each replacement.
    """

    facts: SeasonFacts
    crops: CropPlans
    moved: Mapping[str, FateOutlook]
    gain: float
    beyond: float
    dated: bool
    chosen: dict[str, FateOutlook] = field(init=False)

    def __post_init__(self) -> None:
        self.chosen = {**_chosen(self.crops), **self.moved}

    def decided(self) -> CropPlans:
        """The plans with every moved planting and bed decided again."""
        crops = self.crops
        decisions, asked = dict(crops.decisions), dict(crops.asked)
        fillings, bare = dict(crops.fillings), dict(crops.bare)
        for key in self.moved:
            if key in decisions:
                decisions[key], asked[key] = self._decision(key)
            else:
                self._bed(key, fillings, bare)
        return replace(crops, decisions=decisions, asked=asked, fillings=fillings, bare=bare)

    def _decision(self, key: str) -> tuple[Decision, Asked]:
        choices = replace(self.crops.asked[key][0], lots=self._free(key))
        asked = (choices, self._table(key))
        again = afresh(self.facts, self.crops.beliefs[key], choices.lots)
        found = decide(*asked, again, dated=self.dated, given=self.moved[key])
        told = replace(found.verdict, because=(*found.verdict.because, *self._why(key)))
        return replace(found, verdict=told), asked

    def _bed(self, key: str, fillings: dict[str, Filling], bare: dict[str, Asked]) -> None:
        filled = fillings.pop(key, None)
        before = filled.asked if filled is not None else bare.pop(key)
        assert before is not None
        choices = replace(before[0], lots=self._free(key))
        filling = fill(choices, self._table(key), self.moved[key])
        if filling is None:
            bare[key] = (choices, self._table(key))
            return
        told = replace(filling.verdict, because=(*filling.verdict.because, *self._why(key)))
        fillings[key] = replace(filling, verdict=told)

    def _why(self, key: str) -> Sequence[Because]:
        lot = self.moved[key].lot
        if lot is None:
            return ()
        words = f"about {counted(f'{self.gain:.1f}', 'portions')} more in all"
        # A bound far above what was gained tells nothing of how good the sharing out is.
        most = f", and none gives more than {self.beyond:.1f} beyond that"
        return (
            Because(
                f"the cups are shared out so that all the beds together give most: {words} than "
                f"if each had taken what suited it{most if self.beyond <= self.gain / 2 else ''}",
                rests_on=(f"plot:lot/{lot}", "computed:lots exchanged between two beds at a time"),
            ),
        )

    def _free(self, key: str) -> tuple[LotBelief, ...]:
        """What all others leave of the lots."""
        lots: Sequence[LotBelief] = [lot for lot in self.crops.lots if not lot.lost]
        for other, outlook in self.chosen.items():
            if other != key:
                lots = without_taken(lots, outlook)
        return tuple(lots)

    def _table(self, key: str) -> Table:
        crops, household = self.crops, self.facts.plot.household
        beds = {*crops.fillings, *crops.bare} - {key}
        filled = [self.chosen[bed] for bed in beds]
        decided = {k: one for k, one in self.chosen.items() if k in crops.decisions}
        beliefs = list(crops.beliefs.values())
        return Table(
            household, rest_of_plot(beliefs, key, household, crops.season, decided, filled)
        )
