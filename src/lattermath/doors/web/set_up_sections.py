"""What can be told of a plot on the set-up pages, section by section: each key with its words."""

from __future__ import annotations

from dataclasses import dataclass
from typing import get_args

from lattermath.doors.web.log_fields import Options, words
from lattermath.doors.web.set_up_fields import Ask
from lattermath.record.plot_words import WEEKDAYS
from lattermath.sheets import set_up_words as u
from lattermath.vocabulary.place import Region
from lattermath.vocabulary.plot import Household, OnHand, Texture, Vigour

Names = tuple[str, ...]
YES_NO: Options = (("yes", u.YES), ("no", u.NO), ("", u.NOT_SAID))
WAYS: Options = (("foot", u.AT_FOOT), ("overhead", u.OVERHEAD), ("", u.NOT_SAID))
CHECKED = "checked"  # asked for only where a row holds something that can hardly be so
METRES, DEPTH = ("m", "ft"), ("m", "in")
SIDES = ("north", "east", "south", "west")
RECKONED = Household()  # what is reckoned with while the file names no rate


@dataclass(frozen=True, slots=True)
class Part:
    """One table of a section, or the rows of one kind.

    table : its name in the plot file, inner names in order; `fresh` counts the empty rows shown.
    caution : what can hurt, beside the blanks it is about.
    hangs_on : the key without which the table is taken out of the file; "": none is.
    """

    table: Names
    title: str
    asks: tuple[Ask, ...]
    note: str = ""
    caution: str = ""
    fresh: int = 0  # 0: one table, not rows
    add: str = ""
    hangs_on: str = ""

    @property
    def prefix(self) -> str:
        """How the names of its blanks begin."""
        return ".".join(self.table)


@dataclass(frozen=True, slots=True)
class Section:
    """One page under /set-up."""

    key: str
    title: str
    lead: str
    parts: tuple[Part, ...]


PLACE = Part(
    ("place",),
    u.PLACE,
    (
        Ask("name", u.PLACE_NAME, hint=u.OPTIONAL),
        Ask("latitude", u.LATITUDE, "number", u.LATITUDE_HINT, unit=("°", "°"), short=True),
        Ask("longitude", u.LONGITUDE, "number", u.LONGITUDE_HINT, unit=("°", "°"), short=True),
        Ask("altitude_m", u.ALTITUDE, "number", unit=METRES, short=True),
        Ask("time_zone", u.ZONE, hint=u.ZONE_HINT),
        Ask("usual_first_frost", u.FROST_LONG, hint=u.FROST_HINT),
        Ask("country", u.COUNTRY, hint=u.COUNTRY_HINT),
        Ask("region", u.REGION, "choice", options=(*words(get_args(Region)), ("", u.NOT_SAID))),
    ),
)
BEDS = Part(
    ("bed",),
    u.BEDS,
    (
        Ask("name", u.BED_NAME),
        Ask("length_m", u.LENGTH, "number", unit=METRES, short=True),
        Ask("width_m", u.WIDTH, "number", unit=METRES, short=True),
        Ask("x_m", u.EAST_OF_PEG, "number", unit=METRES, short=True),
        Ask("y_m", u.NORTH_OF_PEG, "number", unit=METRES, short=True),
        Ask("texture", u.SOIL, hint=u.SOIL_HINT, options=words(get_args(Texture))),
        Ask("root_limit_m", u.ROOT_LIMIT, "number", u.ROOT_LIMIT_HINT, unit=DEPTH),
        Ask("watering", u.WATERED_HOW, "choice", options=WAYS),
        Ask("mulched", u.MULCHED, "yes", options=(("yes", u.MULCHED_YES),)),
        Ask(CHECKED, u.LOOKED_AT, "yes", options=(("yes", u.SURE),)),
    ),
    fresh=2,
    add=u.ADD_BED,
)
PLANTINGS = Part(
    ("planting",),
    u.GROWS,
    (
        Ask("crop", u.CROP),
        Ask("plants", u.PLANTS, "number", short=True),
        Ask("bed", u.IN_BED, short=True),
        Ask("sown", u.SOWN_WHEN, "day", u.DAY_HINT, short=True),
        Ask("set_out", u.SET_OUT_WHEN, "day", u.DAY_HINT, short=True),
        Ask("name", u.CALLED, hint=u.CALLED_HINT),
        Ask("variety", u.VARIETY, hint=u.OPTIONAL, short=True),
        Ask("days_to_maturity", u.MATURITY, "number", u.MATURITY_HINT, short=True),
        Ask("resists", u.RESISTS, "list", u.RESISTS_HINT),
        Ask("bearing_since", u.BEARING, "day", u.BEARING_HINT),
        Ask("vigour", u.VIGOUR, "choice", options=(*words(get_args(Vigour)), ("", u.NOT_SAID))),
        Ask("in_bloom", u.IN_BLOOM, "choice", u.IN_BLOOM_HINT, options=YES_NO),
        Ask(CHECKED, u.LOOKED_AT, "yes", options=(("yes", u.SURE),)),
    ),
    fresh=3,
    add=u.ADD_PLANTING,
)
LOTS = Part(
    ("lot",),
    u.CUPS,
    (
        Ask("crop", u.CROP),
        Ask("plants", u.PLANTS, "number", short=True),
        Ask("sown", u.SOWN_WHEN, "day", u.DAY_HINT, short=True),
        Ask("cup_ml", u.CUP, "number", unit=("ml", "fl oz"), short=True),
        Ask("name", u.CALLED, hint=u.CALLED_HINT),
        Ask("variety", u.VARIETY, hint=u.OPTIONAL, short=True),
        Ask("days_to_maturity", u.MATURITY, "number", u.MATURITY_HINT, short=True),
        Ask("where", u.STANDS, "choice", options=(("home", u.AT_HOME), ("plot", u.AT_PLOT))),
        Ask(
            "watered",
            u.WATERED_OFTEN,
            "choice",
            u.WATERED_HINT,
            (*words(("twice a day", "daily", "at visits")), ("", u.NOT_SAID)),
        ),
    ),
    fresh=2,
    add=u.ADD_LOT,
)
VISITING = Part(
    ("visiting",),
    u.VISITS,
    (
        Ask("days", u.VISIT_DAYS, "several", options=tuple((d, u.DAYS[d]) for d in WEEKDAYS)),
        Ask("arrive", u.ARRIVE, hint=u.ARRIVE_HINT, short=True),
        Ask("minutes", u.MINUTES, "number", short=True),
        Ask("away", u.AWAY, "spans", u.AWAY_HINT),
    ),
)
WATER = Part(
    ("water",),
    u.WATER,
    (
        Ask("can_litres", u.CAN, "number", unit=("litres", "gallons"), short=True),
        Ask("cans_a_visit", u.CANS, "number", short=True),
        Ask("watering", u.WATERED_HOW, "choice", options=WAYS),
        Ask("hose", u.HOSE, "yes", options=(("yes", u.HOSE_YES),)),
        Ask("hose_ban", u.HOSE_BAN, "yes", options=(("yes", u.HOSE_BAN_YES),)),
    ),
)
HOUSEHOLD = Part(
    ("household",),
    u.HOUSEHOLD,
    (
        Ask("people", u.PEOPLE, "number", short=True, usual=str(RECKONED.people)),
        Ask("freezer_litres", u.FREEZER, "number", unit=("litres", "litres"), short=True),
        Ask("jars", u.JARS, "number", u.JARS_HINT, short=True),
    ),
)
WANTS = Part(
    ("household", "want"),
    u.WANTS,
    (
        Ask("food", u.FOOD, short=True),
        Ask("portions_a_week", u.PORTIONS, "number", short=True),
        Ask("worth", u.WORTH, "number", u.WORTH_HINT),
    ),
    fresh=2,
    add=u.ADD_WANT,
)
GARDEN = Part(
    ("garden",),
    u.GARDEN,
    (
        Ask("organic_only", u.ORGANIC, "choice", options=YES_NO),
        Ask("no_sprays", u.NO_SPRAYS, "choice", options=YES_NO),
        Ask("no_hose", u.NO_HOSE, "choice", options=YES_NO),
        Ask("no_fires", u.NO_FIRES, "choice", options=YES_NO),
        Ask("gate_opens", u.GATE_OPENS, hint=u.CLOCK_HINT, short=True),
        Ask("gate_closes", u.GATE_CLOSES, hint=u.CLOCK_HINT, short=True),
        Ask("waste", u.WASTE, hint=u.WASTE_HINT),
        Ask("tidy_by", u.TIDY_BY, "day", u.TIDY_HINT),
        Ask("bloom_near", u.BLOOM_NEAR, "choice", options=YES_NO),
    ),
)
RING = Part(("garden",), u.RING, (Ask("poison_number", u.POISON_NUMBER, hint=u.POISON_HINT),))
HOLDER = Part(
    ("holder",),
    u.HOLDER,
    (Ask("name", u.HOLDER_NAME, short=True), Ask("plot", u.HOLDER_PLOT, short=True)),
)
NEIGHBOURS = Part(
    ("neighbour",),
    u.NEXT_DOOR,
    (
        Ask("crop", u.CROP),
        Ask("plants", u.PLANTS, "number", short=True),
        Ask("distance_m", u.FAR_OFF, "number", unit=METRES, short=True),
        Ask("side", u.ON_SIDE, "choice", options=(*words(SIDES), ("", u.NOT_SAID))),
        Ask("sown", u.SOWN_WHEN, "day", u.DAY_HINT, short=True),
        Ask("set_out", u.SET_OUT_WHEN, "day", u.DAY_HINT, short=True),
        Ask("name", u.CALLED, hint=u.CALLED_HINT),
        Ask("in_bloom", u.IN_BLOOM, "choice", u.IN_BLOOM_HINT, options=YES_NO),
    ),
    fresh=2,
    add=u.ADD_NEIGHBOUR,
)
TIN = Part(
    ("tin",),
    u.CUPS_AND_MIX,
    (
        Ask("cups", u.EMPTY_CUPS, "number", short=True),
        Ask("cup_ml", u.CUP, "number", unit=("ml", "fl oz"), short=True, usual=u.USUAL_CUP),
        Ask("mix_litres", u.MIX, "number", unit=("litres", "gallons"), short=True),
    ),
)
PACKETS = Part(
    ("tin", "packet"),
    u.PACKETS,
    (
        Ask("crop", u.CROP),
        Ask("seeds", u.SEEDS, "number", u.SEEDS_HINT, short=True),
        Ask("variety", u.VARIETY, hint=u.OPTIONAL, short=True),
        Ask("days_to_maturity", u.MATURITY, "number", u.MATURITY_HINT, short=True),
        Ask("resists", u.RESISTS, "list", u.RESISTS_HINT),
    ),
    fresh=3,
    add=u.ADD_PACKET,
)
MEANS = Part(
    ("means",),
    u.ON_HAND,
    (
        Ask(
            "on_hand",
            u.ON_HAND_ASKED,
            "several",
            options=tuple((one, u.MEANS[one]) for one in get_args(OnHand)),
        ),
    ),
    note=u.MEANS_NOTE,
    caution=u.MEANS_CAUTION,
)
FORECAST = Part(
    ("forecast",),
    u.SERVICE,
    (
        Ask("service", u.SERVICE_AT, hint=u.SERVICE_HINT, options=words((u.OPEN_SERVICE,))),
        Ask("days", u.DAYS_AHEAD, "number", short=True, usual="7"),
        Ask("past_days", u.DAYS_PAST, "number", short=True, usual="7"),
    ),
    note=u.SERVICE_NOTE,
    hangs_on="service",
)
RATES = Part(
    ("household",),
    u.RATES,
    tuple(
        Ask(key, label, "number", hint, unit=(u.IN_PORTIONS, u.IN_PORTIONS), usual=f"{usual:g}")
        for key, label, hint, usual in (
            ("worth_of_hour", u.HOUR, u.HOUR_DECIDES, RECKONED.worth_of_hour),
            ("worth_of_litre", u.LITRE, u.LITRE_DECIDES, RECKONED.worth_of_litre),
            ("worth_of_treatment", u.TREATMENT, u.TREATMENT_DECIDES, RECKONED.worth_of_treatment),
            ("worth_of_given_away", u.GIVEN, u.GIVEN_DECIDES, RECKONED.worth_of_given_away),
        )
    ),
)

SECTIONS = {
    one.key: one
    for one in (
        Section("place", u.PLACE, u.PLACE_LEAD, (PLACE,)),
        Section("forecast", u.SERVICE, u.SERVICE_LEAD, (FORECAST,)),
        Section("beds", u.BEDS, u.BEDS_LEAD, (BEDS,)),
        Section("plantings", u.GROWS, u.PLANTINGS_LEAD, (PLANTINGS,)),
        Section("neighbours", u.NEXT_DOOR, u.NEXT_DOOR_LEAD, (NEIGHBOURS,)),
        Section("cups", u.CUPS, u.CUPS_LEAD, (LOTS,)),
        Section("tin", u.TIN, u.TIN_LEAD, (TIN, PACKETS)),
        Section("visits", u.VISITS, u.VISITS_LEAD, (VISITING,)),
        Section("garden", u.GARDEN, u.GARDEN_LEAD, (GARDEN, RING, HOLDER)),
        Section("water", u.WATER, u.WATER_LEAD, (WATER,)),
        Section("household", u.HOUSEHOLD, u.HOUSEHOLD_LEAD, (HOUSEHOLD, WANTS)),
        Section("worth", u.RATES, u.RATES_LEAD, (RATES,)),
        Section("means", u.ON_HAND, u.MEANS_LEAD, (MEANS,)),
    )
}
