"""How growers replace who ask no plan: by age, or by age and look, from cups or the tin."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from lattermath.desk.trial_choice import Change
from lattermath.desk.trial_ground import bare_beds, planted, pulled, sown
from lattermath.desk.trial_season import Season
from lattermath.vocabulary.plot import Planting

# Common practice, recalled: cucumbers and courgettes are renewed after about ten weeks in the
# ground, bush beans eleven weeks after sowing. An experienced holder goes by how they look, and
# begins to two weeks sooner.
TEN_WEEKS = {"cucumber_slicing": 70, "cucumber_pickling": 70, "summer_squash": 70, "bean_bush": 77}
EIGHT_WEEKS = {crop: days - 14 for crop, days in TEN_WEEKS.items()}
FILLER = "bean_bush"  # what is sown where no young plant waits
SOWN_UNTIL = (8, 5)  # judgement: beans sown later than this meet the frost here


@dataclass(frozen=True, slots=True)
class Replacing:
    """A way of replacing.

    ages  : days since setting out or sowing at which a planting goes, by crop; others stay.
    cups  : days after sowing from which young plants are taken for ready.
    looks : whether it goes by look: worn at any age, tired from that age on, never while sound.
    """

    ages: Mapping[str, int]
    cups: int
    looks: bool = False

    def changes(self, season: Season) -> tuple[Change, ...]:
        """What is pulled, set out and sown tonight: bare ground first, then the oldest."""
        found: list[Change] = []
        free = [
            lot
            for lot, cups in season.nature.cups.items()
            if cups.plants and (season.today - season.sown[lot]).days >= self.cups
        ]
        for bed in bare_beds(season):
            found += _fill(season, free, bed.key, None)
        worn = [one for one in season.standing() if self._goes(season, one)]
        for one in sorted(worn, key=lambda one: one.started or date.max):
            new = list(_fill(season, free, one.bed or "", one))
            if new:
                found += [pulled(season, one.key), *new]
        return tuple(found)

    def _goes(self, season: Season, one: Planting) -> bool:
        if one.crop not in self.ages or one.started is None or one.bed is None:
            return False
        old = (season.today - one.started).days >= self.ages[one.crop]
        if not self.looks:
            return old
        look = season.nature.look_of(one.key)
        return look in ("worn", "failing") or (old and look == "tired")


def _fill(
    season: Season, free: list[str], bed: str, instead_of: Planting | None
) -> Iterator[Change]:
    """The same crop from the cups, else any other, else beans from the tin; nothing otherwise."""
    crop = "" if instead_of is None else instead_of.crop
    old = None if instead_of is None else instead_of.key
    lot = next((key for key in free if season.nature.cups[key].crop == crop), None)
    lot = lot or (free[0] if free else None)
    if lot is not None:
        free.remove(lot)
        yield planted(season, lot, bed, old)
    elif (season.today.month, season.today.day) <= SOWN_UNTIL:
        yield sown(season, FILLER, bed, old)


FIXED_AGE = Replacing(TEN_WEEKS, 18)
HOLDERS = Replacing(EIGHT_WEEKS, 14, looks=True)
