"""One crop's table figures joined to one kernel: the single answers that can be asked for."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from lattermath.belief.crop_traits import CropTraits, Need, Nursery, Start
from lattermath.knowledge.tables import Tables
from lattermath.science import crop_stages, emergence, root_fill
from lattermath.science.fruit_set import fruit_set
from lattermath.science.last_planting import LastPlanting, last_planting
from lattermath.vocabulary.errors import Fault, TableError
from lattermath.vocabulary.figure import Figure

Floats = NDArray[np.float64]

NODES_C = tuple(range(0, 45, 5))


class CupAnswer(NamedTuple):
    """A lot of one age: share of the cup rooted, the ready window in days from sowing, its cost."""

    fill: float
    ready_from_day: float | None  # None: too cold to grow
    ready_to_day: float | None
    coils_day: float | None
    coiled: bool
    delay_days: float
    early_loss: float


class FirstPick(NamedTuple):
    """Days from the start to first pick (likely, earliest, latest) and full size; None: not yet."""

    likely: float | None
    low: float | None
    high: float | None
    full_size: float | None


def emergence_of(tables: Tables, crop: str, soil_c: float) -> emergence.Emergence:
    """Days to emergence and stand of one crop; ValueError where nobody tested that soil.

    Days are read between the nodes tested; outside them the crop's thermal-time line serves,
    where there is one, from 10 to 25 C. A crop that leans on a relative's row has the relative's
    line and no stand.
    """
    row = tables.crops[crop]
    own = None if row.germination_by_proxy else tables.germination.get(row.germination_row or "")
    stand = _nodes({} if own is None else own.stand)
    days = _nodes(row.emergence_days if own is None or not own.days else own.days)
    tested = ~np.isnan(stand)
    try:
        percents = stand.tolist() if tested.any() else None
        return emergence.emergence_from_table(soil_c, NODES_C, days.tolist(), percents)
    except ValueError:
        base, heat = row.emergence_t_base, row.emergence_dd
        if base is None or heat is None:
            raise
        found = emergence.emergence_from_line(soil_c, emergence.ThermalLine(base.value, heat.value))
    if not tested.any():
        return found
    percent = float(np.interp(soil_c, np.asarray(NODES_C)[tested], stand[tested]))
    return emergence.Emergence(found.days, percent)


def untested_soil(tables: Tables, crop: str, soil_c: float) -> str:
    """Where `emergence_of` refuses: in what soil nobody tested that crop, in words."""
    tested = [at for at in range(NODES_C[0], NODES_C[-1] + 1) if _answers(tables, crop, at)]
    if not tested:
        return "in any soil"
    return "in soil that warm" if soil_c > tested[-1] else "in soil that cool"


def _answers(tables: Tables, crop: str, soil_c: float) -> bool:
    try:
        emergence_of(tables, crop, soil_c)
    except ValueError:
        return False
    return True


def cup_answer(
    traits: CropTraits, cup_ml: float, temperature_c: float, age_days: float
) -> CupAnswer:
    """State of a lot kept at one steady mean; TableError for a crop that is never transplanted."""
    nursery = nursery_of(traits)
    heat = root_fill.cup_heat(*nursery.ready_heat, nursery.coils_heat, cup_ml)
    base, upper = traits.base_c, traits.upper_c
    a_day = root_fill.nursery_degree_days(np.array(temperature_c), base, upper)
    state = root_fill.cup_state(a_day * age_days, heat, nursery.cost)

    def days(wanted: float) -> float | None:
        return root_fill.nursery_days(wanted, temperature_c, base, upper)

    return CupAnswer(
        float(state.fill), days(heat.ready), days(heat.closes), days(heat.coils),
        bool(state.coiled), float(state.delay_days), float(state.early_loss),
    )  # fmt: skip


def nursery_of(traits: CropTraits) -> Nursery:
    """The nursery figures of a crop; TableError where it is never transplanted."""
    if traits.nursery is None:
        where = f"crops/{traits.crop}/nursery.ready_days"
        raise TableError(Fault("this crop is sown in place, never in cups", where, traits.crop))
    return traits.nursery


def first_pick(
    traits: CropTraits,
    start: Start,
    t_min: ArrayLike,
    t_max: ArrayLike,
    age_at_set_out_days: float | None = None,
) -> FirstPick:
    """Days from sowing or setting out to first pick in given weather (daily from that day).

    age_at_set_out_days : age when set out; each day short of the usual age is a day more, and
                          over-age past the ready window costs its delay. None: the usual age.
    """
    need = traits.need(start)
    heat = traits.heat(np.atleast_2d(t_min), np.atleast_2d(t_max))
    sums = crop_stages.heat_sums(heat)
    ahead = 0.0 if start == "sown" else ahead_days(traits, age_at_set_out_days)
    likely = crop_stages.likely(*need.heat, need.early)
    full = traits.full_size if start == "set out" else None
    return FirstPick(
        _elapsed(sums, need, likely, start, ahead),
        _elapsed(sums, need, need.heat[0], start, ahead),
        _elapsed(sums, need, need.heat[1], start, ahead),
        None if full is None else _elapsed(sums, full, sum(full.heat) / 2, start, ahead),
    )


def ahead_days(traits: CropTraits, age_days: float | None) -> float:
    """Days by which a plant of that nursery age is ahead of the usual; negative: behind. [d]

    Age counts in full up to the end of the ready window; beyond it the delay is taken off.
    """
    nursery = traits.nursery
    if nursery is None or age_days is None:
        return 0.0
    last = nursery.ready_days[1]
    late_weeks = max(age_days - last, 0.0) / 7
    return (
        min(age_days, last) - nursery.usual_age_days - late_weeks * nursery.cost.delay_days_a_week
    )


def last_planting_of(
    traits: CropTraits, start: Start, first_frost: float, days_to_maturity: float | None = None
) -> LastPlanting:
    """Day number of the last useful sowing or setting out; a packet's days outrank the table's.

    first_frost : day number of the first autumn frost, in any count of days. [d]
    """
    days = days_to_maturity if days_to_maturity is not None else traits.need(start).days[0]
    return last_planting(first_frost, days, traits.margin_days)


def fruit_set_of(traits: CropTraits, t_min: ArrayLike, t_max: ArrayLike) -> Floats:
    """Share of normal fruit set on each day; TableError for a crop that is not grown for fruit."""
    if traits.set_limits is None:
        where = f"crops/{traits.crop}/first_flower.days"
        raise TableError(Fault("this crop is not grown for its fruit", where, traits.crop))
    return fruit_set(np.asarray(t_min, float), np.asarray(t_max, float), traits.set_limits)


def _elapsed(sums: Floats, need: Need, total: float, start: Start, ahead: float) -> float | None:
    """Days until `total` heat is gathered, the check of setting out spent first."""
    if start == "sown":
        first, after = 0, np.array([total])
    else:
        first = round(crop_stages.NOMINAL_CHECK_DAYS)
        after = crop_stages.heat_after_check(np.array([total]), need.per_day, np.array([ahead]))
    reached = crop_stages.day_reached(sums, np.array([first], dtype=np.intp), after)[0]
    return None if math.isinf(reached) else float(reached)


def _nodes(tested: Mapping[float, Figure | None] | Mapping[float, Figure]) -> Floats:
    """Figures at the nodes: NaN where not tested, inf where a test failed."""
    found = np.full(len(NODES_C), emergence.NOT_TESTED)
    for k, node in enumerate(NODES_C):
        if node in tested:
            figure = tested[node]
            found[k] = emergence.NONE_CAME_UP if figure is None else figure.value
    return found
