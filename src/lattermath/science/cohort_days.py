"""The days of a population, compiled; `leaf_days` is the only other module with compiled code.

Plain loops over arrays that `stage_cohorts` prepares and explains; nothing here is called by
anybody else. One function a dispatcher, no globals, no parallel transform: the cache depends on it.
"""

from __future__ import annotations

import numpy as np
from numba import njit


@njit(cache=True, nogil=True)
def wind(development, classes, moved, opening, pushes, entry, stride):  # type: ignore[no-untyped-def]
    """Turn each clock by its development; see `stage_layout.push_fraction` for the placing."""
    n_draws, n_days, n_parts = development.shape
    for i in range(n_draws):
        phase = opening.copy()
        for day in range(n_days):
            left_of_day = 0.5  # eggs are laid, and adults arrive, about the middle of the day
            between = 0.0
            for s in range(n_parts):
                forward = development[i, day, s] * classes[s]
                n = int(np.floor((phase[s] + forward) / moved[s] + 1e-9))
                rest = max(phase[s] + forward - n * moved[s], 0.0)
                pushes[i, day, s] = n
                entry[i, day, s] = left_of_day * forward - rest
                stride[i, day, s] = between * forward
                left_of_day, between = 0.5, 0.0
                if n > 0:
                    mean_push = ((n + 1) / 2 * moved[s] - phase[s]) / forward
                    left_of_day = min(max(1.0 - mean_push, 0.0), 1.0)
                    between = moved[s] / forward
                phase[s] = rest


@njit(cache=True, nogil=True)
def _place(field, count, place, start, end):  # type: ignore[no-untyped-def]
    """Put newcomers between two classes so that their mean place is right."""
    spot = min(max(place + 1.0, 0.0), end - start - 1.0)
    low = min(int(spot), end - start - 2)
    share = spot - low
    here, there = start + low, start + low + 1
    for p in range(count.shape[0]):
        field[here, p] += count[p] * (1.0 - share)
        field[there, p] += count[p] * share


@njit(cache=True, nogil=True)
def _develop(field, pushes, entry, stride, survival, first, moved, gone, change):  # type: ignore[no-untyped-def]
    """Deaths and development in one day; the last part first.

    gone, change : room for what leaves a part and for what a push shifts.
    """
    n_parts, n = moved.shape[0], gone.shape[0]
    flat = field.reshape(-1)
    for s in range(n_parts - 1, -1, -1):
        start, end, f, alive = first[s], first[s + 1], moved[s], survival[s]
        box = flat[start * n : end * n]
        for c in range(box.shape[0]):
            box[c] *= alive
        if pushes[s] == 0:
            continue
        head, old = box[:n], box[box.shape[0] - n :]
        before, onward = box[: box.shape[0] - n], box[n:]
        shifted = change[: before.shape[0]]
        for push in range(pushes[s]):
            if s + 1 < n_parts:
                for p in range(n):
                    gone[p] = f * old[p]
                left = stride[s + 1] * (0.5 * (pushes[s] - 1) - push)
                _place(field, gone, entry[s + 1] + left, first[s + 1], first[s + 2])
            for c in range(shifted.shape[0]):
                shifted[c] = f * (before[c] - onward[c])
            for c in range(shifted.shape[0]):
                onward[c] += shifted[c]
            for p in range(n):
                head[p] -= f * head[p]


@njit(cache=True, nogil=True)
def _fly(field, share, settle, first, wings, first_flying, landing):  # type: ignore[no-untyped-def]
    """Lift a share of the flying parts off every planting and settle them again.

    landing : room for the newcomers of one class.
    """
    n = landing.shape[0]
    for s in range(first_flying, wings.shape[0]):
        lift = share * wings[s]
        if lift == 0.0:
            continue
        for c in range(first[s], first[s + 1]):
            for q in range(n):
                landing[q] = 0.0
            for p in range(settle.shape[0]):
                up = lift * field[c, p]
                field[c, p] -= up
                for q in range(n):
                    landing[q] += settle[p, q] * up
            for q in range(n):
                field[c, q] += landing[q]


@njit(cache=True, nogil=True)
def _count(field, first, totals):  # type: ignore[no-untyped-def]
    """Sum every planting by part."""
    for s in range(totals.shape[0]):
        for p in range(totals.shape[1]):
            totals[s, p] = 0.0
        for c in range(first[s], first[s + 1]):
            for p in range(totals.shape[1]):
                totals[s, p] += field[c, p]


@njit(cache=True, nogil=True)
def _lay(field, totals, rate, lays, room, first_flying, crowd, mothers, eggs):  # type: ignore[no-untyped-def]
    """Eggs laid in half a day on every planting, fewer where it is crowded; added to `eggs`.

    lays : relative laying by class; only adults lay.
    room : immature insects at which laying is halved; empty for no crowding.
    """
    for p in range(mothers.shape[0]):
        mothers[p] = crowd[p] = 0.0
    for c in range(lays.shape[0]):
        each = lays[c]
        if each > 0.0:
            for p in range(mothers.shape[0]):
                mothers[p] += each * field[c, p]
    if room.shape[0] > 0:
        for s in range(first_flying):
            for p in range(crowd.shape[0]):
                crowd[p] += totals[s, p]
    for p in range(rate.shape[0]):
        laid = 0.5 * mothers[p] * rate[p]
        if room.shape[0] > 0:
            laid *= room[p] / (room[p] + crowd[p])
        eggs[p] += laid


@njit(cache=True, nogil=True)
def _treat(field, left, first, stage_of, share):  # type: ignore[no-untyped-def]
    """Keep the share left alive of each stage on each planting."""
    for s in range(stage_of.shape[0]):
        for p in range(left.shape[0]):
            share[p] = left[p, stage_of[s]]
        for c in range(first[s], first[s + 1]):
            for p in range(share.shape[0]):
                field[c, p] *= share[p]


@njit(cache=True, nogil=True)
def _put_up(field, share, worked, settle, first, wings, first_flying, landing):  # type: ignore[no-untyped-def]
    """`_fly` with a share of its own for every planting, as work puts them up.

    share  : the day's flight; worked : as a multiple of it, by planting.
    """
    n = landing.shape[0]
    for s in range(first_flying, wings.shape[0]):
        for c in range(first[s], first[s + 1]):
            for q in range(n):
                landing[q] = 0.0
            for p in range(settle.shape[0]):
                up = min(share * worked[p], 1.0) * wings[s] * field[c, p]
                field[c, p] -= up
                for q in range(n):
                    landing[q] += settle[p, q] * up
            for q in range(n):
                field[c, q] += landing[q]


@njit(cache=True, nogil=True)
def march(  # type: ignore[no-untyped-def]
    state, pushes, entry, stride, survival, laying, flight, host, arrivals, event_of_day, left,
    settle, busy, shaken, settle_shaken, room, first, moved, stage_of, lays, wings, all_wings,
    first_flying, first_day, keep_of_day, sums, kept,
):  # fmt: skip
    """All days of some draws, in place.

    The plantings of a draw share its clock. So a class is a row with the plantings side by side in
    it, in fours, and every step of the day is a run through rows. Rows are read by their places:
    taking one out as an array costs more than its sum.
    """
    n_draws, n_plantings, n_classes = state.shape
    n_parts, last = moved.shape[0], moved.shape[0] - 1
    n = (n_plantings + 3) // 4 * 4  # the rest stay empty
    field, change = np.zeros((n_classes, n)), np.zeros(n_classes * n)
    totals, eggs, more, mothers = np.zeros((n_parts, n)), np.zeros(n), np.zeros(n), np.zeros(n)
    to, to_shaken = np.zeros((n_plantings, n)), np.zeros((n_plantings, n))
    to[:, :n_plantings], to_shaken[:, :n_plantings] = settle, settle_shaken
    for i in range(n_draws):
        w, a = i if pushes.shape[0] > 1 else 0, i if arrivals.shape[0] > 1 else 0
        h = i if host.shape[0] > 1 else 0
        v, k = i if survival.shape[0] > 1 else 0, i if left.shape[0] > 1 else 0
        field[:, :n_plantings] = state[i].T
        f = i if flight.shape[0] > 1 else 0
        for step in range(keep_of_day.shape[0]):
            day = first_day + step
            _count(field, first, totals)
            for s in range(n_parts):
                for p in range(n_plantings):
                    sums[i, p, step, stage_of[s]] += totals[s, p]
            if keep_of_day[step] >= 0:
                kept[i, keep_of_day[step]] = field[:, :n_plantings].T
            if step == keep_of_day.shape[0] - 1:
                break
            if event_of_day[day] >= 0:
                _treat(field, left[k, event_of_day[day]], first, stage_of, more)
                _count(field, first, totals)
            rate = laying[w, day] * host[h, day]
            eggs[:] = 0.0
            _lay(field, totals, rate, lays, room, first_flying, more, mothers, eggs)
            _develop(field, pushes[w, day], entry[w, day], stride[w, day], survival[v, day], first,
                     moved, more, change)  # fmt: skip
            more[:n_plantings] = arrivals[a, day]
            _place(field, more, 0.0, first[last], first[last + 1])
            # The day's mothers are those of its morning and those of its evening, half and half.
            _lay(field, totals, rate, lays, room, first_flying, more, mothers, eggs)
            _place(field, eggs, entry[w, day, 0], first[0], first[1])
            _fly(field, flight[f, day], to, first, wings, first_flying, more)
            if busy[day]:
                _put_up(field, flight[f, day], shaken[day], to_shaken, first, all_wings,
                        first_flying, more)  # fmt: skip
        state[i] = field[:, :n_plantings].T


@njit(cache=True, nogil=True)
def _placed_value(one, place, start, end):  # type: ignore[no-untyped-def]
    """Value of a newcomer: `_place` turned round."""
    spot = min(max(place + 1.0, 0.0), end - start - 1.0)
    low = min(int(spot), end - start - 2)
    share = spot - low
    return one[start + low] * (1.0 - share) + one[start + low + 1] * share


@njit(cache=True, nogil=True)
def _develop_back(one, pushes, entry, stride, survival, first, moved):  # type: ignore[no-untyped-def]
    """`_develop` turned round: the first part first."""
    n_parts = moved.shape[0]
    for s in range(n_parts):
        start, end, f = first[s], first[s + 1], moved[s]
        beyond = 0.0
        for push in range(pushes[s] - 1, -1, -1):
            if s + 1 < n_parts:
                left = stride[s + 1] * (0.5 * (pushes[s] - 1) - push)
                beyond = _placed_value(one, entry[s + 1] + left, end, first[s + 2])
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
def _put_up_back(value, share, worked, settle, first, wings, first_flying, landing):  # type: ignore[no-untyped-def]
    """`_put_up` turned round."""
    n_plantings = value.shape[0]
    for s in range(first_flying, wings.shape[0]):
        for c in range(first[s], first[s + 1]):
            for p in range(n_plantings):
                landing[p] = 0.0
                for q in range(n_plantings):
                    landing[p] += settle[p, q] * value[q, c]
            for p in range(n_plantings):
                lift = min(share * worked[p], 1.0) * wings[s]
                value[p, c] += lift * (landing[p] - value[p, c])


@njit(cache=True, nogil=True)
def _treat_back(value, left, first, stage_of):  # type: ignore[no-untyped-def]
    """`_treat` turned round."""
    for p in range(value.shape[0]):
        for s in range(stage_of.shape[0]):
            for c in range(first[s], first[s + 1]):
                value[p, c] *= left[p, stage_of[s]]


@njit(cache=True, nogil=True)
def _price(value, prices, first, stage_of):  # type: ignore[no-untyped-def]
    """What one day as counted costs, added."""
    for p in range(value.shape[0]):
        for s in range(stage_of.shape[0]):
            for c in range(first[s], first[s + 1]):
                value[p, c] += prices[p, stage_of[s]]


@njit(cache=True, nogil=True)
def march_back(  # type: ignore[no-untyped-def]
    weight, pushes, entry, stride, survival, laying, flight, host, settle, busy, shaken,
    settle_shaken, first, moved, stage_of, lays, wings, all_wings, first_flying, event_of_day, left,
    keep_of_day, first_kept, kept,
):  # fmt: skip
    """The days of some draws, from the last of `keep_of_day` to the first that is kept."""
    n_draws, _, n_plantings, n_classes = kept.shape
    landing = np.zeros(n_plantings)
    for i in range(n_draws):
        k = i if weight.shape[0] > 1 else 0
        h = i if host.shape[0] > 1 else 0
        w, v = i if pushes.shape[0] > 1 else 0, i if survival.shape[0] > 1 else 0
        f, e = i if flight.shape[0] > 1 else 0, i if left.shape[0] > 1 else 0
        value = np.zeros((n_plantings, n_classes))
        for day in range(keep_of_day.shape[0] - 1, first_kept - 1, -1):
            if day < keep_of_day.shape[0] - 1:
                if busy[day]:
                    _put_up_back(
                        value, flight[f, day], shaken[day], settle_shaken, first, all_wings,
                        first_flying, landing,
                    )  # fmt: skip
                _fly_back(value, flight[f, day], settle, first, wings, first_flying, landing)
                for p in range(n_plantings):
                    one = value[p]
                    egg = _placed_value(one, entry[w, day, 0], first[0], first[1])
                    gain = 0.5 * laying[w, day] * host[h, day, p] * egg
                    for c in range(lays.shape[0]):
                        one[c] += lays[c] * gain
                    _develop_back(
                        one, pushes[w, day], entry[w, day], stride[w, day], survival[v, day],
                        first, moved,
                    )  # fmt: skip
                    for c in range(lays.shape[0]):
                        one[c] += lays[c] * gain
            if keep_of_day[day] >= 0:
                kept[i, keep_of_day[day]] = value
            if event_of_day[day] >= 0:
                _treat_back(value, left[e, event_of_day[day]], first, stage_of)
            _price(value, weight[k, :, day], first, stage_of)
