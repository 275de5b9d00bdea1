"""What the tables say of one insect or mite; every figure with its origin."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, cast

from lattermath.knowledge.organism_parts import ON_SURFACES, Duration, Place
from lattermath.knowledge.rows import OfRow
from lattermath.vocabulary.figure import Figure


@dataclass(frozen=True, slots=True)
class Organism(OfRow):
    """One insect or mite of the tables. A None is a figure the table lacks; C, days, C d."""

    @property
    def name(self) -> str:
        """Plain name."""
        return self.row.words("name") or self.row.id.replace("_", " ")

    @property
    def latin(self) -> str:
        """Scientific name."""
        return self.row.text("latin")

    @property
    def stages(self) -> tuple[str, ...]:
        """Stages in order, the adult forms last."""
        return self.row.listed("stages")

    @property
    def live_bearing(self) -> bool:
        """True for aphids, which bear young and have no egg in the season."""
        return not any(stage.startswith("egg") for stage in self.stages)

    @property
    def lower_c(self) -> Figure:
        """Lower threshold of development. [C]"""
        return self.row.figure("lower_c")

    @property
    def upper_c(self) -> Figure:
        """Upper threshold of development. [C]"""
        return self.row.figure("upper_c")

    @property
    def total_dd(self) -> Figure | None:
        """Heat from egg (or birth) to adult; None where only stages are given. [C d]"""
        return self.row.find("total_dd")

    @property
    def stage_fraction(self) -> Mapping[str, Figure]:
        """Share of development spent in each stage. [1]"""
        return self.row.under("stage_fraction")

    @property
    def stage_dd(self) -> Mapping[str, Figure]:
        """Heat of single stages where given, with `<stage>_base` thresholds beside. [C d]"""
        return self.row.under("stage_dd")

    @property
    def stage_thresholds_c(self) -> Mapping[str, Figure]:
        """Lower threshold by stage. [C]"""
        return self.row.under("stage_thresholds_c")

    @property
    def survival_egg_adult(self) -> Figure | None:
        """Chance from egg (or birth) to adult with no enemies and no treatment. [1]"""
        return self.row.find("survival_egg_adult") or self.row.find("survival_to_adult")

    @property
    def survival_by_t(self) -> Mapping[float, Figure]:
        """Survival from egg to adult by temperature [C]. [1]"""
        return {float(k[1:]): f for k, f in self.row.under("survival_by_t").items()}

    @property
    def lifetime_eggs(self) -> Figure | None:
        """Eggs (or young) of one female on no host in particular."""
        return self.row.find("lifetime_eggs") or self.row.find("lifetime_young")

    @property
    def lifetime_eggs_by(self) -> Mapping[str, Figure]:
        """Eggs (or young) of one female by host word or condition (`t30`, `trade_max`)."""
        return {
            **self.row.under("lifetime_eggs_25c"),
            **self.row.under("lifetime_young"),
            **self.row.under("lifetime_eggs"),
        }

    @property
    def eggs_per_day(self) -> Figure | None:
        """Eggs (or young) of one female a day. [eggs/d]"""
        return self.row.find("eggs_per_day") or self.row.find("young_per_day")

    @property
    def preoviposition_days(self) -> Figure | None:
        """Days from the adult's first day to its first egg. [d]"""
        return self.row.find("preoviposition_days")

    @property
    def adult_longevity_days(self) -> Figure | None:
        """Days an adult lives. [d]"""
        return self.row.find("adult_longevity_days")

    @property
    def female_fraction(self) -> Figure | None:
        """Share of females; None where all are (aphids in summer) or the table lacks it. [1]"""
        return self.row.find("female_fraction")

    @property
    def hosts(self) -> Mapping[str, Figure]:
        """Host suitability by host word, 1 for the best listed. [1]"""
        return {k: f for k, f in self.row.under("hosts").items() if k != "uncertainty"}

    @property
    def positions(self) -> Mapping[str, str]:
        """Where each stage sits, in words; `all` stands for every stage."""
        start = "position."
        return {k.removeprefix(start): t.value for k, t in self.row.texts.items()
                if k.startswith(start)}  # fmt: skip

    @property
    def durations(self) -> tuple[Duration, ...]:
        """Measured durations; rows that hold several stages at one temperature are taken apart."""
        found: list[Duration] = []
        for n in range(self.row.numbered("dev_days")):
            at = f"dev_days[{n}]"
            host, when = self.row.words(f"{at}.host"), self.row.words(f"{at}.t")
            temperature = self.row.find(f"{at}.t")
            for key, figure in self.row.under(at).items():
                if key == "t":
                    continue
                named = {"d": self.row.words(f"{at}.stage"), "total": "egg_adult"}
                stage = named.get(key, key)
                found.append(Duration(stage, host, figure, temperature, when))
        return tuple(found)


@dataclass(frozen=True, slots=True)
class Spoils:
    """What an insect does to one kind of produce, apart from yield that never grows.

    soils    : feeding days on a square centimetre of leaf, while the produce is on the plant, at
               which a twentieth of what is picked is soiled. [d/cm2]
    discards : the same at which a twentieth is to be thrown away; None: it never is. [d/cm2]
    by       : what it is soiled by.
    remedy   : what makes it fit to eat.
    counted  : whether `days_for_5_percent` stands for what is thrown away already.
    """

    soils: Figure
    discards: Figure | None
    by: str
    remedy: str
    counted: bool


@dataclass(frozen=True, slots=True)
class Habits(OfRow):
    """One insect or mite; stages are those of its pest table, places words of our own."""

    def place(self, stage: str) -> Place:
        """Where a stage sits; the underside where the table does not say."""
        named = self.row.texts
        keys = (k for k in named if k.startswith("place.") and stage.startswith(k[6:]))
        key = max(keys, key=len, default=None)
        return "underside" if key is None else cast(Place, named[key].value)

    def on_surfaces(self, stage: str) -> tuple[float, float, float]:
        """Shares of a stage on undersides, on tops, and within reach at all. [0 to 1]"""
        return ON_SURFACES[self.place(stage)]

    def shows(self, stage: str) -> float:
        """Share of what nothing reaches that shows by its work, sawdust of a stem. [0 to 1]"""
        shown = self.row.find(f"shows.{stage}")
        return 0.0 if shown is None else shown.value

    @property
    def by_knife(self) -> str:
        """What hands do against what sits out of reach; "" for nothing that is known."""
        return self.row.words("by_knife")

    def appetite(self, stage: str) -> float:
        """What one insect of a stage eats a day, a young one 1 on the mean of its days."""
        if stage.startswith(("egg", "pupa", "prepupa")):
            return 0.0
        usual = self.row.find("feeds.adult" if stage.startswith("adult") else "feeds.young")
        return found.value if (found := self.row.find(f"feeds.{stage}") or usual) else 0.0

    def frost_days(self, stage: str) -> float | None:
        """Days at -3 C that leave a tenth of a stage; None where frost takes none of it. [d]

        None for what frost does not reach in the soil or under litter, and for what is hardy.
        """
        found = (self.row.find(f"frost.{stage[:n]}") for n in range(len(stage), 0, -1))
        return next((figure.value for figure in found if figure is not None), None)

    def deaths(
        self, beginning: Literal["dies", "taken"], shares: Mapping[str, float]
    ) -> tuple[float, ...]:
        """Share of the deaths from egg to adult, as logarithms, that each stage has. [0 to 1]

        beginning : `dies` without enemies; `taken` what enemies and weather outdoors take beside
                    them. One and the same where the table's survival is that of the field.
        shares    : of the development in each immature stage, which stages without a figure, and
                    those that share one (`nymph`), go by. [0 to 1]
        """
        known = self.row.under("dies" if self.survives_as_in_the_field else beginning)
        word_of = {s: max((w for w in known if s.startswith(w)), key=len, default="")
                   for s in shares}  # fmt: skip
        left = 1.0 - sum(known[word].value for word in {*word_of.values()} - {""})
        rest = {word: known[word].value if word else left for word in word_of.values()}
        whole = {w: sum(shares[s] for s in shares if word_of[s] == w) for w in rest}
        if not known:
            return tuple(shares.values())
        return tuple(rest[word_of[s]] * shares[s] / whole[word_of[s]] for s in shares)

    @property
    def arrives(self) -> tuple[Figure | None, Figure | None]:
        """Days of the year, north, between which adults fly in; None for no such end."""
        return self.row.find("arrives_from"), self.row.find("arrives_to")

    @property
    def moves(self) -> tuple[Figure | None, Figure | None]:
        """Share of new adults, and of laying ones, that change plant on a warm day. [0 to 1]"""
        return self.row.find("moves.new"), self.row.find("moves.laying")

    @property
    def moves_m(self) -> Figure | None:
        """How far from where they grew up adults are after some warm days, on the mean. [m]"""
        return self.row.find("moves_m")

    @property
    def moves_above_c(self) -> Figure | None:
        """None changes plant at or below this. [C]"""
        return self.row.find("moves_above_c")

    @property
    def put_up(self) -> Figure | None:
        """Share of the adults that work on a plant puts up, where the pest table has none. [1]"""
        return self.row.find("put_up")

    @property
    def commonness(self) -> float:
        """How common it is beside others of its kind, the commonest 1. [0 to 1]"""
        found = self.row.find("commonness")
        return found.value if found else 1.0

    @property
    def at_home(self) -> tuple[str, ...]:
        """The regions to which it is confined, as far as is known; empty where to none."""
        return self.row.regions("at_home")

    @property
    def days_for_5_percent(self) -> Figure:
        """Feeding days on a square centimetre of leaf that cost a twentieth. [d/cm2]"""
        return self.row.figure("days_for_5_percent")

    def spoils(self, eaten: str) -> Spoils | None:
        """What it does to produce of which this part is eaten; None: nothing that is known of."""
        soils = self.row.find(f"soils.{eaten}")
        if soils is None:
            return None
        return Spoils(
            soils,
            self.row.find(f"discards.{eaten}"),
            self.row.text("soiled_by"),
            self.row.text(f"remedy.{eaten}"),
            self.row.words(f"thrown.{eaten}") == "counted",
        )

    @property
    def crowded_per_cm2(self) -> float:
        """Density at which half of the laying is lost. [insects/cm2]"""
        return self.row.figure("crowded_per_cm2").value

    @property
    def start_per_plant(self) -> float:
        """Insects of all stages on a plant of the best host before they are first seen."""
        return self.row.figure("start_per_plant").value

    @property
    def arrivals_per_plant_day(self) -> float:
        """Adults that fly in on a plant of the best host in a day. [insects/d]"""
        return self.row.figure("arrivals_per_plant_day").value

    @property
    def survives_as_in_the_field(self) -> bool:
        """True when the pest table's survival needs no further loss outdoors."""
        return self.row.words("survival_is") == "field"

    @property
    def counted(self) -> tuple[str, ...]:
        """Beginnings of the stages that a grower counts."""
        return tuple(word.strip() for word in self.row.text("counts").split(","))

    def is_counted(self, stage: str) -> bool:
        """True for a stage that a count shows which names none: what growers count, and adults."""
        return stage.startswith((*self.counted, "adult"))

    @property
    def counted_word(self) -> str:
        """What a grower calls them: `pale scales`."""
        return self.row.text("counts_word")

    @property
    def counted_by_plant(self) -> bool:
        """True when they are counted on whole plants, not on leaves."""
        return self.row.words("counted_a") == "plant"

    @property
    def flower_holds(self) -> Figure | None:
        """Leaves that hold as many as one open flower, of what is counted in flowers; else None."""
        return self.row.find("flower_holds")

    @property
    def in_flower(self) -> Mapping[str, float]:
        """Quality of hosts in flower, where the pest table has their leaves. [0 to 1]"""
        return {host: figure.value for host, figure in self.row.under("in_flower").items()}

    @property
    def action(self) -> Figure | None:
        """Published or customary number from which growers treat, a leaf or plant. [insects]"""
        return self.row.find("action")

    @property
    def action_of(self) -> str:
        """The one crop that `action` is meant of; "" where it is told of any."""
        return self.row.words("action_of")

    def action_on(self, crop: str) -> tuple[Figure, ...]:
        """Numbers of their own from which growers of a crop treat; the notes say what of."""
        known = self.row.under("action_on").items()
        return tuple(one for word, one in known if crop.startswith(word.partition(".")[0]))

    @property
    def lays_most_at(self) -> float | None:
        """Share of the laying life at which a female lays most; None: alike all her life. [1]"""
        found = self.row.find("lays_most_at")
        return None if found is None else found.value

    @property
    def new_adults_lay_to(self) -> Figure | None:
        """Day of the year, north, from which new adults no longer lay; None where all lay."""
        return self.row.find("new_adults_lay_to")


@dataclass(frozen=True, slots=True)
class Enemy(OfRow):
    """One kind of natural enemy, or the sign it leaves."""

    @property
    def name(self) -> str:
        """As growers call it."""
        return self.row.text("name")

    @property
    def words(self) -> tuple[str, ...]:
        """Words of growers for it."""
        return _parted(self.row.text("words"))

    @property
    def prey(self) -> tuple[str, ...]:
        """Organisms it takes."""
        return _parted(self.row.text("prey"))

    @property
    def stages(self) -> tuple[str, ...]:
        """Beginnings of the stages it takes."""
        return _parted(self.row.text("stages"))

    @property
    def is_a_share(self) -> bool:
        """True where it is a host that was taken, counted beside the living ones."""
        return self.row.words("takes") == "share"

    @property
    def eats_a_day(self) -> Figure | None:
        """Prey that one takes in a day where there is enough. [insects/d]"""
        return self.row.find("eats_a_day")


def _parted(text: str) -> tuple[str, ...]:
    return tuple(word.strip() for word in text.split(","))
