"""The temperature of the air, hour by hour: the series where it is known, normals elsewhere."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from planner.access.conditions import daily_extremes
from planner.access.curve import Floats
from planner.access.highlow import HighLowLevel
from planner.access.series import SeriesLevel
from planner.core.clock import MINUTES_PER_HOUR, Clock
from planner.model.conditions import AirTemperature
from planner.model.water import LevelPoint

DAYS_AFTER = 60
"""Normals are looked at until so many days after the campaign, since curing goes on [d]."""


class Air:
    """The temperature that a campaign's scenario knows.

    Parameters
    ----------
    air
        Series and normals; None: nothing is known.
    clock
        The campaign's calendar.
    """

    def __init__(self, air: AirTemperature | None, clock: Clock) -> None:
        series = () if air is None else air.series
        normals = () if air is None else air.normals
        self._series = SeriesLevel(
            tuple(LevelPoint(minute=row.minute, level_m=row.value) for row in series),
            datum_m=0.0,
        )
        self._normals = HighLowLevel(
            daily_extremes(normals, clock, days_after=DAYS_AFTER),
            high_shift_min=0.0,
            low_shift_min=0.0,
            range_factor=1.0,
            datum_m=0.0,
        )

    def celsius(self, minutes: Floats) -> Floats:
        """Return the temperature at campaign minutes; nan where it is not known [°C]."""
        measured = self._series.level_m(minutes)
        return np.where(np.isnan(measured), self._normals.level_m(minutes), measured)

    def hourly(self, start_min: int, hours: float) -> list[tuple[float, float]] | None:
        """Return hours and their temperature from a minute on; None: some are not known.

        Each stretch is an hour, the last what is left over; its temperature is that in its middle.
        """
        edges = [float(k) for k in range(int(hours) + 1)]
        if hours > edges[-1]:
            edges.append(hours)
        lengths = np.array([b - a for a, b in pairwise(edges)])
        middles = np.array([(a + b) / 2 for a, b in pairwise(edges)])
        found = self.celsius(start_min + MINUTES_PER_HOUR * middles)
        if np.any(np.isnan(found)):
            return None
        return [(float(a), float(b)) for a, b in zip(lengths, found, strict=True)]
