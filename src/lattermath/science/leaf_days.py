"""The days of a disease on two surfaces of leaf, compiled, as `cohort_days` is for insects.

Plain loops over arrays that `leaf_disease` prepares and explains; nothing here is called by anybody
else. One function a dispatcher, no globals, no parallel transform: the cache depends on it.
"""

from __future__ import annotations

import numpy as np
from numba import njit


@njit(cache=True, nogil=True)
def infect(  # type: ignore[no-untyped-def]
    seen,
    hidden,
    contagion,
    crossing,
    latent,
    arriving,
    suits,
    response,
    ripening,
    cure,
    cover,
    back,
    growth,
    spared,
    out,
):
    """Carry colonies and latent infections on by mornings, in place; see `run_leaf_disease`.

    seen     : share of leaf with colonies, (n_draws, n_plantings, 2). [0 to 1]
    hidden   : share infected and not yet to be seen, (n_draws, n_plantings, 2, n_latent). [0 to 1]
    contagion : new infection a day per diseased leaf, (n_draws,). [1/d]
    crossing : share of spores that infect the other surface, (n_draws,). [0 to 1]
    latent   : days from infection to a colony that sheds spores, (n_draws,). [d]
    arriving : new infection from outside a day, per bare leaf, (n_draws, n_plantings). [1/d]
    suits    : infections taken by each planting beside the worst host, (n_plantings,). [0 to 1]
    response : share of the best weather for infection, (n_draws, n_plantings, n_days). [0 to 1]
    ripening : pace of the latent period beside the best, (n_draws, n_days). [0 to 1]
    cure     : share of colonies collapsed, (n_days, n_draws, n_plantings, 2). [0 to 1]
    cover    : share of infections blocked by what is on the leaf, same shape. [0 to 1]
    back     : share of the youngest infections undone inside the leaf, same shape. [0 to 1]
    growth   : new leaf a day as a share of the leaf there is, (n_days,). [1/d]
    spared   : share of the leaf that by its age takes no infection, (n_days,). [0 to 1]
    out      : severities each morning, (n_draws, n_plantings, n_days + 1, 2). [0 to 1]
    """
    n_days = cure.shape[0]
    n_draws, n_plantings, _, n_latent = hidden.shape
    left = np.empty(2)
    for day in range(n_days):
        thinner = 1.0 + growth[day]
        takes_it = 1.0 - spared[day]
        for i in range(n_draws):
            ripe = min(ripening[i, day] * n_latent / latent[i], 1.0)
            for p in range(n_plantings):
                for side in range(2):
                    out[i, p, day, side] = seen[i, p, side]
                    hidden[i, p, side, 0] *= 1.0 - back[day, i, p, side]
                    left[side] = seen[i, p, side] * (1.0 - cure[day, i, p, side])
                for side in range(2):
                    spores = left[side] * (1.0 - crossing[i]) + left[1 - side] * crossing[i]
                    taken = left[side]
                    for k in range(n_latent):
                        taken += hidden[i, p, side, k]
                    pressure = contagion[i] * spores * suits[p] + arriving[i, p]
                    pressure *= response[i, p, day]
                    open_to = pressure * (1.0 - cover[day, i, p, side]) / takes_it
                    arrived = max(takes_it - taken, 0.0) * -np.expm1(-open_to)
                    for k in range(n_latent):
                        moving = hidden[i, p, side, k] * ripe
                        hidden[i, p, side, k] = (hidden[i, p, side, k] - moving + arrived) / thinner
                        arrived = moving
                    seen[i, p, side] = (left[side] + arrived) / thinner
    for i in range(n_draws):
        for p in range(n_plantings):
            for side in range(2):
                out[i, p, n_days, side] = seen[i, p, side]
