"""Hose runs from positions to zones: actual and equivalent length, rise, and who reaches what.

Equivalent hose = sum of length + bend_m x sum of bends + rise_factor x max(0, net rise), by the
route with the least sum of length + bend_m x bends (contract, section 3).  By the grid: length =
(abs dx + abs dy + abs dz) x slack, no bends, rise = z of the zone - z of the position.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property
from math import isnan
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from planner.core.rounding import DECIMALS
from planner.model.campaign import Campaign
from planner.model.identifiers import PositionId, RigId
from planner.model.position import Position
from planner.model.rig import Rig
from planner.model.rules import ReachBy
from planner.model.zone import Zone
from planner.reach.network import Network, Walk
from planner.reach.run import HoseRun, Shortfall, hose_run, lacks

__all__ = ["HoseRun", "Reach", "Shortfall"]

FAR = 2.0
"""Shortfalls are first looked for within this many times the longest hose [1]."""


class _Sums(NamedTuple):
    """Sums of the routes from one position, one item per zone; nan where there is no route."""

    laid_m: NDArray[np.float64]
    bends: NDArray[np.float64]
    rise_m: NDArray[np.float64]

    @classmethod
    def of(cls, table: NDArray[np.float64]) -> _Sums:
        """Return the columns laid, bends and rise of a table, to six decimals."""
        laid_m, bends, rise_m = np.round(table, DECIMALS).T
        return cls(laid_m, bends, rise_m)

    def hose_m(self, rig: Rig) -> NDArray[np.float64]:
        """Return the equivalent hose of a rig to every zone [m]."""
        hose_m = self.laid_m + rig.bend_m * self.bends
        hose_m = hose_m + rig.rise_factor * np.maximum(0.0, self.rise_m)
        return np.round(hose_m, DECIMALS)

    def run(self, index: int, rig: Rig) -> HoseRun | None:
        """Return the hose to one zone, by its place in the file."""
        walk = self.walk(index)
        return None if isnan(walk.laid_m) else hose_run(rig, walk)

    def walk(self, index: int) -> Walk:
        """Return the sums to one zone, by its place in the file."""
        return Walk(*(float(column[index]) for column in self))


class Reach:
    """What the rigs of a campaign reach from its positions.

    Worked out when first asked for, one position at a time, for all zones at once.

    Parameters
    ----------
    campaign
        Zones, positions and rigs that are asked for later must be in it.
    """

    def __init__(self, campaign: Campaign) -> None:
        self.campaign = campaign
        self._index = {zone.zone_id: k for k, zone in enumerate(campaign.zones)}
        self._sums: dict[tuple[PositionId, float, float], _Sums] = {}
        self._near: dict[tuple[PositionId, RigId], _Sums] = {}
        self._mask: dict[tuple[PositionId, RigId], NDArray[np.bool_]] = {}

    def run(self, position: Position, zone: Zone, rig: Rig) -> HoseRun | None:
        """Return the hose of a rig from a position to a zone, even when it is too long.

        None where no route leads there.  Lengths carry six decimals.
        """
        index = self._index[zone.zone_id]
        near = self._near_sums(position, rig).run(index, rig)
        return near or self._within(position, rig.bend_m, np.inf).run(index, rig)

    def reaches(self, position: Position, zone: Zone, rig: Rig) -> bool:
        """Return whether a rig at a position reaches a zone.

        Its process is allowed there, the equivalent hose is at most ``hose_max_m`` and the net
        rise at most ``rise_max_m``.  Mixes and crews are looked at elsewhere.
        """
        return bool(self.mask(position, rig)[self._index[zone.zone_id]])

    def reached(self, position: Position, rig: Rig) -> tuple[Zone, ...]:
        """Return the zones that a rig reaches from a position, in file order."""
        zones = self.campaign.zones
        return tuple(zones[k] for k in np.flatnonzero(self.mask(position, rig)))

    def shortfalls(
        self, zone: Zone, rigs: Sequence[Rig] | None = None, *, most: int = 3
    ) -> tuple[Shortfall, ...]:
        """Return what keeps the rigs from a zone, the position nearest to reaching it first.

        Parameters
        ----------
        rigs
            Rigs to look at; None: all.
        most
            How many to return; pairs that do reach the zone are not among them [1].
        """
        rigs = self.campaign.rigs if rigs is None else rigs
        found = [shortfall for rig in rigs for shortfall in self._shortfalls(zone, rig, most=most)]
        return tuple(sorted(found, key=lambda shortfall: shortfall.rank)[:most])

    def why_unreached(self, zone: Zone, rigs: Sequence[Rig] | None = None) -> str | None:
        """Return in a plain sentence why none of the rigs reaches a zone; None where one does."""
        rigs = self.campaign.rigs if rigs is None else rigs
        positions = self.campaign.positions
        if any(self.reaches(position, zone, rig) for position in positions for rig in rigs):
            return None
        nearest = self.shortfalls(zone, rigs, most=1)
        if not nearest:
            return "no rig or no position is there to reach it"
        return f"no position reaches it: nearest is {nearest[0].sentence()}"

    def _shortfalls(self, zone: Zone, rig: Rig, *, most: int) -> list[Shortfall]:
        if self.campaign.reach_by is ReachBy.GRID:
            index = self._index[zone.zone_id]
            walks = {
                str(position.position_id): self._near_sums(position, rig).walk(index)
                for position in self.campaign.positions
            }
            return self._judged(rig, walks)
        # most zones that are missed are missed by little, and a short search is quick; what it
        # leaves out misses by more than all that it finds within the same distance
        walks = self.network.walks_to(str(zone.zone_id), rig.bend_m, within_m=FAR * rig.hose_max_m)
        found = [row for row in self._judged(rig, walks) if row.run is not None]
        sure = [row for row in found if row.is_short and row.short_m <= rig.hose_max_m]
        if len(sure) >= most:
            return sure
        return self._judged(rig, self.network.walks_to(str(zone.zone_id), rig.bend_m))

    def _judged(self, rig: Rig, walks: Mapping[str, Walk]) -> list[Shortfall]:
        found = []
        for position in self.campaign.positions:
            walk = walks.get(str(position.position_id))
            run = None if walk is None else hose_run(rig, walk)
            failing = lacks(position, rig, run)
            if failing:
                found.append(Shortfall(position=position, rig=rig, run=run, lacks=failing))
        return found

    def mask(self, position: Position, rig: Rig) -> NDArray[np.bool_]:
        """Return for every zone in file order whether the rig reaches it from the position."""
        key = (position.position_id, rig.rig_id)
        if key not in self._mask:
            self._mask[key] = self._reached(position, rig)
        return self._mask[key]

    def _reached(self, position: Position, rig: Rig) -> NDArray[np.bool_]:
        if position.processes and rig.process not in position.processes:
            return np.zeros(len(self.campaign.zones), dtype=np.bool_)
        sums = self._near_sums(position, rig)
        found: NDArray[np.bool_] = sums.hose_m(rig) <= rig.hose_max_m
        if rig.rise_max_m is not None:
            found = found & (sums.rise_m <= rig.rise_max_m)
        return found

    def _near_sums(self, position: Position, rig: Rig) -> _Sums:
        """Return the sums to every zone within the longest hose of the rigs like this one."""
        key = (position.position_id, rig.rig_id)
        if key not in self._near:
            like = [row.hose_max_m for row in self.campaign.rigs if row.bend_m == rig.bend_m]
            self._near[key] = self._within(position, rig.bend_m, max([*like, rig.hose_max_m]))
        return self._near[key]

    def _within(self, position: Position, bend_m: float, within_m: float) -> _Sums:
        by_grid = self.campaign.reach_by is ReachBy.GRID
        key = (position.position_id, *((0.0, np.inf) if by_grid else (bend_m, within_m)))
        if key not in self._sums:
            walks = self._by_grid(position) if by_grid else self._by_routes(position, *key[1:])
            self._sums[key] = _Sums.of(walks)
        return self._sums[key]

    def _by_grid(self, position: Position) -> NDArray[np.float64]:
        at = np.array([position.x_m, position.y_m, position.z_m])
        away = self._places - at
        laid_m = np.abs(away).sum(axis=1) * self.campaign.reach_slack
        return np.column_stack([laid_m, np.zeros(len(away)), away[:, 2]])

    def _by_routes(
        self, position: Position, bend_m: float, within_m: float
    ) -> NDArray[np.float64]:
        walks = self.network.walks_from(
            str(position.position_id), bend_m, within_m=None if within_m == np.inf else within_m
        )
        table = np.full((len(self.campaign.zones), 3), np.nan)
        for index, zone in enumerate(self.campaign.zones):
            walk = walks.get(str(zone.zone_id))
            if walk is not None:
                table[index] = walk
        return table

    @cached_property
    def network(self) -> Network:
        """Return the graph of the hose routes."""
        return Network(self.campaign)

    @cached_property
    def _places(self) -> NDArray[np.float64]:
        places = [(zone.x_m, zone.y_m, zone.z_m) for zone in self.campaign.zones]
        return np.array(places, dtype=np.float64).reshape(-1, 3)
