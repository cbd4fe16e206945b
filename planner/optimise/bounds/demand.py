"""What has to be done: zones by the kinds of their tasks, all of them or at least a volume."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from planner.optimise.bounds.kinds import Kinds
from planner.optimise.bounds.ruler import Minutes
from planner.optimise.bounds.tasks import Task, by_zone

VOLUME_NOISE = 1e-6


@dataclass(frozen=True)
class Demand:
    """Zones that a plan may hold, and the least volume that it must hold.

    Attributes
    ----------
    zones
        For each zone and each of its mixes the kinds of the tasks.
    volumes
        Volume of each zone [m³].
    volume_m3
        Least volume to be planned [m³].
    """

    zones: tuple[tuple[tuple[int, ...], ...], ...]
    volumes: tuple[float, ...]
    volume_m3: float

    @property
    def is_whole(self) -> bool:
        """Return whether every zone has to be planned."""
        return sum(self.volumes) - self.volume_m3 <= VOLUME_NOISE

    def rough(self, kinds: Kinds) -> Demand:
        """Return the same demand by rough kinds."""
        zones = tuple(
            tuple(tuple(sorted(int(kinds.rough[i]) for i in row)) for row in alternatives)
            for alternatives in self.zones
        )
        return Demand(zones, self.volumes, self.volume_m3)

    @cached_property
    def classes(self) -> dict[tuple[tuple[int, ...], ...], list[int]]:
        """Return the zones by their alternatives."""
        found: dict[tuple[tuple[int, ...], ...], list[int]] = {}
        for k, alternatives in enumerate(self.zones):
            found.setdefault(alternatives, []).append(k)
        return found

    def needed(self, worth: Minutes) -> int:
        """Return the least worth of the tasks of any plan, exactly or rounded down."""
        loads = []
        for alternatives, members in self.classes.items():
            least = min(sum(int(worth[i]) for i in kinds) for kinds in alternatives)
            loads += [(least, self.volumes[k]) for k in members]
        return least_load(loads, self.volume_m3)


def demand_of(
    tasks: tuple[Task, ...],
    kinds: Kinds,
    possible: frozenset[int],
    volume: tuple[float, ...],
    volume_m3: float,
) -> Demand:
    """Return the demand of the zones that some plan might hold."""
    zones = []
    volumes = []
    for z, mixes in by_zone(tasks).items():
        if z in possible:
            alternatives = {
                tuple(sorted(int(kinds.of_task[i]) for i in rows)) for rows in mixes.values()
            }
            zones.append(tuple(sorted(alternatives)))
            volumes.append(volume[z])
    return Demand(tuple(zones), tuple(volumes), volume_m3)


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
