"""What has to be done: zones by the kinds of their tasks, all of them or at least a volume."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from planner.optimise.bounds.kinds import Kinds
from planner.optimise.bounds.ruler import Minutes
from planner.optimise.bounds.work import Work

VOLUME_NOISE = 1e-6

Alternative = tuple[tuple[int, ...], float]
"""Kinds of a zone's tasks on one mix, in order, and what that mix costs."""
Class = tuple[Alternative, ...]
"""What may be done to a zone: one of these."""


@dataclass(frozen=True)
class Demand:
    """Zones that a plan may hold, and the least volume that it must hold.

    Attributes
    ----------
    zones
        The alternatives of each zone.
    volumes
        Volume of each zone [m³].
    volume_m3
        Least volume to be planned [m³].
    """

    zones: tuple[Class, ...]
    volumes: tuple[float, ...]
    volume_m3: float

    @property
    def is_whole(self) -> bool:
        """Return whether every zone has to be planned."""
        return sum(self.volumes) - self.volume_m3 <= VOLUME_NOISE

    def rough(self, kinds: Kinds) -> Demand:
        """Return the same demand by rough kinds."""
        zones = tuple(
            tuple((tuple(sorted(int(kinds.rough[i]) for i in row)), cost) for row, cost in one)
            for one in self.zones
        )
        return Demand(zones, self.volumes, self.volume_m3)

    @cached_property
    def classes(self) -> dict[Class, list[int]]:
        """Return the zones by their alternatives."""
        found: dict[Class, list[int]] = {}
        for k, alternatives in enumerate(self.zones):
            found.setdefault(alternatives, []).append(k)
        return found

    def needed(self, worth: Minutes) -> int:
        """Return the least worth of the tasks of any plan, exactly or rounded down."""
        loads = []
        for alternatives, members in self.classes.items():
            least = min(sum(int(worth[i]) for i in kinds) for kinds, _ in alternatives)
            loads += [(least, self.volumes[k]) for k in members]
        return least_load(loads, self.volume_m3)


def demand_of(
    work: Work,
    kinds: Kinds,
    zones: frozenset[int],
    volume_m3: float,
    cost: Callable[[int, int], float] | None = None,
) -> Demand:
    """Return the demand of some zones.

    Parameters
    ----------
    cost
        What a zone on a mix costs, by zone and mix; None: nothing.
    """
    found = []
    volumes = []
    for z, mixes in work.zones.items():
        if z in zones:
            alternatives: dict[tuple[int, ...], float] = {}
            for m, rows in mixes.items():
                key = tuple(sorted(int(kinds.of_task[i]) for i in rows))
                price = 0.0 if cost is None else cost(z, m)
                alternatives[key] = min(price, alternatives.get(key, price))
            found.append(tuple(sorted(alternatives.items())))
            volumes.append(work.problem.left_volume[z])
    return Demand(tuple(found), tuple(volumes), volume_m3)


def least_load(loads: list[tuple[int, float]], volume_m3: float) -> int:
    """Return the least total load of zones that together hold at least a volume.

    Relaxed: zones in part, the dearest per m³ left out first; rounded down.  With all zones
    needed it is the plain sum.
    """
    total = sum(volume for _, volume in loads)
    spare = total - volume_m3
    if spare <= VOLUME_NOISE:
        return sum(load for load, _ in loads)
    kept = float(sum(load for load, _ in loads))
    for load, volume in sorted(loads, key=lambda row: -row[0] / max(row[1], 1e-9)):
        part = min(1.0, spare / max(volume, 1e-9))
        kept -= part * load
        spare -= part * volume
        if spare <= 0:
            break
    return int(np.floor(kept * (1.0 - 1e-12)))
