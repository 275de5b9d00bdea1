"""What the tables say of one insect or mite; every figure with its origin."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from lattermath.knowledge.rows import OfRow
from lattermath.vocabulary.figure import Figure


@dataclass(frozen=True, slots=True)
class Duration:
    """One measured duration: of a stage, on a host, at a temperature or in a season's words."""

    stage: str  # a stage, `egg_adult`, or "" where the row does not say
    host: str
    days: Figure
    temperature: Figure | None  # C
    when: str  # the words where no temperature is given: `summer`


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
