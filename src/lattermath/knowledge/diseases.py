"""What the tables say of one disease or disorder; every figure with its origin."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from lattermath.knowledge.rows import OfRow
from lattermath.vocabulary.figure import Figure


@dataclass(frozen=True, slots=True)
class Disease(OfRow):
    """One disease. A None is a figure the table lacks; temperatures in C, days, hours."""

    @property
    def name(self) -> str:
        """Plain name."""
        return self.row.text("name")

    @property
    def pathogen(self) -> str:
        """Scientific name of what causes it; "" for a disorder."""
        return self.row.words("pathogen")

    @property
    def hosts(self) -> Mapping[str, Figure]:
        """Host susceptibility by host word, 1 for the worst. [1]"""
        return self.row.under("hosts")

    @property
    def temp_opt_c(self) -> Figure | None:
        """Best temperature: low and high ends are the optimum's. [C]"""
        return self.row.find("temp_opt_c")

    @property
    def temp_limits_c(self) -> Figure | None:
        """Temperature limits of growth or infection: its low and high ends. [C]"""
        return self.row.find("temp_limits_c") or self.row.find("t_limits_infection_c")

    @property
    def temp_stop_c(self) -> Figure | None:
        """Temperature that stops it. [C]"""
        return self.row.find("temp_stop_c") or self.row.find("t_max_infection_c")

    @property
    def latent_days(self) -> Figure | None:
        """Days from infection to new spores; the whole cycle where the table has no more. [d]"""
        return self.row.find("latent_days") or self.row.find("cycle_days")

    @property
    def rate_per_day(self) -> Figure | None:
        """Logistic rate of an untreated epidemic. [1/d]"""
        return self.row.find("r_per_day")

    @property
    def interval_days(self) -> Figure | None:
        """Usual interval between protective treatments. [d]"""
        return self.row.find("interval_days")

    @property
    def scout_threshold(self) -> Figure | None:
        """Share of old leaves with a colony at which growers begin to treat. [1]"""
        return self.row.find("scout_threshold")

    @property
    def loss_per_unit_severity(self) -> Figure | None:
        """Share of the remaining yield lost at a mean severity of 1; the worst on record. [1]"""
        return self.row.find("loss_per_unit_severity") or self.row.find("loss_max")

    @property
    def loss_per_plant(self) -> Figure | None:
        """Share of a plant lost once it has the disease. [1]"""
        return self.row.find("loss_per_plant")

    @property
    def free_water_needed(self) -> bool | None:
        """Whether leaves must be wet for infection; None where the table does not say."""
        words = self.row.words("free_water_needed")
        return words == "yes" if words else None

    @property
    def spread_by_wet_leaves(self) -> bool:
        """Whether water on the leaves carries or lets in a disease of leaves; unknown: it does."""
        return self.free_water_needed is not False and self.loss_per_plant is None

    @property
    def infection(self) -> Mapping[str, Figure]:
        """Tmin, Topt, Tmax [C], Wmin, Wmax [h] of the generic infection model; empty: none."""
        return self.row.under("infection")

    @property
    def wet_trials(self) -> tuple[tuple[float, float], ...]:
        """Lowest temperature with infection in trials, and its wet hours; empty: none. [C, h]"""
        return tuple(
            (
                self.row.figure(f"wetness_h_by_temp[{n}][0]").value,
                self.row.figure(f"wetness_h_by_temp[{n}][1]").value,
            )
            for n in range(self.row.numbered("wetness_h_by_temp"))
        )

    @property
    def stop_when(self) -> str:
        """When treating stops paying, in words."""
        return self.row.words("stop_when")

    @property
    def surface(self) -> str:
        """Where it is seen, in words."""
        return self.row.words("surface")


@dataclass(frozen=True, slots=True)
class LeafAge(OfRow):
    """Susceptibility of leaves by age for one disease; a None is what nothing says."""

    @property
    def young_days(self) -> Figure | None:
        """Age up to which a leaf takes few infections. [d]"""
        return self.row.find("young_days")

    @property
    def young_takes(self) -> Figure | None:
        """Infections taken by young leaf beside leaf at its most susceptible. [1]"""
        return self.row.find("young_takes")

    @property
    def old_days(self) -> Figure | None:
        """Age from which a leaf takes few infections. [d]"""
        return self.row.find("old_days")

    @property
    def old_takes(self) -> Figure | None:
        """Infections taken by old leaf beside leaf at its most susceptible. [1]"""
        return self.row.find("old_takes")

    @property
    def says(self) -> str:
        """Where to look, in words for a sheet."""
        return self.row.words("says")


@dataclass(frozen=True, slots=True)
class Advised(OfRow):
    """A disease that growers name and nothing here reckons: what is done about it."""

    @property
    def name(self) -> str:
        """Plain name."""
        return self.row.text("name")

    @property
    def words(self) -> tuple[str, ...]:
        """What growers call it."""
        return tuple(self.row.text("words").split(", "))

    @property
    def pull(self) -> bool:
        """Whether the plants that show it come out."""
        return self.row.text("pull") == "yes"

    @property
    def splash(self) -> bool:
        """Whether water on the leaves carries it or lets it in."""
        return self.row.text("splash") == "yes"

    @property
    def does(self) -> str:
        """What is done about it, in words for a sheet."""
        return self.row.text("does")

    @property
    def rest_years(self) -> Figure | None:
        """Years for which its family stays off that ground; None: as rotation has it. [years]"""
        return self.row.find("rest_years")
