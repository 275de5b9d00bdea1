"""What the tables say of one active ingredient or physical method; the label outranks it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from lattermath.knowledge.rows import OfRow, Row
from lattermath.vocabulary.figure import Figure


@dataclass(frozen=True, slots=True)
class Efficacy:
    """Reduction of one stage of a target against untreated, first seven days, good coverage."""

    target: str
    stage: str
    percent: Figure  # low, typical, high; below 0 where the pest grows


@dataclass(frozen=True, slots=True)
class Method(OfRow):
    """One method. Its intervals are for planning before a label is in hand, and never permit.

    more : our own row of the table `effects`: figures that the treatments table leaves out.
    """

    more: Row | None = None

    @property
    def name(self) -> str:
        """Name as the trade writes it (ISO common name)."""
        return self.row.text("name")

    @property
    def kind(self) -> str:
        """What sort of method: `insecticide`, `physical`, ..."""
        return self.row.text("kind")

    @property
    def is_product(self) -> bool:
        """True when it comes in a pack with a label; False for physical and living means."""
        return "moa.group" in self.row.texts

    @property
    def scheme(self) -> str:
        """Mode-of-action scheme: IRAC, FRAC; "" for physical means."""
        return self.row.words("moa.scheme")

    @property
    def group(self) -> str:
        """Mode-of-action group; "" for physical means."""
        return self.row.words("moa.group")

    @property
    def routes(self) -> tuple[str, ...]:
        """How it works, in words."""
        return self.row.listed("route")

    @property
    def efficacy(self) -> tuple[Efficacy, ...]:
        """Every efficacy figure of the treatments table, then those of our own."""
        rows = [self.row] if self.more is None else [self.row, self.more]
        return tuple(
            Efficacy(
                row.text(f"efficacy[{n}].target"),
                row.text(f"efficacy[{n}].stage"),
                row.figure(f"efficacy[{n}].pct"),
            )
            for row in rows
            for n in range(row.numbered("efficacy"))
        )

    def against(self, words: Sequence[str]) -> tuple[Efficacy, ...]:
        """The efficacy figures whose target holds any of these words (Crosswalk.targets)."""
        return tuple(e for e in self.efficacy if any(w in e.target.lower() for w in words))

    @property
    def half_life_days(self) -> Figure | None:
        """Half-life of the deposit: typical. [d]"""
        return self.row.find("residual.typical_d")

    @property
    def half_life_range_days(self) -> Figure | None:
        """Half-life of the deposit: low and high. [d]"""
        return self.row.find("residual.half_life_d")

    @property
    def kill_window_days(self) -> Figure | None:
        """Days over which the deposit kills. [d]"""
        return self.row.find("residual.kill_window_d")

    @property
    def dies_after(self) -> tuple[float, float] | None:
        """Days from its contact to death, soonest and latest; None for what kills at once. [d]

        Where the table has the days in which half of an instar died, those of the quickest and of
        the slowest instar.
        """
        halves = [f.value for f in self.row.under("speed.lt50_d_at_1pct").values()]
        if halves:
            return min(halves), max(halves)
        days = self.row.find("speed.days_to_death") or self.row.find("speed.death_d")
        return None if days is None else days.span

    @property
    def fades_by(self) -> str:
        """What wears the deposit down, in the words of the table: `sunlight on leaf`."""
        return self.row.words("residual.driver")

    @property
    def drying_hours(self) -> Figure | None:
        """Hours until the deposit is dry. [h]"""
        return self.row.find("rain.dry_h")

    @property
    def wash_off_fraction(self) -> Figure | None:
        """Share of the deposit that heavy rain takes. [1]

        Of some microbes the table has the share that one watering took; of others only words, and
        then our own figure stands.
        """
        row = self.row
        own = None if self.more is None else self.more.find("washed_off")
        return row.find("rain.washoff_fraction") or row.find("rain.loss_per_irrigation") or own

    @property
    def stays_days(self) -> Figure | None:
        """Days on which released animals go on feeding; None for all else. [d]"""
        return None if self.more is None else self.more.find("stays_d")

    @property
    def half_leave_days(self) -> Figure | None:
        """Days in which half of the released animals leave. [d]"""
        return None if self.more is None else self.more.find("half_leave_d")

    @property
    def rain_mm_halves(self) -> Figure | None:
        """Rain that halves a dried deposit. [mm]"""
        return self.row.find("rain.rain_mm_halves")

    @property
    def max_c(self) -> Figure | None:
        """Air temperature above which it is not used. [C]"""
        return self.row.find("temp.max_c")

    @property
    def caution_c(self) -> Figure | None:
        """Air temperature above which care is needed. [C]"""
        return self.row.find("temp.caution_c")

    @property
    def min_c(self) -> Figure | None:
        """Air temperature below which it is not used. [C]"""
        return self.row.find("temp.min_c")

    @property
    def pre_harvest_days(self) -> Mapping[str, Figure]:
        """Waiting time to picking by crop group of labels; high is the one to plan with. [d]"""
        return self.row.under("phi_d")

    def pre_harvest(self, words: Sequence[str]) -> Figure | None:
        """Waiting time of the first of these host words named, else of all listed crops. [d]"""
        named = self.pre_harvest_days
        found = next((named[w] for w in words if w in named), None)
        return found or named.get("all_listed_crops")

    @property
    def re_entry_hours(self) -> Figure | None:
        """Re-entry interval. [h]"""
        return self.row.find("rei_h")

    @property
    def retreat_days(self) -> Figure | None:
        """Least interval between two applications. [d]"""
        return self.row.find("retreat_d")

    @property
    def repeat_days(self) -> Figure | None:
        """Usual repeat of a physical method. [d]"""
        return self.row.find("repeat_d")

    @property
    def season_max(self) -> Figure | None:
        """Applications a season. [times]"""
        return self.row.find("max_apps.per_season")

    @property
    def bee_hazard(self) -> str:
        """Hazard to bees, in words."""
        return self.row.words("bees.hazard")

    @property
    def protective_gear(self) -> str:
        """What to wear, in words."""
        return self.row.words("ppe")

    @property
    def never(self) -> tuple[str, ...]:
        """What must not be done with it."""
        return self.row.listed("never")


@dataclass(frozen=True, slots=True)
class Rule(OfRow):
    """One rule that bounds treatments; a hard rule is never loosened."""

    @property
    def hard(self) -> bool:
        """True when it is a must-not and no preference."""
        return self.row.hard

    @property
    def text(self) -> str:
        """The rule in words."""
        return self.row.text("text")


@dataclass(frozen=True, slots=True)
class FolkPractice(OfRow):
    """One thing people do, with what is known of it."""

    @property
    def claim(self) -> str:
        """What people say."""
        return self.row.text("claim")

    @property
    def verdict(self) -> str:
        """Refuse, warn, or a small help."""
        return self.row.text("verdict")

    @property
    def why(self) -> str:
        """The reason."""
        return self.row.text("why")

    @property
    def instead(self) -> str:
        """What may be done instead; "" where nothing is said."""
        return self.row.words("allowed_alternative")
