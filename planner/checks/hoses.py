"""Hose runs worked out once more: the shortest way through the routes, or the grid.

A plain Dijkstra search (E. W. Dijkstra, A note on two problems in connexion with graphs,
Numerische Mathematik 1, 1959, 269-271) over hose length and bends.
"""

from __future__ import annotations

import heapq
from collections import defaultdict
from dataclasses import dataclass
from functools import lru_cache

from planner.core.rounding import DECIMALS
from planner.model.campaign import Campaign
from planner.model.identifiers import PositionId
from planner.model.position import Position
from planner.model.rig import Rig
from planner.model.rules import ReachBy
from planner.model.zone import Zone


@dataclass(frozen=True, slots=True, kw_only=True)
class Hose:
    """A hose from a position to a zone: equivalent and laid length, and net rise [m]."""

    equivalent_m: float
    laid_m: float
    rise_m: float


# cost = length + bends [m], then rise [m], then laid length [m]: ties go to the lower, shorter way
_Way = tuple[float, float, float]


class Hoses:
    """The hose runs of a campaign.

    Parameters
    ----------
    campaign
        Campaign whose routes, or grid, are used.
    """

    def __init__(self, campaign: Campaign) -> None:
        self._campaign = campaign
        self._legs: dict[str, list[tuple[str, float, float, float]]] = defaultdict(list)
        for leg in campaign.routes:
            self._legs[leg.start].append((leg.end, leg.length_m, leg.rise_m, leg.bends))
            self._legs[leg.end].append((leg.start, leg.length_m, -leg.rise_m, leg.bends))
        self._stops = {str(zone.zone_id) for zone in campaign.zones}
        self._stops |= {str(position.position_id) for position in campaign.positions}
        self._ways = lru_cache(maxsize=256)(self._search)

    def _search(self, source: PositionId, bend_m: float) -> dict[str, _Way]:
        best: dict[str, _Way] = {}
        queue: list[tuple[_Way, str]] = [((0.0, 0.0, 0.0), str(source))]
        while queue:
            way, place = heapq.heappop(queue)
            if place in best:
                continue
            best[place] = way
            if place in self._stops and place != source:
                continue  # a hose ends at a zone or position; it does not pass through
            for nearby, length_m, rise_m, bends in self._legs.get(place, ()):
                if nearby not in best:
                    heapq.heappush(queue, (_longer(way, length_m, rise_m, bends * bend_m), nearby))
        return best

    def run(self, position: Position, zone: Zone, rig: Rig) -> Hose | None:
        """Return the hose run of a rig at a position to a zone; None: no way at all."""
        if self._campaign.reach_by is ReachBy.GRID:
            rise_m = zone.z_m - position.z_m
            steps_m = abs(zone.x_m - position.x_m) + abs(zone.y_m - position.y_m) + abs(rise_m)
            laid_m = bent_m = steps_m * self._campaign.reach_slack
        else:
            way = self._ways(position.position_id, rig.bend_m).get(str(zone.zone_id))
            if way is None:
                return None
            bent_m, rise_m, laid_m = way
        equivalent_m = bent_m + rig.rise_factor * max(0.0, rise_m)
        return Hose(equivalent_m=equivalent_m, laid_m=laid_m, rise_m=rise_m)


def _longer(way: _Way, length_m: float, rise_m: float, bends_m: float) -> _Way:
    cost_m, height_m, laid_m = way
    return (
        round(cost_m + length_m + bends_m, DECIMALS + 3),
        round(height_m + rise_m, DECIMALS + 3),
        round(laid_m + length_m, DECIMALS + 3),
    )
