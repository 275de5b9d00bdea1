"""Nature: a plot that lives through weather day by day, is looked at and worked on.

The planner never sees what is in here. It sees what the grower saw, and wrote down.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, field
from datetime import date

import numpy as np
from numpy.typing import NDArray

from lattermath.knowledge.tables import Tables
from lattermath.nature.cups import Cups
from lattermath.nature.foliage import Foliage, throw_foliage
from lattermath.nature.fruiting import Fruiting, throw_fruiting
from lattermath.nature.grower import Grower
from lattermath.nature.mildew import Mildew
from lattermath.nature.sky import NatureSky, Streams
from lattermath.nature.swarm import Swarm
from lattermath.nature.swarm_days import Enemies, Home, live_a_day, put_up, taken_out
from lattermath.nature.treatments import Powers
from lattermath.vocabulary.errors import Fault, InputError
from lattermath.vocabulary.plot import Planting, Plot, Vigour

FloatArray = NDArray[np.float64]

SOIL_MM, DRINKS = 40.0, 0.16  # judgement: water that roots reach, and mm a day for each degree
MILDEW_HURTS = 0.6  # judgement: share of the yield that leaves covered on both sides cost
FROST_FIRM_C = 0.5  # judgement: below the table's figure, as for fruit
HALF_YEAR, YEAR = 182.6, 365.25
LOOKS: tuple[tuple[Vigour, float], ...] = (("sound", 0.75), ("tired", 0.5), ("worn", 0.2))
EARLY = 0.3  # judgement: of its bearing behind it, up to which a plant looks young
LOOK_SD = 0.2  # judgement, as the bounds above: what somebody says who walks by, log
HURTS = 0.05  # the table's loss that `days_for_5_percent` means


@dataclass(slots=True, eq=False)
class Nature:
    """One plot; open it with `open_nature`. Everything true stands here, by planting."""

    tables: Tables
    plot: Plot
    sky: NatureSky
    streams: Streams
    foliage: list[Foliage]
    homes: dict[str, Home]
    swarms: dict[str, Swarm]
    enemies: dict[str, Enemies]
    fruiting: list[Fruiting | None]
    grower: Grower
    day: int
    keys: list[str]
    plantings: list[Planting]
    water_mm: FloatArray
    eaten: FloatArray  # feeding days a square centimetre in twentieths of the yield
    borne: list[FloatArray] = field(default_factory=list)  # kg that came to size, by day
    mildews: dict[str, Mildew] = field(default_factory=dict)
    cups: dict[str, Cups] = field(default_factory=dict)
    powers: Powers = field(init=False)
    awaited: frozenset[str] = field(init=False)  # plantings declared to be set out later

    def __post_init__(self) -> None:
        """How good each method is here is fixed when it is first used."""
        self.powers = Powers(self.tables)
        coming = (p for p in self.plantings if p.started and p.started >= self.today)
        self.awaited = frozenset(p.key for p in coming)

    @property
    def today(self) -> date:
        """The morning at which the plot stands."""
        return self.sky.day(self.day)

    def step_to(self, day: date) -> None:
        """Live up to the morning of a day."""
        while self.day < self.sky.index(day):
            self._live_a_day()

    def look(
        self, planting: str, organism: str, leaves: int, surface: str = "underside",
        stages: Collection[str] | None = None,
    ) -> tuple[int, ...]:  # fmt: skip
        """What the grower counts on so many leaves, one figure a leaf. () where none hangs.

        stages : those counted; None for those that growers count, and adults.
        """
        place, swarm = self.place(planting), self.swarms[organism]
        rng = self.rng(f"look {planting} {organism}")
        creature = swarm.creature
        counted = creature.counted if stages is None else [s in stages for s in creature.stages]
        return self.grower.count(
            swarm, place, self.foliage[place], leaves, np.array(counted), surface, rng
        )

    def look_over(
        self, planting: str, disease: str, leaves: int, surface: str = "top"
    ) -> float | None:
        """Percent of that side that the grower takes to be covered; None where no leaf hangs."""
        place, rng = self.place(planting), self.rng(f"look {planting} {disease}")
        mildew, foliage = self.mildews[disease], self.foliage[place]
        return mildew.look(place, foliage, leaves, surface, self.grower.skill, rng)

    def treat(
        self, plantings: Sequence[str], method: str,
        surfaces: Collection[str] = ("underside", "top"), coverage: float = 0.7,
    ) -> None:  # fmt: skip
        """Treat plantings; every kind of insect on them is struck as the method strikes it."""
        if method not in self.tables.methods:
            raise InputError(Fault("no such method in the tables", "method", method))
        places = tuple(self.place(key) for key in plantings)
        self._shake(places)
        for organism, swarm in self.swarms.items():
            rng = self.rng(f"treat {organism} {method}")
            self.powers.apply(swarm, method, places, surfaces, coverage, rng)
        for disease, mildew in self.mildews.items():
            rng = self.rng(f"treat {disease} {method}")
            power = self.powers.of_colonies(method, disease, rng)
            mildew.treat(places, power, surfaces, coverage, rng)

    def prune(self, planting: str, share: float) -> None:
        """Strip the oldest leaves, that share of them, with what sits on them."""
        self._shake((self.place(planting),))
        self.foliage[self.place(planting)].strip(share)

    def pull(self, planting: str, plants: int | None = None) -> None:
        """Take plants out in bags, the poorest first; some adults rise and settle elsewhere.

        plants : how many of those that stand; None: all of them.
        """
        place = self.place(planting)
        leaves = self.foliage[place]
        there = np.flatnonzero(leaves.stands)
        out = there[np.argsort(leaves.vigour[there])][:plants]
        leaves.stands[out] = False
        warmest = float(self.sky.hours(self.day).max())
        for organism, swarm in self.swarms.items():
            rng = self.rng(f"pull {organism} {planting}")
            taken_out(swarm, self.homes[organism], place, out, warmest, rng)

    def look_of(self, planting: str) -> Vigour:
        """How the plants look to whoever walks by: as they bear and as their leaves are."""
        place = self.place(planting)
        fruit = self.fruiting[place]
        early = fruit is None or fruit.spent <= EARLY
        bears = 1.0 if early or fruit is None else fruit.bears
        seen = bears * float(np.exp(-HURTS * self.eaten[place]))
        seen *= float(np.exp(self.rng(f"look of {planting}").normal(0, LOOK_SD)))
        return next((word for word, least in LOOKS if seen >= least), "failing")

    def set_out(self, planting: str) -> None:
        """Put young plants of the same kind where a planting stands in the plot's list."""
        place = self.place(planting)
        one, rng = self.plantings[place], self.rng(f"set out {planting}")
        crop = self.tables.crops[one.crop]
        self.foliage[place] = throw_foliage(one.crop, crop.family, one.plants, 0.0, rng)
        self.fruiting[place] = throw_fruiting(crop, one.plants, rng)

    def pick(self, planting: str) -> tuple[float, float]:
        """Take all fruit at size; what the scale says is fit to eat, and what is overgrown. [kg]"""
        self._shake((self.place(planting),))
        fruit, rng = self.fruiting[self.place(planting)], self.rng(f"pick {planting}")
        if fruit is None:
            return 0.0, 0.0
        good, past = fruit.pick()
        return self.grower.weighs(good, rng), past

    def water(self, planting: str, litres: float) -> None:
        """Water one planting."""
        place = self.place(planting)
        area = 0.4 * self.plantings[place].plants
        self.water_mm[place] = min(self.water_mm[place] + litres / area, SOIL_MM)

    def grower_comes(self) -> bool:
        """Whether today's visit takes place."""
        return self.grower.keeps_visit(self.rng("visit"))

    def truth(self, organism: str) -> FloatArray:
        """Insects by planting and stage this morning, (n_plantings, n_stages)."""
        return self.swarms[organism].totals(len(self.keys))

    def severity(self, disease: str) -> FloatArray:
        """Share of the leaf covered this morning, below and above, (n_plantings, 2). [0 to 1]"""
        return self.mildews[disease].severity(self.foliage)

    def borne_kg(self, planting: str, first: date, last: date) -> float:
        """Kilograms that came to size from one day to another, both counted."""
        place, start = self.place(planting), self.sky.index(first)
        days = self.borne[start : self.sky.index(last) + 1]
        return float(sum(kg[place] for kg in days if place < len(kg)))

    def place(self, planting: str) -> int:
        """Place of a planting; InputError for one that nature does not grow."""
        if planting not in self.keys:
            raise InputError(Fault("no such planting here", "planting", planting))
        return self.keys.index(planting)

    def rng(self, name: str) -> np.random.Generator:
        """A stream of its own for each thing and day."""
        return self.streams(f"{name} {self.day}")

    def _shake(self, places: Sequence[int]) -> None:
        """Work on these plantings puts up what flies."""
        warmest = float(self.sky.hours(self.day).max())
        for organism, swarm in self.swarms.items():
            rng = self.rng(f"work {organism} {places}")
            put_up(swarm, self.homes[organism], places, warmest, rng)

    def _live_a_day(self) -> None:
        for one in self.plantings:
            if one.started == self.today and one.key in self.awaited:
                self.set_out(one.key)
        hours, rain = self.sky.hours(self.day), float(self.sky.rain[self.day])
        self._freeze(float(hours.min()))
        self._drink(float(hours.mean()), rain)
        of_year = self.today.timetuple().tm_yday
        northern = of_year if self.plot.place.latitude >= 0 else (of_year + HALF_YEAR) % YEAR
        for organism, swarm in self.swarms.items():
            rng = self.rng(f"live {organism}")
            live_a_day(
                swarm, self.homes[organism], self.enemies[organism], hours, rain, northern, rng
            )
            self.powers.wear(swarm, rain, rng)
        for disease, mildew in self.mildews.items():
            mildew.live_a_day(self.foliage, hours, of_year, self.rng(f"live {disease}"))
        for lot in self.cups.values():
            lot.a_day_on(hours)
        self._feed()
        self.borne.append(self._bear(hours))
        self.day += 1

    def _freeze(self, coldest_c: float) -> None:
        """Plants that a night kills stand no longer; what sits on them ends with their leaves."""
        for one, leaves in zip(self.plantings, self.foliage, strict=True):
            if coldest_c <= self.tables.crops[one.crop].frost_kill_c.value - FROST_FIRM_C:
                leaves.stands[:] = False

    def _drink(self, mean_c: float, rain: float) -> None:
        """Soil and leaves of the day."""
        self.water_mm = np.clip(self.water_mm + 0.8 * rain - DRINKS * max(mean_c, 0), 0, SOIL_MM)
        for place, leaves in enumerate(self.foliage):
            leaves.grow(mean_c, float(self.moist[place]))

    @property
    def moist(self) -> FloatArray:
        """What the soil lets plants do, (n_plantings,). [0 to 1]"""
        return np.asarray(np.clip(self.water_mm / (0.4 * SOIL_MM), 0.1, 1.0))

    def _feed(self) -> None:
        """What sucking has cost so far, in twentieths of the yield."""
        areas = np.array([max(f.area_cm2, 1.0) for f in self.foliage])
        for organism, swarm in self.swarms.items():
            habits = self.tables.habits[organism]
            eats = np.array([habits.appetite(stage) for stage in swarm.creature.stages])
            fed = swarm.totals(len(self.keys)) @ eats / areas
            self.eaten += fed / habits.days_for_5_percent.value

    def _bear(self, hours: FloatArray) -> FloatArray:
        """Kilograms that come to size today, by planting."""
        kg, light = np.zeros(len(self.keys)), self._light()
        sound, room = np.exp(-HURTS * self.eaten), self._room()
        for disease in self.mildews:
            sound = sound * (1 - MILDEW_HURTS * self.severity(disease).mean(1))
        for place, fruit in enumerate(self.fruiting):
            if fruit is not None:
                leaves = self.foliage[place]
                kg[place] = fruit.a_day_on(
                    hours, light * room[place], float(self.moist[place]), float(sound[place]),
                    leaves.stands, self.rng(f"bear {self.keys[place]}"),
                )  # fmt: skip
        return kg

    def _room(self) -> FloatArray:
        """Share of the light that a planting gets where several crowd one bed, (n_plantings,)."""
        needs = [
            leaves.stands.sum() * self.tables.crops[one.crop].plant_ground_m2
            for one, leaves in zip(self.plantings, self.foliage, strict=True)
        ]
        share = np.ones(len(needs))
        for bed in self.plot.beds:
            here = [n for n, one in enumerate(self.plantings) if one.bed == bed.key and needs[n]]
            if len(here) > 1:
                ground = max(bed.area_m2, *(needs[n] for n in here))
                share[here] = min(1.0, ground / sum(needs[n] for n in here))
        return share

    def _light(self) -> float:
        """What the day's length allows, 1 at midsummer (judgement: half at midwinter)."""
        of_year = self.today.timetuple().tm_yday
        north = self.plot.place.latitude >= 0
        angle = 2 * np.pi * (of_year - (172 if north else 355)) / 365
        return float(0.75 + 0.25 * np.cos(angle))
