"""The key of diagnosis: symptoms, causes and checks; every figure with its origin."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from lattermath.knowledge.rows import OfRow
from lattermath.vocabulary.figure import Figure


@dataclass(frozen=True, slots=True)
class Symptom(OfRow):
    """One thing a grower can see, or answer."""

    @property
    def text(self) -> str:
        """What it looks like, in words."""
        return self.row.text("text")

    @property
    def look(self) -> str:
        """How it is looked for: naked eye, turn leaf over, string test."""
        return self.row.text("look")

    @property
    def group(self) -> str:
        """Symptoms of one group tell of the same thing."""
        return self.row.text("group")

    @property
    def leak(self) -> Figure:
        """Chance that it is reported where no listed cause makes it. [1]"""
        return self.row.figure("leak")


@dataclass(frozen=True, slots=True)
class Cause(OfRow):
    """One pest, disease or disorder that may be behind what was seen."""

    @property
    def name(self) -> str:
        """Plain name."""
        return self.row.text("name")

    @property
    def kind(self) -> str:
        """pest, disease or disorder."""
        return self.row.text("kind")

    @property
    def crops(self) -> tuple[str, ...]:
        """Diagnosis groups and crop ids on which it occurs."""
        return self.row.listed("crops")

    @property
    def region(self) -> str:
        """general, or the part of the world to which it is mainly confined."""
        return self.row.text("region")

    def known_from(self, region: str) -> bool:
        """Whether it lives in a region; in `general` lives whatever lives anywhere."""
        confined = self.row.regions("region")
        return region == "general" or not confined or region in confined

    @property
    def deed(self) -> str:
        """What it asks to be done: treat, protect, pull, clean, pick, water, leave and so on."""
        return self.row.text("deed")

    @property
    def prior(self) -> Figure:
        """Weight before anything was seen; a temperate plot from mid-summer on. [1]"""
        return self.row.figure("prior")

    @property
    def chances(self) -> Mapping[str, Figure]:
        """Chance that a grower who looks reports each symptom, with this cause alone. [1]"""
        return self.row.under("p")


@dataclass(frozen=True, slots=True)
class CauseAge(OfRow):
    """Up to which age of the plants one cause shows, and what is left of it on older ones."""

    @property
    def young_days(self) -> Figure:
        """Days from setting out, or from sowing in place, up to which it shows. [d]"""
        return self.row.figure("young_days")

    @property
    def left(self) -> Figure:
        """Share of its prior that is left a fortnight later and after. [1]"""
        return self.row.figure("left")


@dataclass(frozen=True, slots=True)
class CauseSeason(OfRow):
    """When in the year one cause shows in a temperate garden of the north; None for no such end."""

    @property
    def from_day(self) -> Figure | None:
        """Day of the year from which on it shows. [day of year]"""
        return self.row.find("from_day")

    @property
    def to_day(self) -> Figure | None:
        """Day of the year up to which it shows. [day of year]"""
        return self.row.find("to_day")

    @property
    def says(self) -> str:
        """The season in words."""
        return self.row.text("says")


@dataclass(frozen=True, slots=True)
class Check(OfRow):
    """One closer look that is answered yes or no."""

    @property
    def action(self) -> str:
        """What to do and what to look for, in words."""
        return self.row.text("action")

    @property
    def group(self) -> str:
        """The group of symptoms that it looks at more closely."""
        return self.row.text("group")

    @property
    def minutes(self) -> Figure:
        """How long it takes. [min]"""
        return self.row.figure("minutes")

    @property
    def wait_days(self) -> Figure | None:
        """Days until it answers; None where it answers at once. [d]"""
        return self.row.find("wait_days")

    @property
    def leak(self) -> Figure:
        """Chance of a yes under any cause not listed. [1]"""
        return self.row.figure("p_default")

    def chances(self, group: str) -> Mapping[str, Figure]:
        """Chance of a yes by cause; a diagnosis group may have figures of its own. [1]"""
        own = self.row.under(f"p_positive_by_crop.{group}")
        return {**self.row.under("p_positive"), **own}
