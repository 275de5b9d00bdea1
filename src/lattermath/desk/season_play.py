"""Plays a season between nature and the program, as a grower would: look, write down, treat, pick.

Nature never hears of the program, and the program learns of nature only what is logged.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta

import numpy as np

from lattermath.desk.dice import Dice, dice
from lattermath.desk.log_visit import log
from lattermath.desk.plan_facts import facts_of
from lattermath.desk.season_facts import SeasonFacts
from lattermath.desk.season_setting import Setting
from lattermath.desk.wiring import folder_at, open_journal, tables_of
from lattermath.nature.opening import open_nature
from lattermath.nature.plot_life import Nature
from lattermath.vocabulary.events import Payload, Picking, Sighting, Surface, Treatment, Watering

EVENING = time(19, 0)
VISIT_DAYS = (1, 3, 5)  # Tuesday, Thursday, Saturday
LEAVES = 10  # never more are asked for
GLANCES = 3  # judgement: plantings looked at in one evening for one kind, beside those known sick
TREATS_FROM = 4.0  # judgement: insects a leaf from which this grower treats
TREATS_AGAIN = 6  # judgement: days between treatments of one planting
LITRES_A_PLANT = 8.0  # judgement: at a visit, from the hose
METHODS = {"greenhouse_whitefly": "soap", "twospotted_spider_mite": "soap",
           "melon_aphid": "water_jet",
           "cucurbit_powdery_mildew": "potassium_bicarbonate"}  # fmt: skip
SIDES: tuple[Surface, ...] = ("top", "underside")
TREATS_LEAVES_FROM = 3.0  # judgement: per cent of a side from which this grower sprays


@dataclass(slots=True, eq=False)
class Play:
    """One season of one plot."""

    setting: Setting
    nature: Nature
    throw: Dice
    treats: bool = True
    treated: dict[tuple[str, str], date] = field(default_factory=dict)
    sick: dict[str, set[str]] = field(default_factory=dict)
    last_counts: dict[tuple[str, str], tuple[date, float, int]] = field(default_factory=dict)
    kept: list[date] = field(default_factory=list)

    def visits_to(self, day: date, treat_until: date) -> None:
        """Keep the visits up to and on the morning before a day; no treatment after `treat_until`.

        Some planned visits do not take place.
        """
        while self.nature.today < day:
            today = self.nature.today
            if today.weekday() in VISIT_DAYS and self.nature.grower_comes():
                self.kept.append(today)
                self._evening(today, treating=self.treats and today <= treat_until)
            self.nature.step_to(today + timedelta(days=1))

    def facts(self, day: date) -> SeasonFacts:
        """What the program knows on a day, from the journal and the weather up to it."""
        folder = folder_at(self.setting.folder)
        with open_journal(folder) as journal:
            return facts_of(folder, journal, day, None)

    def _evening(self, today: date, treating: bool) -> None:
        for organism in self.nature.swarms:
            self._look_round(today, organism, treating)
        for disease in self.nature.mildews:
            self._look_leaves_over(today, disease, treating)
        for one in self.nature.plantings:
            if one.started is None or one.started > today:
                continue
            litres = LITRES_A_PLANT * one.plants
            self.nature.water(one.key, litres)
            self._write(today, Watering(litres, planting=one.key))
            good, past = self.nature.pick(one.key)
            if good > 0 or past > 0:
                self._write(today, Picking(one.key, round(good, 2)))

    def _look_round(self, today: date, organism: str, treating: bool) -> None:
        """Some plantings, and those on which it was found before."""
        home = self.nature.homes[organism]
        keys = [k for n, k in enumerate(self.nature.keys) if home.suits[n] > 0 and home.standing[n]]
        rng = self.throw(f"round {organism} {today}")
        found = self.sick.setdefault(organism, set())
        some = rng.permutation(len(keys))[:GLANCES]
        chosen = dict.fromkeys([keys[n] for n in some] + sorted(found & set(keys))[:GLANCES])
        for key in chosen:
            counts = self.nature.look(key, organism, LEAVES)
            if counts:
                self._write(today, Sighting(key, organism, "count", counts=counts))
                self.last_counts[organism, key] = (today, sum(counts), len(counts))
            if sum(counts):
                found.add(key)
            if treating and counts and sum(counts) / len(counts) >= TREATS_FROM:
                self._treat(today, organism, key)

    def _look_leaves_over(self, today: date, disease: str, treating: bool) -> None:
        """Leaves of some plantings, on both sides, and of those on which it was found before."""
        suited = self.nature.mildews[disease].suits > 0
        keys = [k for k, suits in zip(self.nature.keys, suited, strict=True) if suits]
        rng = self.throw(f"round {disease} {today}")
        found = self.sick.setdefault(disease, set())
        some = [keys[n] for n in rng.permutation(len(keys))[:GLANCES]]
        for key in dict.fromkeys([*some, *sorted(found & set(keys))[:GLANCES]]):
            said = []
            for surface in SIDES:
                percent = self.nature.look_over(key, disease, LEAVES, surface)
                if percent is not None:
                    seen = Sighting(key, disease, "severity", "", surface, LEAVES, percent=percent)
                    self._write(today, seen)
                    said.append(percent)
            if said:
                self.last_counts[disease, key] = (today, sum(said) / len(said), 1)
            if any(said):
                found.add(key)
            if treating and said and max(said) >= TREATS_LEAVES_FROM:
                self._treat(today, disease, key)

    def _treat(self, today: date, organism: str, key: str) -> None:
        last = self.treated.get((organism, key))
        if last is not None and (today - last).days < TREATS_AGAIN:
            return
        method = METHODS[organism]
        self.treated[organism, key] = today
        self.nature.treat([key], method)
        self._write(today, Treatment((key,), method))

    def _write(self, today: date, payload: Payload) -> None:
        log(self.setting.folder, payload, datetime.combine(today, EVENING))


def open_play(
    setting: Setting,
    organisms: tuple[str, ...],
    seed: int,
    treats: bool = True,
    diseases: tuple[str, ...] = (),
) -> Play:
    """Begin a season: nature throws its plot from this seed."""
    throw = dice(seed, f"nature {setting.begins.year}")
    tables = tables_of(folder_at(setting.folder))
    nature = open_nature(
        tables, setting.plot, setting.sky, setting.begins, organisms, throw, diseases
    )
    return Play(setting, nature, throw, treats)


def setting_dice(seed: int, year: int) -> np.random.Generator:
    """The stream from which a setting is thrown."""
    return dice(seed, f"nature {year}")("setting")
