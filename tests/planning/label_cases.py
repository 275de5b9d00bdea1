"""Invented products, plants and evenings for the tests of rulings. Every label here is invented."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from lattermath.planning.mixing import Mix, Part, Stand, filling
from lattermath.planning.own_cautions import Cautions, MethodFacts
from lattermath.planning.treatment_request import Surroundings, TreatmentRequest
from lattermath.vocabulary.evening import Applied, Evening
from lattermath.vocabulary.label import CropLimits, LabelLine, ProductLabel
from lattermath.vocabulary.plot import Planting

ZURICH = ZoneInfo("Europe/Zurich")
NONE: LabelLine[Any] = LabelLine("none")

GROUPS = {
    "soap": "not classified",
    "mineral_oil": "NC",
    "sulfur": "M02",
    "spinosad": "5",
    "azadirachtin": "UN",
    "neem_oil": "UNE",
    "pyrethrins": "3A",
    "permethrin": "3A",
    "lambda_cyhalothrin": "3A",
    "carbaryl": "1A",
    "malathion": "1B",
    "btk": "11A",
    "copper_hydroxide": "M01",
    "myclobutanil": "3",
    "iron_phosphate": "",
    "chlorothalonil": "M05",
    "beauveria": "UNF",
    "acetamiprid": "4A",
}

METHODS = {
    "soap": MethodFacts("soap", True, "soap", "IRAC", 4),
    "quick_soap": MethodFacts("soap", True, "soap", "IRAC", 1),
    "mineral_oil": MethodFacts("mineral_oil", True, "oil", "FRAC", 4),
    "sulfur": MethodFacts("sulfur", True, "inorganic", "FRAC", 2),
    "spinosad": MethodFacts("spinosad", True, "spinosyn", "IRAC", 2),
    "azadirachtin": MethodFacts("azadirachtin", True, "limonoid from neem seed", "IRAC", None),
    "neem_oil": MethodFacts("neem_oil", True, "botanical oil", "IRAC", 4),
    "pyrethrins": MethodFacts("pyrethrins", True, "botanical", "IRAC", 2),
    "permethrin": MethodFacts("permethrin", True, "pyrethroid", "IRAC", None),
    "lambda_cyhalothrin": MethodFacts("lambda_cyhalothrin", True, "pyrethroid", "IRAC", None),
    "carbaryl": MethodFacts("carbaryl", True, "carbamate", "IRAC", None),
    "malathion": MethodFacts("malathion", True, "organophosphate", "IRAC", None),
    "btk": MethodFacts("btk", True, "bacterial crystal toxin", "IRAC", None),
    "copper_hydroxide": MethodFacts("copper_hydroxide", True, "inorganic", "FRAC", 12),
    "myclobutanil": MethodFacts("myclobutanil", True, "triazole", "FRAC", 2),
    "chlorothalonil": MethodFacts("chlorothalonil", True, "chloronitrile", "FRAC", 8),
    "beauveria": MethodFacts("beauveria", True, "entomopathogenic fungus", "IRAC", None),
    "acetamiprid": MethodFacts("acetamiprid", True, "neonicotinoid", "IRAC", 2),
    "iron_phosphate": MethodFacts("iron_phosphate", True, "mineral bait", "none", None),
    "water_jet": MethodFacts("water_jet", False, "", "none", None),
    "hand_pick": MethodFacts("hand_pick", False, "", "none", None),
}

# Figures of trade rules (bloom, heat_ceiling, ...) typed again here, for a check on the loader.
CAUTIONS = Cautions(
    blocked_in_bloom=frozenset(
        [
            "carbaryl",
            "malathion",
            "permethrin",
            "bifenthrin",
            "lambda_cyhalothrin",
            "pyrethrins",
            "acetamiprid",
        ]
    ),
    blocked_classes=frozenset(["pyrethroid", "organophosphate", "carbamate", "neonicotinoid"]),
    only_if_label_permits=frozenset({"spinosad"}),
    blocked_forms=frozenset({"dust"}),
    not_a_spray=frozenset({"iron_phosphate"}),
    soap_and_oil=frozenset({"soap", "mineral_oil", "neem_oil"}),
    sulfur=frozenset({"sulfur"}),
    heat_caution_c=29.4,
    heat_refuse_c=32,
    oil_refuse_below_c=10,
    oils=frozenset({"mineral_oil", "neem_oil", "vegetable oils", "any product with an oil in it"}),
    sulfur_oil_gap_days=14,
    contact_only=frozenset(
        {"soap", "mineral_oil", "neem_oil", "pyrethrins", "potassium_bicarbonate"}
    ),
    deposit_refuse_hours=2,
    deposit_caution_hours=12,
    wind_refuse_m_s=4.0,
    wind_calm_m_s=0.5,
    exempt_methods=frozenset(
        [
            "soap",
            "mineral_oil",
            "neem_oil",
            "kaolin",
            "diatomaceous_earth",
            "iron_phosphate",
            "water_jet",
            "hand_pick",
            "row_cover",
            "vacuum",
            "bag_enclosure",
            "prune_leaves",
            "remove_plant",
            "board_trap",
            "sticky_cards",
            "trap_crop",
        ]
    ),
    exempt_groups=frozenset(
        ["not classified", "NC", "BM01", "BM02", *["UN", "UNE", "UNF", "UNM", "UNB", "UNP", "UNV"]]
        + [f"M{n:02d}" for n in range(1, 13)]
    ),
    shortest_window_days=15,
    methods={key: replace(facts, group=GROUPS.get(key, "")) for key, facts in METHODS.items()},
)


def value(what: Any) -> LabelLine[Any]:
    return LabelLine("value", what)


def limits(crop: str = "bean_bush", **over: Any) -> CropLimits:
    lines: dict[str, Any] = {
        "pre_harvest_days": value(1.0),
        "retreat_days": value(7.0),
        "season_max": value(4),
        "rate_ml_per_l": value(10.0),
        "max_l_per_m2": value(0.2),
        "plant_back_days": NONE,
    }
    return CropLimits(crop, **(lines | over))


def product(active: str = "soap", crops: tuple[CropLimits, ...] = (), **over: Any) -> ProductLabel:
    lines: dict[str, Any] = {
        "key": f"{active} product",
        "name": f"invented {active}",
        "active": active,
        "group": GROUPS[active],
        "crops": crops or (limits(),),
        "crops_line": "value",
        "re_entry_hours": value(4.0),
        "max_temperature_c": NONE,
        "rain_free_hours": NONE,
        "max_wind_m_s": NONE,
        "bloom": NONE,
        "sulfur_oil_gap_days": NONE,
        "consecutive_max": NONE,
        "country": "CH",
        "sold_to_amateurs": True,
        "organic_input": True,
        "invented": True,
    }
    return ProductLabel(**(lines | over))


def evening(day: datetime, **over: Any) -> Evening:
    """A fine evening: 20:38 sunset, 21:10 civil dusk, 24 C, dry, light air."""
    hours: dict[str, Any] = {
        "day": day.date(),
        "arrive": day.replace(hour=18, minute=30),
        "leave": day.replace(hour=21, minute=15),
        "sunrise": day.replace(hour=6, minute=10),
        "sunset": day.replace(hour=20, minute=38),
        "civil_dusk": day.replace(hour=21, minute=10),
        "temperature_low_c": 16.0,
        "temperature_c": 22.0,
        "temperature_high_c": 24.0,
        "hottest_next_two_days_c": 27.0,
        "rain_chance_2h": 0.0,
        "rain_chance_12h": 0.05,
        "wind_m_s": 1.0,
        "leaves_wet": False,
        "forecast": True,
    }
    return Evening(**(hours | over))


TUESDAY = datetime(2026, 8, 4, 20, 10, tzinfo=ZURICH)


def applied(label: ProductLabel, at: datetime, planting: str = "beans", **over: Any) -> Applied:
    facts: dict[str, Any] = {
        "at": at,
        "method": label.active,
        "product": label.key,
        "active": label.active,
        "group": label.group,
        "form": label.form,
        "planting": planting,
        "crop": "bean_bush",
        "bed": "A",
        "serial": 7,
    }
    return Applied(**(facts | over))


def request(label: ProductLabel | None = None, **over: Any) -> TreatmentRequest:
    """A soap spray of bush beans without flowers on a fine evening: allowed."""
    label = product() if label is None else label
    starts = over.pop("starts", TUESDAY)
    minutes = over.get("minutes", 15.0)
    facts: dict[str, Any] = {
        "planting": Planting("beans", "Beans", "bean_bush", 20, bed="A", in_bloom=False),
        "method": CAUTIONS.facts(label.active),
        "label": label,
        "evening": evening(starts),
        "starts": starts,
        "minutes": minutes,
        "country": "CH",
        "surroundings": Surroundings(False, False, ()),
        "shelf": (label,),
        "generation_days": 20.0,
        "dry_soil": False,
    }
    return TreatmentRequest(**(facts | over))


def days_before(n: float, at: datetime = TUESDAY) -> datetime:
    return at - timedelta(days=n)


def with_label(r: TreatmentRequest, **over: Any) -> TreatmentRequest:
    assert r.label is not None
    label = replace(r.label, **over)
    return replace(r, label=label, shelf=(label, *(s for s in r.shelf if s.key != label.key)))


def mix_for(label: ProductLabel, crop: str, stand: Stand, surfaces: list[str]) -> Mix:
    """A filling for one planting."""
    return filling(label, [Part(crop, stand, tuple(surfaces))])
