"""The days of a population, compiled; `leaf_days` is the only other module with compiled code.

Plain loops over arrays that `stage_cohorts` prepares and explains; nothing here is called by
anybody else. One function a dispatcher, no globals, no parallel transform: the cache depends on it.
"""

from __future__ import annotations

import numpy as np
from numba import njit


@njit(cache=True, nogil=True)
def wind(development, classes, moved, opening, pushes, entry):  # type: ignore[no-untyped-def]
    """Turn each clock by its development; see `stage_layout.push_fraction` for the placing."""
    n_draws, n_days, n_parts = development.shape
    for i in range(n_draws):
        phase = opening.copy()
        for day in range(n_days):
            left_of_day = 0.5  # eggs are laid, and adults arrive, about the middle of the day
            for s in range(n_parts):
                forward = development[i, day, s] * classes[s]
                n = int(np.floor((phase[s] + forward) / moved[s] + 1e-9))
                rest = max(phase[s] + forward - n * moved[s], 0.0)
                pushes[i, day, s] = n
                entry[i, day, s] = left_of_day * forward - rest
                left_of_day = 0.5
                if n > 0:
                    mean_push = ((n + 1) / 2 * moved[s] - phase[s]) / forward
                    left_of_day = min(max(1.0 - mean_push, 0.0), 1.0)
                phase[s] = rest


@njit(cache=True, nogil=True)
def _place(one, count, place, start, end):  # type: ignore[no-untyped-def]
    """Put newcomers between two classes so that their mean place is right."""
    spot = min(max(place + 1.0, 0.0), end - start - 1.0)
    low = min(int(spot), end - start - 2)
    share = spot - low
    one[start + low] += count * (1.0 - share)
    one[start + low + 1] += count * share


@njit(cache=True, nogil=True)
def _develop(one, pushes, entry, survival, first, moved):  # type: ignore[no-untyped-def]
    """Deaths and development of one planting in one day; the last part first."""
    n_parts = moved.shape[0]
    for s in range(n_parts - 1, -1, -1):
        box, f, alive = one[first[s] : first[s + 1]], moved[s], survival[s]
        for c in range(box.shape[0]):
            box[c] *= alive
        gone = 0.0
        for _ in range(pushes[s]):
            before = 0.0
            for c in range(box.shape[0]):
                here = box[c]
                box[c] = here + f * (before - here)
                before = here
            gone += f * before
        if s + 1 < n_parts and gone > 0.0:
            _place(one, gone, entry[s + 1], first[s + 1], first[s + 2])


@njit(cache=True, nogil=True)
def _fly(state, share, settle, first, wings, first_flying, landing):  # type: ignore[no-untyped-def]
    """Lift a share of the flying parts off every planting and settle them again.

    landing : room for the newcomers by class and planting; plantings stand side by side in it, so
              that one insect's spread over all of them is one run through memory.
    """
    n_plantings, grounded = state.shape[0], first[first_flying]
    landing[:] = 0.0
    for p in range(n_plantings):
        here, to = state[p, grounded:], settle[p]
        for s in range(first_flying, wings.shape[0]):
            lift = share * wings[s]
            for c in range(first[s] - grounded, first[s + 1] - grounded):
                up, there = lift * here[c], landing[c]
                here[c] -= up
                for q in range(n_plantings):
                    there[q] += to[q] * up
    for p in range(n_plantings):
        here = state[p, grounded:]
        for c in range(here.shape[0]):
            here[c] += landing[c, p]


@njit(cache=True, nogil=True)
def _lay(one, rate, first, lays):  # type: ignore[no-untyped-def]
    """Eggs laid in a day on one planting."""
    eggs = 0.0
    for s in range(lays.shape[0]):
        if lays[s] > 0.0:
            layers = 0.0
            for count in one[first[s] : first[s + 1]]:
                layers += count
            eggs += lays[s] * layers
    return eggs * rate


@njit(cache=True, nogil=True)
def _count(one, first, stage_of, sums):  # type: ignore[no-untyped-def]
    """Sum one planting by stage."""
    for s in range(stage_of.shape[0]):
        total = 0.0
        for count in one[first[s] : first[s + 1]]:
            total += count
        sums[stage_of[s]] += total


@njit(cache=True, nogil=True)
def _treat(one, left, first, stage_of):  # type: ignore[no-untyped-def]
    """Keep the share left alive of each stage."""
    for s in range(stage_of.shape[0]):
        share = left[stage_of[s]]
        for c in range(first[s], first[s + 1]):
            one[c] *= share


@njit(cache=True, nogil=True)
def _crowding(one, first, first_flying, room):  # type: ignore[no-untyped-def]
    """Share of laying left by crowding: one half at `room` immature insects."""
    immature = 0.0
    for c in range(first[first_flying]):
        immature += one[c]
    return room / (room + immature)


@njit(cache=True, nogil=True)
def march(  # type: ignore[no-untyped-def]
    state, pushes, entry, survival, laying, flight, host, arrivals, event_of_day, left,
    settle, shaken, settle_shaken, room, first, moved, stage_of, lays, wings, all_wings,
    first_flying, first_day, keep_of_day, sums, kept,
):  # fmt: skip
    """All days of some draws, in place."""
    n_draws, n_plantings, _ = state.shape
    last = moved.shape[0] - 1
    landing = np.zeros((state.shape[2] - first[first_flying], n_plantings))
    for i in range(n_draws):
        w, a = i if pushes.shape[0] > 1 else 0, i if arrivals.shape[0] > 1 else 0
        h = i if host.shape[0] > 1 else 0
        v, k = i if survival.shape[0] > 1 else 0, i if left.shape[0] > 1 else 0
        f = i if flight.shape[0] > 1 else 0
        for step in range(keep_of_day.shape[0]):
            day = first_day + step
            for p in range(n_plantings):
                _count(state[i, p], first, stage_of, sums[i, p, step])
                if keep_of_day[step] >= 0:
                    kept[i, keep_of_day[step], p] = state[i, p]
            if step == keep_of_day.shape[0] - 1:
                break
            event = event_of_day[day]
            for p in range(n_plantings):
                one = state[i, p]
                if event >= 0:
                    _treat(one, left[k, event, p], first, stage_of)
                eggs = _lay(one, laying[w, day] * host[h, day, p], first, lays)
                if room.shape[0] > 0:
                    eggs *= _crowding(one, first, first_flying, room[p])
                _develop(one, pushes[w, day], entry[w, day], survival[v, day], first, moved)
                _place(one, eggs, entry[w, day, 0], first[0], first[1])
                _place(one, arrivals[a, day, p], 0.0, first[last], first[last + 1])
            _fly(state[i], flight[f, day], settle, first, wings, first_flying, landing)
            if shaken[day] > 0.0:
                _fly(state[i], shaken[day], settle_shaken, first, all_wings, first_flying, landing)


@njit(cache=True, nogil=True)
def _placed_value(one, place, start, end):  # type: ignore[no-untyped-def]
    """Value of a newcomer: `_place` turned round."""
    spot = min(max(place + 1.0, 0.0), end - start - 1.0)
    low = min(int(spot), end - start - 2)
    share = spot - low
    return one[start + low] * (1.0 - share) + one[start + low + 1] * share


@njit(cache=True, nogil=True)
def _develop_back(one, pushes, entry, survival, first, moved):  # type: ignore[no-untyped-def]
    """`_develop` turned round: the first part first."""
    n_parts = moved.shape[0]
    for s in range(n_parts):
        start, end, f = first[s], first[s + 1], moved[s]
        beyond = 0.0
        if s + 1 < n_parts:
            beyond = _placed_value(one, entry[s + 1], end, first[s + 2])
        for _ in range(pushes[s]):
            for c in range(start, end - 1):
                one[c] += f * (one[c + 1] - one[c])
            one[end - 1] += f * (beyond - one[end - 1])
        for c in range(start, end):
            one[c] *= survival[s]


@njit(cache=True, nogil=True)
def _fly_back(value, share, settle, first, wings, first_flying, landing):  # type: ignore[no-untyped-def]
    """`_fly` turned round."""
    n_plantings = value.shape[0]
    for s in range(first_flying, wings.shape[0]):
        lift = share * wings[s]
        for c in range(first[s], first[s + 1]):
            for p in range(n_plantings):
                landing[p] = 0.0
                for q in range(n_plantings):
                    landing[p] += settle[p, q] * value[q, c]
            for p in range(n_plantings):
                value[p, c] += lift * (landing[p] - value[p, c])


@njit(cache=True, nogil=True)
def march_back(  # type: ignore[no-untyped-def]
    weight, pushes, entry, survival, laying, flight, host, settle, shaken, settle_shaken,
    first, moved, stage_of, lays, wings, all_wings, first_flying, keep_of_day, first_kept, kept,
):  # fmt: skip
    """The days of some draws, from the last of `keep_of_day` to the first that is kept."""
    n_draws, _, n_plantings, n_classes = kept.shape
    landing = np.zeros(n_plantings)
    for i in range(n_draws):
        k = i if weight.shape[0] > 1 else 0
        h = i if host.shape[0] > 1 else 0
        w, v = i if pushes.shape[0] > 1 else 0, i if survival.shape[0] > 1 else 0
        f = i if flight.shape[0] > 1 else 0
        value = np.zeros((n_plantings, n_classes))
        for day in range(keep_of_day.shape[0] - 1, first_kept - 1, -1):
            if day < keep_of_day.shape[0] - 1:
                if shaken[day] > 0.0:
                    _fly_back(
                        value, shaken[day], settle_shaken, first, all_wings, first_flying, landing
                    )
                _fly_back(value, flight[f, day], settle, first, wings, first_flying, landing)
                for p in range(n_plantings):
                    one = value[p]
                    egg = _placed_value(one, entry[w, day, 0], first[0], first[1])
                    _develop_back(
                        one, pushes[w, day], entry[w, day], survival[v, day], first, moved
                    )
                    for s in range(stage_of.shape[0]):
                        gain = lays[s] * laying[w, day] * host[h, day, p] * egg
                        for c in range(first[s], first[s + 1]):
                            one[c] += gain
            if keep_of_day[day] >= 0:
                kept[i, keep_of_day[day]] = value
            for p in range(n_plantings):
                for s in range(stage_of.shape[0]):
                    price = weight[k, p, day, stage_of[s]]
                    for c in range(first[s], first[s + 1]):
                        value[p, c] += price
