"""Hose runs from positions to zones: actual and equivalent length, rise, and who reaches what.

Equivalent hose = sum of length + bend_m x sum of bends + rise_factor x max(0, net rise), by the
route with the least sum of length + bend_m x bends (contract, section 3).  By the grid: length =
(abs dx + abs dy + abs dz) x slack, no bends, rise = z of the zone - z of the position.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from planner.core.rounding import DECIMALS
from planner.model.rules import ReachBy
from planner.reach.network import Network

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from planner.model.campaign import Campaign
    from planner.model.identifiers import PositionId, RigId
    from planner.model.position import Position
    from planner.model.rig import Rig
    from planner.model.zone import Zone


@dataclass(frozen=True, slots=True, kw_only=True)
class HoseRun:
    """One hose from a position to a zone.

    Attributes
    ----------
    hose_m
        Equivalent hose [m].
    laid_m
        Hose that is really laid [m].
    rise_m
        Net rise along the route, negative where the zone lies below the position [m].
    """

    hose_m: float
    laid_m: float
    rise_m: float


class _Geometry(NamedTuple):
    """Sums of the routes from one position, one item per zone; nan where there is no route."""

    laid_m: NDArray[np.float64]
    bends: NDArray[np.float64]
    rise_m: NDArray[np.float64]


class Reach:
    """What the rigs of a campaign reach from its positions.

    Worked out when first asked for, one position at a time, for all zones at once.

    Parameters
    ----------
    campaign
        Zones and positions that are asked for later must be in it.
    """

    def __init__(self, campaign: Campaign) -> None:
        self.campaign = campaign
        self._index = {zone.zone_id: k for k, zone in enumerate(campaign.zones)}
        self._geometry: dict[tuple[PositionId, float], _Geometry] = {}
        self._hose_m: dict[tuple[PositionId, float, float], NDArray[np.float64]] = {}
        self._mask: dict[tuple[PositionId, RigId], NDArray[np.bool_]] = {}

    def run(self, position: Position, zone: Zone, rig: Rig) -> HoseRun | None:
        """Return the hose of a rig from a position to a zone, even when it is too long.

        None where no route leads there.  Lengths carry six decimals.
        """
        index = self._index[zone.zone_id]
        hose_m = float(self.hoses_m(position, rig)[index])
        if np.isnan(hose_m):
            return None
        geometry = self._sums(position, rig.bend_m)
        return HoseRun(
            hose_m=hose_m,
            laid_m=float(geometry.laid_m[index]),
            rise_m=float(geometry.rise_m[index]),
        )

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

    def hoses_m(self, position: Position, rig: Rig) -> NDArray[np.float64]:
        """Return the equivalent hose to every zone in file order; nan without a route [m]."""
        key = (position.position_id, rig.bend_m, rig.rise_factor)
        if key not in self._hose_m:
            geometry = self._sums(position, rig.bend_m)
            hose_m = geometry.laid_m + rig.bend_m * geometry.bends
            hose_m = hose_m + rig.rise_factor * np.maximum(0.0, geometry.rise_m)
            self._hose_m[key] = np.round(hose_m, DECIMALS)
        return self._hose_m[key]

    def rises_m(self, position: Position, rig: Rig) -> NDArray[np.float64]:
        """Return the net rise to every zone in file order; nan without a route [m]."""
        return self._sums(position, rig.bend_m).rise_m

    def mask(self, position: Position, rig: Rig) -> NDArray[np.bool_]:
        """Return for every zone in file order whether the rig reaches it from the position."""
        key = (position.position_id, rig.rig_id)
        if key not in self._mask:
            self._mask[key] = self._reached(position, rig)
        return self._mask[key]

    def _reached(self, position: Position, rig: Rig) -> NDArray[np.bool_]:
        if position.processes and rig.process not in position.processes:
            return np.zeros(len(self.campaign.zones), dtype=np.bool_)
        found: NDArray[np.bool_] = self.hoses_m(position, rig) <= rig.hose_max_m
        if rig.rise_max_m is not None:
            found = found & (self.rises_m(position, rig) <= rig.rise_max_m)
        return found

    def _sums(self, position: Position, bend_m: float) -> _Geometry:
        by_grid = self.campaign.reach_by is ReachBy.GRID
        key = (position.position_id, 0.0 if by_grid else bend_m)
        if key not in self._geometry:
            sums = self._by_grid(position) if by_grid else self._by_routes(position, bend_m)
            self._geometry[key] = _Geometry(*(np.round(column, DECIMALS) for column in sums))
        return self._geometry[key]

    def _by_grid(self, position: Position) -> _Geometry:
        at = np.array([position.x_m, position.y_m, position.z_m])
        away = self._places - at
        laid_m = np.abs(away).sum(axis=1) * self.campaign.reach_slack
        return _Geometry(laid_m, np.zeros(len(away)), away[:, 2])

    def _by_routes(self, position: Position, bend_m: float) -> _Geometry:
        walks = self._network.walks(str(position.position_id), bend_m)
        table = np.full((len(self.campaign.zones), 3), np.nan)
        for index, zone in enumerate(self.campaign.zones):
            walk = walks.get(str(zone.zone_id))
            if walk is not None:
                table[index] = walk
        return _Geometry(table[:, 0], table[:, 1], table[:, 2])

    @cached_property
    def _network(self) -> Network:
        return Network(self.campaign)

    @cached_property
    def _places(self) -> NDArray[np.float64]:
        places = [(zone.x_m, zone.y_m, zone.z_m) for zone in self.campaign.zones]
        return np.array(places, dtype=np.float64).reshape(-1, 3)
