"""What might be added to a campaign, each as a campaign of its own, at its most favourable.

A changed campaign is made at least as good as any real one of its kind, so that a bound worked
out on it is a bound on what the real addition could bring: the added position has hoses of no
length to every zone, and moves then take no longer for being far.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from planner.model.campaign import Campaign
from planner.model.crew import Crew
from planner.model.identifiers import CrewId, CrewKind, PositionId, RigId, ZoneId
from planner.model.position import Position, Route
from planner.model.rig import Rig
from planner.model.rules import ReachBy

WINDOW_MIN = 30
HOSE_M = 50.0
PAIRS_MAX = 200_000
"""With more pairs of positions and zones a grid is not written out as routes."""
KINDS_MAX = 4
"""Most kinds of rigs, of crews, and of pairs of both that are tried."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One addition.

    Attributes
    ----------
    code, what
        Its name for programs, and in words.
    campaign
        The campaign with it.
    """

    code: str
    what: str
    campaign: Campaign


@dataclass(frozen=True, slots=True, kw_only=True)
class Gain:
    """What an addition could bring at most, against one plan.

    Attributes
    ----------
    code, what
        Of the change; empty code: the campaign as it is.
    finish_bound_min
        No plan of the plan's volume finishes before it [min].
    finish_min
        Finish of the plan [min].
    volume_bound_m3
        No plan holds more [m³].
    planned_m3
        What the plan holds [m³].
    ended_early
        Whether the time ended the proof; the bound then holds, but says less.
    rests_on
        Zone whose own layers, gaps, windows and zones before it set the bound; None: it is set by
        how much work there is for all.
    """

    code: str
    what: str
    finish_bound_min: int
    finish_min: int
    volume_bound_m3: float
    planned_m3: float
    ended_early: bool = False
    rests_on: ZoneId | None = None

    @property
    def at_most_min(self) -> int:
        """Return by how much at most the plan's finish could come forward [min]."""
        return max(0, self.finish_min - self.finish_bound_min)

    @property
    def more_m3(self) -> float:
        """Return how much more volume at most could be planned [m³]."""
        return max(0.0, self.volume_bound_m3 - self.planned_m3)


def changes(campaign: Campaign) -> Iterator[Change]:
    """Yield the additions that are asked about, each made when it is asked for."""
    yield from _rigs(campaign)
    yield from _crews(campaign)
    yield from _pairs(campaign)
    if len(campaign.rigs) > 1:
        yield _roomier(campaign)
    if _is_writable(campaign):
        yield _anywhere(campaign)
    yield _longer_windows(campaign)
    yield _longer_hoses(campaign)


def _rig_kinds(campaign: Campaign) -> list[Rig]:
    """Return a rig of each kind: those that differ in nothing but name and place are one."""
    kinds: dict[Rig, Rig] = {}
    for rig in campaign.rigs:
        kinds.setdefault(replace(rig, rig_id=RigId(""), at=None), rig)
    return list(kinds.values())[:KINDS_MAX]


def _crew_kinds(campaign: Campaign) -> list[Crew]:
    kinds: dict[Crew, Crew] = {}
    for crew in campaign.crews:
        kinds.setdefault(replace(crew, crew_id=CrewId("")), crew)
    return list(kinds.values())[:KINDS_MAX]


def _rigs(campaign: Campaign) -> Iterator[Change]:
    for rig in _rig_kinds(campaign):
        yield Change(
            code=f"rig:{rig.rig_id}",
            what=f"one more rig like {rig.rig_id}, with the crews as they are",
            campaign=with_rig(campaign, rig),
        )


def _crews(campaign: Campaign) -> Iterator[Change]:
    for crew in _crew_kinds(campaign):
        yield Change(
            code=f"crew:{crew.crew_id}",
            what=f"one more crew like {crew.crew_id}, with the rigs as they are",
            campaign=with_crew(campaign, crew),
        )


def _pairs(campaign: Campaign) -> Iterator[Change]:
    """Yield each kind of rig together with the first crew that may serve it."""
    spraying = [crew for crew in _crew_kinds(campaign) if crew.kind is CrewKind.SPRAY]
    for rig in _rig_kinds(campaign):
        able = [crew for crew in spraying if not crew.processes or rig.process in crew.processes]
        if able:
            yield Change(
                code=f"rig:{rig.rig_id}+crew:{able[0].crew_id}",
                what=f"one more rig like {rig.rig_id} and one more crew like {able[0].crew_id}",
                campaign=with_crew(with_rig(campaign, rig), able[0]),
            )


def _roomier(campaign: Campaign) -> Change:
    positions = tuple(replace(row, rigs_max=row.rigs_max + 1) for row in campaign.positions)
    return Change(
        code="room",
        what="room for one more rig at every position",
        campaign=replace(campaign, positions=positions),
    )


def _longer_windows(campaign: Campaign) -> Change:
    """Return longer windows: people get in earlier and out later by half of it each."""
    rules, half = campaign.rules, WINDOW_MIN // 2
    zones = tuple(
        replace(
            zone,
            get_in_min=(rules.get_in_min if zone.get_in_min is None else zone.get_in_min) - half,
            get_out_min=(rules.get_out_min if zone.get_out_min is None else zone.get_out_min)
            - half,
        )
        for zone in campaign.zones
    )
    return Change(
        code="window",
        what=f"{WINDOW_MIN} minutes more in every window, {half} at each end",
        campaign=replace(campaign, zones=zones),
    )


def _longer_hoses(campaign: Campaign) -> Change:
    rigs = tuple(replace(rig, hose_max_m=rig.hose_max_m + HOSE_M) for rig in campaign.rigs)
    return Change(
        code="hose",
        what=f"{HOSE_M:g} m more hose on every rig (its equivalent reach)",
        campaign=replace(campaign, rigs=rigs),
    )


def with_rig(campaign: Campaign, like: Rig) -> Campaign:
    """Return a campaign with one more rig like another, free to be set up anywhere."""
    taken = {str(rig.rig_id) for rig in campaign.rigs}
    more = replace(like, rig_id=RigId(_free_name(like.rig_id, taken)), at=None)
    return replace(campaign, rigs=(*campaign.rigs, more))


def with_crew(campaign: Campaign, like: Crew) -> Campaign:
    """Return a campaign with one more crew like another, whose people hold the same cards."""
    taken = {str(crew.crew_id) for crew in campaign.crews}
    name = CrewId(_free_name(like.crew_id, taken))
    cards = tuple(
        replace(card, crew_id=name) for card in campaign.cards if card.crew_id == like.crew_id
    )
    return replace(
        campaign,
        crews=(*campaign.crews, replace(like, crew_id=name)),
        cards=(*campaign.cards, *cards),
    )


def _free_name(name: str, taken: set[str]) -> str:
    found = f"{name}+"
    while found in taken:
        found += "+"
    return found


def _is_writable(campaign: Campaign) -> bool:
    pairs = len(campaign.positions) * len(campaign.zones)
    return campaign.reach_by is ReachBy.ROUTES or pairs <= PAIRS_MAX


def _anywhere(campaign: Campaign) -> Change:
    """Return a position that no real one can beat: no hose to any zone, no way to it."""
    taken = {str(row.position_id) for row in campaign.positions} | {
        end for route in campaign.routes for end in (route.start, route.end)
    }
    name = PositionId(_free_name("P", taken | {str(zone.zone_id) for zone in campaign.zones}))
    first = campaign.positions[0]
    more = Position(
        position_id=name, x_m=first.x_m, y_m=first.y_m, z_m=first.z_m, rigs_max=len(campaign.rigs)
    )
    routes = _grid_routes(campaign) if campaign.reach_by is ReachBy.GRID else campaign.routes
    hoses = tuple(Route(start=name, end=zone.zone_id, length_m=0.0) for zone in campaign.zones)
    changed = replace(
        campaign,
        reach_by=ReachBy.ROUTES,
        routes=(*routes, *hoses),
        positions=(*campaign.positions, more),
        rigs=tuple(replace(rig, move_min_per_100m=0.0) for rig in campaign.rigs),
    )
    return Change(
        code="position",
        what="one more position, wherever it stands: every zone in reach of the shortest hose",
        campaign=changed,
    )


def _grid_routes(campaign: Campaign) -> tuple[Route, ...]:
    """Return a route for each position and zone, as long as the grid says (contract, 3)."""
    return tuple(
        Route(
            start=place.position_id,
            end=zone.zone_id,
            length_m=campaign.reach_slack
            * (abs(place.x_m - zone.x_m) + abs(place.y_m - zone.y_m) + abs(place.z_m - zone.z_m)),
            rise_m=zone.z_m - place.z_m,
        )
        for place in campaign.positions
        for zone in campaign.zones
    )
