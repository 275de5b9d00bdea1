"""Development and the wait before laying as laboratories measured them."""

from __future__ import annotations

import numpy as np

from lattermath.knowledge.organisms import Organism

LEAST_MEASURED, LEAST_SPAN_C = 5, 15.0  # judgement: a table that may take a line's place
WHOLE_LIFE = ("", "egg_adult", "birth_to_first_young")  # of rows without a stage: all of it
STAGES_AT_C = 25.0  # at which a stage that the table of stages lacks is known
WAIT_AT_C, UNKNOWN_WAIT_D = 25.0, 2.0  # judgement, where the table has no days before laying

Rates = tuple[tuple[float, float], ...]


def measured_rates(organism: Organism) -> Rates:
    """Rates of the whole development by temperature; empty where too few were tried. [C, 1/d]

    No host named; mean of the logs where a temperature stands twice. Where the table has days by
    stage, they are summed. Empty with fewer than LEAST_MEASURED temperatures over LEAST_SPAN_C.
    """
    found: dict[float, list[float]] = {}
    for one in organism.durations:
        if one.temperature and not one.host and one.stage in WHOLE_LIFE:
            found.setdefault(one.temperature.value, []).append(float(np.log(one.days.value)))
    for t, days in _summed_stages(organism).items():
        found.setdefault(t, []).append(float(np.log(days)))
    if len(found) < LEAST_MEASURED or max(found) - min(found) < LEAST_SPAN_C:
        return ()
    return tuple((t, float(np.exp(-np.mean(logs)))) for t, logs in sorted(found.items()))


def _summed_stages(organism: Organism) -> dict[float, float]:
    """Days from egg to adult by temperature, of a table by stage. [C, d]

    A pupa known at 25 C only is taken to keep its share of the whole at every temperature.
    """
    by: dict[float, float] = {}
    for key, figure in organism.row.under("nonlinear_days").items():
        t = float(key.split("[")[0].strip("t"))
        by[t] = by.get(t, 0.0) + figure.value
    pupa = organism.row.find("pupa_days_25c")
    if pupa is None or STAGES_AT_C not in by:
        return {}
    whole = 1.0 + pupa.value / by[STAGES_AT_C]
    return {t: days * whole for t, days in by.items()}


def wait_heat(organism: Organism) -> tuple[float, float] | None:
    """Base and heat of the wait before laying; None where it has no line of its own. [C, C d]"""
    heat = organism.row.find("preoviposition.dd")
    return None if heat is None else (organism.row.figure("preoviposition.base").value, heat.value)


def wait_days(organism: Organism) -> float:
    """Days before the first egg at 25 C; none for aphids, whose line runs to the first young."""
    if organism.live_bearing:
        return 0.1
    line, days = wait_heat(organism), organism.preoviposition_days
    if line is not None:
        return line[1] / (WAIT_AT_C - line[0])
    return UNKNOWN_WAIT_D if days is None else days.value
