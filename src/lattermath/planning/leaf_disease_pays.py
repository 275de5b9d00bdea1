"""Until when treating a leaf disease can pay: what is kept off today shows only weeks later."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from lattermath.belief.leaf_disease import LeafBelief
from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.figure import Figure
from lattermath.vocabulary.ruling import Because


@dataclass(frozen=True, slots=True)
class StillPays:
    """The figures of `when_control_stops_paying`.

    lag     : days until more leaf shows as more picked. [d]
    lost_at : severity above which treatment no longer changes much. [0 to 1]
    """

    lag: Figure
    lost_at: Figure

    def too_late(self, belief: LeafBelief, place: int, days_left: int) -> Because | None:
        """Why treating a planting no longer pays; None while it may.

        days_left : until nearly all of its yield has come. [d]
        """
        name, latent = belief.stands[place].name, belief.disease.latent_days
        ill = float(np.median(belief.state[:, place].mean(-1)))
        if ill >= self.lost_at.value:
            return Because(
                f"about {ill * 100:.0f} % of the leaf of {name} is gone, and above "
                f"{self.lost_at.value * 100:.0f} % nothing put on changes much",
                rests_on=(f"table:{self.lost_at.address}",),
            )
        if latent is None:
            return None
        shows = latent.span[0] + self.lag.span[0]
        if days_left > shows:
            return None
        return Because(
            f"{name} has about {counted(days_left, 'days')} of picking left, and what is kept off "
            f"today would show in the basket after {shows:.0f} at best",
            rests_on=(f"table:{latent.address}", f"table:{self.lag.address}"),
        )
