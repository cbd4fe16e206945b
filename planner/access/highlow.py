"""Level from a table of high and low waters: half a cosine between neighbours.

The table is that of a port; the site may lie some way off.  Highs come ``high_shift_min`` later
and lows ``low_shift_min`` later than in the table (negative: earlier), and ``range_factor``
multiplies the tabulated heights, which are counted from the table's own zero, as the height
ratios of tide tables do (common practice); ``datum_m`` then lifts that zero to site datum:

    level = datum_m + range_factor x height
"""

from __future__ import annotations

import numpy as np

from planner.access.curve import Floats
from planner.access.series import PointsLevel
from planner.model.water import Extreme

GAP_MAX_MIN = 30 * 60.0
"""Longest stretch between neighbours [min].

High and low water of the most diurnal tides lie up to about a day apart; what is longer is a
hole in the table, and closed (our choice; the contract is silent).
"""


class HighLowLevel(PointsLevel):
    """Level from high and low waters.

    Parameters
    ----------
    extremes
        The port's table, in time order.
    high_shift_min, low_shift_min
        Site against port [min].
    range_factor
        Multiplies the heights of the table [1].
    datum_m
        Zero of the table above site datum [m].

    Raises
    ------
    ValueError
        If the shifts put neighbours out of order.
    """

    def __init__(
        self,
        extremes: tuple[Extreme, ...],
        *,
        high_shift_min: float,
        low_shift_min: float,
        range_factor: float,
        datum_m: float,
    ) -> None:
        times = [
            row.minute + (high_shift_min if row.is_high else low_shift_min) for row in extremes
        ]
        heights = np.array([row.level_m for row in extremes], dtype=float)
        super().__init__(
            np.array(times, dtype=float),
            heights * range_factor + datum_m,
            gap_max_min=GAP_MAX_MIN,
        )

    def _between(self, before: Floats, after: Floats, share: Floats) -> Floats:
        return (before + after) / 2 + (before - after) / 2 * np.cos(np.pi * share)

    def _share(self, before: Floats, after: Floats, level_m: float) -> Floats:
        cosine = (2 * level_m - before - after) / (before - after)
        return np.arccos(np.clip(cosine, -1.0, 1.0)) / np.pi
