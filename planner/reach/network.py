"""The hose routes as a graph, and the least route between a position and the zones.

A hose does not pass through another zone or position (contract, routes.csv), so arcs lead out of
positions, into zones, and both ways between waypoints only: no walk in this graph can break that.

Of all routes the one with the least length + bend_m x bends is taken; of equal ones the one with
the least net rise, then the one with the least hose laid.  What is then still equal has equal
figures.  Search: E. W. Dijkstra, A note on two problems in connexion with graphs, Numerische
Mathematik 1 (1959) 269-271, by networkx.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

import networkx as nx

from planner.model.campaign import Campaign
from planner.model.position import Route

MICRO = 1_000_000
"""Routes are compared in whole millionths of a metre, so that equal sums are equal."""
HOPS = 1 << 20
"""Room below a millionth of a metre to count legs without any length."""
SLACK_UM = 1_000
"""A search is cut off a millimetre late, beyond what the rounding of legs adds up to."""


class Walk(NamedTuple):
    """Sums along a route from a position to a zone [m, 1, m]."""

    laid_m: float
    bends: float
    rise_m: float


class _Sum(NamedTuple):
    """What equal routes are told apart by, and the sums themselves."""

    rise_um: int
    laid_um: int
    walk: Walk


@dataclass(frozen=True, slots=True, kw_only=True)
class _Leg:
    """One leg in the direction from position to zone; whole numbers to compare by [µm]."""

    length_m: float
    bends: float
    rise_m: float
    least_um: int
    rise_um: int
    laid_um: int

    @property
    def rank(self) -> tuple[int, int, int]:
        return self.least_um, self.rise_um, self.laid_um

    def after(self, so_far: _Sum) -> _Sum:
        walk = so_far.walk
        return _Sum(
            so_far.rise_um + self.rise_um,
            so_far.laid_um + self.laid_um,
            Walk(walk.laid_m + self.length_m, walk.bends + self.bends, walk.rise_m + self.rise_m),
        )


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
        self._graphs: dict[tuple[float, bool], nx.DiGraph[str]] = {}

    def walks_from(
        self, position_id: str, bend_m: float, *, within_m: float | None = None
    ) -> dict[str, Walk]:
        """Return the least route from a position to every end that has one.

        Parameters
        ----------
        bend_m
            Equivalent length of a bend [m].
        within_m
            Given: ends beyond this least length + bend_m x bends may be left out [m].
        """
        return _search(self._graph(bend_m, backward=False), position_id, within_m)

    def walks_to(
        self, zone_id: str, bend_m: float, *, within_m: float | None = None
    ) -> dict[str, Walk]:
        """Return the least route to a zone from every start that has one, as it is walked."""
        return _search(self._graph(bend_m, backward=True), zone_id, within_m)

    def way(self, position_id: str, zone_id: str, bend_m: float) -> tuple[str, ...]:
        """Return the ends that the least route passes, first and last included; empty: none."""
        graph = self._graph(bend_m, backward=False)
        if position_id not in graph or zone_id not in graph:
            return ()
        before, _ = nx.dijkstra_predecessor_and_distance(graph, position_id)
        sums = _sums(graph, position_id, None)
        if zone_id not in sums:
            return ()
        way = [zone_id]
        while way[-1] != position_id:
            end = way[-1]
            way.append(
                min(before[end], key=lambda come: graph[come][end]["leg"].after(sums[come]))
            )
        return tuple(reversed(way))

    def _graph(self, bend_m: float, *, backward: bool) -> nx.DiGraph[str]:
        key = (bend_m, backward)
        if key not in self._graphs:
            graph = self._build(bend_m)
            self._graphs[bend_m, False] = graph
            self._graphs[bend_m, True] = graph.reverse()
        return self._graphs[key]

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
            # legs without length count as a hair, so that no route goes round in a circle
            weight = leg.least_um * HOPS + (1 if leg.least_um == 0 else 0)
            graph.add_edge(start, end, weight=weight, leg=leg)
        return graph

    def _may_lead(self, start: str, end: str) -> bool:
        return start != end and start not in self._zones and end not in self._positions


def _both_ways(route: Route, bend_m: float) -> Iterator[tuple[str, str, _Leg]]:
    for start, end, rise_m in (
        (route.start, route.end, route.rise_m),
        (route.end, route.start, -route.rise_m),
    ):
        leg = _Leg(
            length_m=route.length_m,
            bends=route.bends,
            rise_m=rise_m,
            least_um=round((route.length_m + bend_m * route.bends) * MICRO),
            rise_um=round(rise_m * MICRO),
            laid_um=round(route.length_m * MICRO),
        )
        yield start, end, leg


def _search(graph: nx.DiGraph[str], source: str, within_m: float | None) -> dict[str, Walk]:
    if source not in graph:
        return {}
    return {end: found.walk for end, found in _sums(graph, source, within_m).items()}


def _sums(graph: nx.DiGraph[str], source: str, within_m: float | None) -> dict[str, _Sum]:
    cutoff = None if within_m is None else (round(within_m * MICRO) + SLACK_UM) * HOPS
    before, distance = nx.dijkstra_predecessor_and_distance(graph, source, cutoff=cutoff)
    sums = {source: _Sum(0, 0, Walk(0.0, 0.0, 0.0))}
    for end in sorted(distance, key=distance.__getitem__):
        if end != source:
            # a predecessor is nearer, so its own sum stands already
            sums[end] = min(graph[come][end]["leg"].after(sums[come]) for come in before[end])
    return sums
