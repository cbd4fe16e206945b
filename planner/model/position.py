"""Set-up positions, the hose routes between them and the zones, and named waypoints."""

from __future__ import annotations

from dataclasses import dataclass

from planner.model.identifiers import PositionId, Process
from planner.model.resource import Need


@dataclass(frozen=True, slots=True, kw_only=True)
class Position:
    """A place where a rig can be set up (contract, positions.csv).

    Attributes
    ----------
    position_id
        Identifier.
    x_m, y_m, z_m
        Place in site coordinates [m].
    processes
        Processes allowed; empty: any.
    rigs_max
        Most rigs that may stand here at once [1].
    set_up_cost
        Money for each set-up of a rig here.
    water_min_m, water_max_m
        Water levels between which a run here, or a relocation to or from here, is possible,
        allowances included [m]; None: no limit.
    needs
        Resources it takes while a run goes on here (rule 16).
    """

    position_id: PositionId
    x_m: float
    y_m: float
    z_m: float
    processes: tuple[Process, ...] = ()
    rigs_max: int = 1
    set_up_cost: float = 0.0
    water_min_m: float | None = None
    water_max_m: float | None = None
    needs: tuple[Need, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Route:
    """One leg of hose, usable both ways (contract, routes.csv).

    Attributes
    ----------
    start, end
        Ids of a position, zone or waypoint (columns ``from`` and ``to``).
    length_m
        Hose laid along the leg [m].
    rise_m
        Height of ``end`` minus height of ``start`` [m].
    bends
        Number of 90° bends [1].
    """

    start: str
    end: str
    length_m: float
    rise_m: float = 0.0
    bends: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Waypoint:
    """A named point of the hose routes, for the map [m]."""

    waypoint_id: str
    x_m: float
    y_m: float
    z_m: float
