"""A season as a trial plays it: what is seen of it, and what was done."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from lattermath.desk.dice import Dice, dice
from lattermath.desk.season_facts import SeasonFacts
from lattermath.desk.season_setting import Setting
from lattermath.desk.start import start
from lattermath.desk.wiring import folder_at, tables_of
from lattermath.nature.opening import open_nature
from lattermath.nature.plot_life import Nature
from lattermath.nature.replanting import sow_cups
from lattermath.vocabulary.events import Payload, Sighting, Sowing
from lattermath.vocabulary.plot import Planting

if TYPE_CHECKING:  # handed in: the seam stands above this
    from lattermath.desk.outside_world import OutsidePlot

ARRIVES = time(18, 30)
LEAVES = 10  # never more are asked for
GLANCES = 3  # judgement: plantings looked at in one evening for one kind, beside those known sick


@dataclass(slots=True, eq=False)
class Season:
    """A season as it is played; a policy reads `seen`, `sprayed` and the seam, and no more.

    seen    : counts of tonight, one a leaf, by organism and planting.
    sprayed : days on which a planting was sprayed.
    sown    : day on which each lot in cups was sown.
    to_sow  : lots that will be sown in cups: day, key, crop, seeds, cup in ml; alike for all.
    picked  : day, crop and kilograms of each picking that was fit to eat.
    """

    setting: Setting
    seam: OutsidePlot
    nature: Nature
    throw: Dice
    seen: dict[tuple[str, str], tuple[int, ...]] = field(default_factory=dict)
    sprayed: dict[str, list[date]] = field(default_factory=dict)
    sown: dict[str, date] = field(default_factory=dict)
    picked: list[tuple[date, str, float]] = field(default_factory=list)
    to_sow: list[tuple[date, str, str, int, float]] = field(default_factory=list)
    _known: dict[str, set[str]] = field(default_factory=dict)
    _facts: tuple[date, SeasonFacts] | None = None

    @property
    def today(self) -> date:
        """The day of the visit."""
        return self.nature.today

    @property
    def zone(self) -> ZoneInfo:
        """The plot's time zone."""
        return ZoneInfo(self.setting.plot.place.time_zone)

    @property
    def arrival(self) -> datetime:
        """The hour at which tonight's visit begins, by the plot's clock."""
        return datetime.combine(self.today, ARRIVES)

    def facts(self) -> SeasonFacts:
        """What the rulings and the audit are told tonight; read once an evening."""
        if self._facts is None or self._facts[0] != self.today:
            self._facts = self.today, self.seam.facts(self.today)
        return self._facts[1]

    def standing(self) -> list[Planting]:
        """Plantings of which a plant stands tonight."""
        rows = zip(self.nature.plantings, self.nature.foliage, strict=True)
        return [one for one, leaves in rows if one.started is not None
                and one.started <= self.today and leaves.stands.any()]  # fmt: skip

    def write(self, payload: Payload, after: float = 0.0) -> None:
        """Write down what happened so many minutes after arrival."""
        self.seam.log(payload, self.arrival + timedelta(minutes=after))

    def sow_lots(self, *, told: bool) -> None:
        """Sow in cups what is due; `told` writes down how many young plants come of it."""
        due = [one for one in self.to_sow if one[0] <= self.today]
        self.to_sow = [one for one in self.to_sow if one not in due]
        for _, lot, crop, seeds, cup_ml in due:
            self.sown[lot] = self.today
            came = sow_cups(self.nature, lot, crop, seeds, cup_ml)
            if told and came:
                self.write(Sowing(crop, came, lot, cup_ml=cup_ml))

    def look(self, planting: str, organism: str) -> tuple[int, ...]:
        """Turn ten leaves of a planting and write the counts down; once an evening."""
        if (organism, planting) not in self.seen:
            counts = self.nature.look(planting, organism, LEAVES)
            self.seen[organism, planting] = counts
            if counts:
                self.write(Sighting(planting, organism, "count", counts=counts), 1.0)
            if sum(counts):
                self._known.setdefault(organism, set()).add(planting)
        return self.seen[organism, planting]

    def look_round(self) -> None:
        """Some plantings by chance, and those on which it was found before."""
        stand = {one.key for one in self.standing()}
        for organism in self.nature.swarms:
            home = self.nature.homes[organism]
            suited = (k for n, k in enumerate(self.nature.keys) if home.suits[n] > 0)
            keys = [key for key in suited if key in stand]
            some = self.throw(f"round {organism} {self.today}").permutation(len(keys))[:GLANCES]
            known = sorted(self._known.get(organism, set()) & set(keys))[:GLANCES]
            for key in dict.fromkeys([keys[n] for n in some] + known):
                self.look(key, organism)

    def tell_looks(self) -> None:
        """Write into the plot file how each planting that stands in it looks, as a holder would."""
        file = self.setting.folder / "plot.toml"
        before = text = file.read_text("utf-8")
        for one in self.standing():
            line = rf'(key = "{re.escape(one.key)}"\nvigour = )"\w+"'
            text = re.sub(line, rf'\1"{self.nature.look_of(one.key)}"', text)
        if text != before:
            file.write_text(text, "utf-8")
            start(self.setting.folder, self.arrival.replace(tzinfo=self.zone))


def open_season(setting: Setting, seam: OutsidePlot, organisms: Sequence[str], seed: int) -> Season:
    """Begin a season: nature throws its plot from this seed, the same for every policy.

    seam : the setting's plot, opened; all that is logged and asked goes through it.
    """
    throw = dice(seed, f"nature {setting.begins.year}")
    tables = tables_of(folder_at(setting.folder))
    nature = open_nature(tables, setting.plot, setting.sky, setting.begins, organisms, throw)
    return Season(setting, seam, nature, throw)
