"""The days of a leaf disease at their least, compiled: what any more treatments could leave.

Plain loops over arrays that `leaf_least` prepares and explains; nothing here is called by anybody
else. One function a dispatcher, no globals, no parallel transform: the cache depends on it.
"""

from __future__ import annotations

import numpy as np
from numba import njit


@njit(cache=True, nogil=True)
def carry(  # type: ignore[no-untyped-def]
    first,
    contagion,
    crossing,
    arriving,
    suits,
    response,
    ripe,
    cure,
    bare,
    back,
    growth,
    spared,
    seen,
    hidden,
    gain,
):
    """Carry one planting on from the morning of day `first`, and keep every morning, in place.

    first     : day from which it is carried; its morning in `seen` and `hidden` is given. [d]
    contagion, crossing, arriving, suits, growth, spared, cure, back : as for `infect`, of one
        planting.
    response  : share of the best weather for infection, (n_draws, n_days). [0 to 1]
    ripe      : share of a latent class that moves on in a day, (n_draws, n_days). [0 to 1]
    bare      : share of infections that no cover keeps off, (n_days, n_draws, 2). [0 to 1]
    seen      : severities each morning, (n_draws, n_days + 1, 2). [0 to 1]
    hidden    : latent infections each morning, (n_draws, n_days + 1, 2, n_latent). [0 to 1]
    gain      : new infection per unit of pressure, in this weather and under what covers it,
        (n_draws, n_days, 2): what `least_damage` takes as fixed. [d]
    """
    n_draws, n_days = response.shape
    n_latent = hidden.shape[3]
    left = np.empty(2)
    for i in range(n_draws):
        for day in range(first, n_days):
            thinner, takes_it = 1.0 + growth[day], 1.0 - spared[day]
            for side in range(2):
                left[side] = seen[i, day, side] * (1.0 - cure[day, i, side])
            for side in range(2):
                spores = left[side] * (1.0 - crossing[i]) + left[1 - side] * crossing[i]
                young = hidden[i, day, side, 0] * (1.0 - back[day, i, side])
                taken = left[side] + young
                for k in range(1, n_latent):
                    taken += hidden[i, day, side, k]
                per = response[i, day] * bare[day, i, side] / takes_it
                pressure = contagion[i] * spores * suits + arriving[i]
                falls, room = pressure * per, max(takes_it - taken, 0.0)
                arrived = room * -np.expm1(-falls)
                gain[i, day, side] = arrived / pressure if falls > 1e-300 else room * per
                stays = young
                for k in range(n_latent):
                    moving = stays * ripe[i, day]
                    hidden[i, day + 1, side, k] = (stays - moving + arrived) / thinner
                    arrived = moving
                    if k + 1 < n_latent:
                        stays = hidden[i, day, side, k + 1]
                seen[i, day + 1, side] = (left[side] + arrived) / thinner


@njit(cache=True, nogil=True)
def least_damage(  # type: ignore[no-untyped-def]
    first,
    days,
    cured,
    undone,
    bares,
    contagion,
    crossing,
    arriving,
    suits,
    ripe,
    cure,
    back,
    growth,
    gain,
    seen,
    hidden,
    priced,
    tolerated,
    damages,
):
    """Damage with none and with each of some treatments more, infection per pressure fixed.

    first   : day from which infection per pressure is fixed; before it all is as in `seen`. [d]
    days    : day of each treatment, none before `first`, (n_more,). [d]
    cured   : share of colonies it collapses that day, (n_more, n_draws, 2). [0 to 1]
    undone  : share of the youngest infections it undoes that day, alike. [0 to 1]
    bares   : what its cover leaves open, (n_more, n_days, n_draws, 2). [0 to 1]
    gain    : new infection per unit of pressure, (n_draws, n_days, 2). [d]
    seen, hidden : every morning up to `first`, as of `carry`.
    priced  : what severity 1 above what is tolerated costs by day, in portions,
              (n_draws, n_days).
    tolerated : severity that costs nothing. [0 to 1]
    damages : damage with none and with each, in portions, mean over the draws, (n_more + 1,).
    """
    n_draws, n_days, _ = gain.shape
    n_latent = hidden.shape[3]
    left = np.empty(2)
    now, rest = np.empty((n_days + 1, 2)), np.empty((n_days + 1, 2, n_latent))
    spent = np.zeros(n_days + 1)
    for i in range(n_draws):
        for day in range(first):
            over = max((seen[i, day + 1, 0] + seen[i, day + 1, 1]) / 2 - tolerated, 0.0)
            spent[day + 1] = spent[day] + priced[i, day] * over * over
        for n in range(-1, len(days)):
            begins = first if n < 0 else days[n]
            here, young = now[begins].copy(), rest[begins].copy()
            if n < 0:
                here[:], young[:] = seen[i, first], hidden[i, first]
            total = spent[begins]
            for day in range(begins, n_days):
                if n < 0:
                    now[day], rest[day], spent[day] = here, young, total
                thinner = 1.0 + growth[day]
                for side in range(2):
                    left[side] = here[side] * (1.0 - cure[day, i, side])
                    young[side, 0] *= 1.0 - back[day, i, side]
                    if n >= 0 and day == begins:
                        left[side] *= 1.0 - cured[n, i, side]
                        young[side, 0] *= 1.0 - undone[n, i, side]
                for side in range(2):
                    spores = left[side] * (1.0 - crossing[i]) + left[1 - side] * crossing[i]
                    arrived = gain[i, day, side] * (contagion[i] * spores * suits + arriving[i])
                    if n >= 0:
                        arrived *= bares[n, day, i, side]
                    for k in range(n_latent):
                        moving = young[side, k] * ripe[i, day]
                        young[side, k] = (young[side, k] - moving + arrived) / thinner
                        arrived = moving
                    here[side] = (left[side] + arrived) / thinner
                over = max((here[0] + here[1]) / 2 - tolerated, 0.0)
                total += priced[i, day] * over * over
            damages[n + 1] += total / n_draws
