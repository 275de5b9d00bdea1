"""The words of the pictures of water and of warmth."""

WATER_TITLE = "Water in the ground, {unit}"
WATER_UNITS = {"l": "litres", "gal": "gallons"}
WATER_NOTE = (
    "Heavy line: what the roots can still reach; 8 in 10 lie in the band. Dotted line: below it "
    "growth suffers. Pointer: by about then it is short. Columns: what came in on that ground, "
    "solid poured, ruled rain, open planned. From today on as if watered as planned at the coming "
    "visit and not after it; dashed: as if not even then. Rain that may come is in the band."
)
WATER_DUE = "water below {due}"
WATER_LINE = "growth suffers below {least} {unit}"
WATER_LINE_MOVES = "growth suffers below {least} to {most} {unit}, as roots deepen"
POURED = "{much} {unit} poured"
RAINED = "{much} {unit} of rain"
PLANNED = "{much} {unit} planned"
FIRST_DRY = "First to run short if not watered again: {name}, {when}."
FIRST_DRY_PLANNED = "First to run short if watered as planned and not after: {name}, {when}."
NONE_DRY = "None runs short before {last}, watered or not."
NONE_DRY_PLANNED = "Watered as planned, none runs short before {last}."
WATER_SAYS = "{name}: {left} of {full} {unit}, water below {due}.{planned} Short {when}."
WATER_LASTS = (
    "{name}: {left} of {full} {unit}, water below {due}.{planned} Not short before {last}."
)
WATER_PLANNED = " With {much} on {day}:"
SHORT_BY = "short by about then"
DRY_NOW = "now"
DRY_EARLY_ONLY = "on {early} in 1 case of 10, else not before {last}"
WATER_ROUGH = "{name}: {rough}."

HEAT_TITLE = "Warmth, degree-days in °{unit}"
HEAT_NOTE = (
    "Heavy line: degree-days gathered since the day named; from today on the band holds 8 in 10 of "
    "the weather that may come. Dotted line: the sum that brings what stands at it. Pointer: the "
    "day on which it probably does."
)
HEAT_PANEL = "{name}, above {base}"
BEGINS = {"first seen": "first seen", "set out": "set out", "sown": "sown"}
COMES = {"hatch": "hatch", "grown": "grown", "first pick": "first pick"}
COMES_LINE = {
    "hatch": "{sum} degree-days: what is laid today hatches",
    "grown": "{sum} degree-days: what is laid today is grown",
    "first pick": "{sum} degree-days: the first picking",
}
YOUNG_LINE = "{sum} degree-days: what is born today is grown"
COMES_DAY = {
    "hatch": "what is laid today has hatched",
    "grown": "what is laid today is grown",
    "first pick": "the first picking",
}
YOUNG_DAY = "what is born today is grown"
HATCH_SAYS = "{name}: what is laid today hatches {hatch}, and is grown {grown}."
YOUNG_SAYS = "{name}: what is born today is grown {grown}."
CROP_SAYS = "{name}: the first picking comes {pick}."
SO_FAR_SAYS = " {sum} degree-days above {base} so far, since {begins} on {day}."
MORE = "{when}, {more} degree-days on"
WHEN_SPAN = "about {middle} ({between})"
WHEN_DAY = "about {middle}"
WHEN_OPEN = "about {middle} (from {early}, perhaps never)"
DRY_OPEN = "about {middle} (from {early}, perhaps not before {last})"
WHEN_HARDLY = "not before {early}, if at all"
WHEN_NEVER = "not in this season's weather"
