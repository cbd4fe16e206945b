"""The hose routes as a graph, and the least route from a position to every zone.

A hose does not pass through another zone or position (contract, routes.csv), so arcs lead out of
positions, into zones, and both ways between waypoints only: no walk in this graph can break that.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

import networkx as nx

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.model.campaign import Campaign
    from planner.model.position import Route

MICRO = 1_000_000
"""Routes are compared in whole millionths of a metre, so that equal sums are equal."""
HOPS = 1 << 20
"""Room below a millionth of a metre to count legs without any length."""


class Walk(NamedTuple):
    """Sums along a route from a position to one end [m, 1, m]."""

    laid_m: float
    bends: float
    rise_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class _Leg:
    """One leg in one direction; ``least_um`` and ``rise_um`` are what legs are compared by."""

    length_m: float
    bends: float
    rise_m: float
    least_um: int
    rise_um: int

    @property
    def rank(self) -> tuple[int, int, float]:
        return self.least_um, self.rise_um, self.length_m


class Network:
    """The routes of a campaign.

    Parameters
    ----------
    campaign
        Ends of its routes that are neither a position nor a zone are waypoints.
    """

    def __init__(self, campaign: Campaign) -> None:
        self._positions = frozenset(str(row.position_id) for row in campaign.positions)
        self._zones = frozenset(str(row.zone_id) for row in campaign.zones)
        self._routes = campaign.routes
        self._graphs: dict[float, nx.DiGraph[str]] = {}

    def walks(self, position_id: str, bend_m: float) -> dict[str, Walk]:
        """Return the route of the least length + bend_m x bends to every end that has one.

        Of equal sums the route with the least net rise, then the one whose points come first by
        name.  Legs without length or bends are used as little as the least sum allows, so a
        route never walks in a circle.
        """
        graph = self._graph(bend_m)
        if position_id not in graph:
            return {}
        before, distance = nx.dijkstra_predecessor_and_distance(graph, position_id)
        walks = {position_id: Walk(0.0, 0.0, 0.0)}
        rise_um = {position_id: 0}
        chosen: dict[str, str] = {}
        for end in sorted(distance, key=lambda name: (distance[name], name)):
            if end == position_id:
                continue
            come = _first_by_rise_and_name(graph, end, before[end], rise_um, chosen)
            leg: _Leg = graph.edges[come, end]["leg"]
            so_far = walks[come]
            chosen[end] = come
            rise_um[end] = rise_um[come] + leg.rise_um
            walks[end] = Walk(
                so_far.laid_m + leg.length_m,
                so_far.bends + leg.bends,
                so_far.rise_m + leg.rise_m,
            )
        return walks

    def _graph(self, bend_m: float) -> nx.DiGraph[str]:
        if bend_m not in self._graphs:
            self._graphs[bend_m] = self._build(bend_m)
        return self._graphs[bend_m]

    def _build(self, bend_m: float) -> nx.DiGraph[str]:
        best: dict[tuple[str, str], _Leg] = {}
        for route in self._routes:
            for start, end, leg in _both_ways(route, bend_m):
                if not self._may_lead(start, end):
                    continue
                known = best.get((start, end))
                if known is None or leg.rank < known.rank:
                    best[start, end] = leg
        graph: nx.DiGraph[str] = nx.DiGraph()
        for (start, end), leg in sorted(best.items(), key=lambda item: item[0]):
            weight = leg.least_um * HOPS + (1 if leg.least_um == 0 else 0)
            graph.add_edge(start, end, weight=weight, leg=leg)
        return graph

    def _may_lead(self, start: str, end: str) -> bool:
        return start != end and start not in self._zones and end not in self._positions


def _both_ways(route: Route, bend_m: float) -> Iterator[tuple[str, str, _Leg]]:
    least_um = round((route.length_m + bend_m * route.bends) * MICRO)
    for start, end, rise_m in (
        (route.start, route.end, route.rise_m),
        (route.end, route.start, -route.rise_m),
    ):
        leg = _Leg(
            length_m=route.length_m,
            bends=route.bends,
            rise_m=rise_m,
            least_um=least_um,
            rise_um=round(rise_m * MICRO),
        )
        yield start, end, leg


def _first_by_rise_and_name(
    graph: nx.DiGraph[str],
    end: str,
    candidates: list[str],
    rise_um: dict[str, int],
    chosen: dict[str, str],
) -> str:
    if len(candidates) == 1:
        return candidates[0]
    rises = {come: rise_um[come] + graph.edges[come, end]["leg"].rise_um for come in candidates}
    least = min(rises.values())
    tied = [come for come, rise in rises.items() if rise == least]
    return tied[0] if len(tied) == 1 else min(tied, key=lambda come: _names(come, chosen))


def _names(end: str, chosen: dict[str, str]) -> tuple[str, ...]:
    names = [end]
    while names[-1] in chosen:
        names.append(chosen[names[-1]])
    return tuple(reversed(names))
