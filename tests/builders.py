"""Small valid records for tests; every field can be overridden by keyword.

The scene of :func:`campaign`: from Monday 2 March 2026, 14 days, in London (winter time, so local
time is UTC); no water; hose lengths by the grid; one zone of 2.2 m³ in place at (10, 0, 0), one
position at the origin, one dry rig, one crew on a day shift 06:00-18:00, one mix with half
rebound.  The numbers are invented and round, so that sums can be done by hand.
"""

from __future__ import annotations

from datetime import date
from typing import Any

from planner.core.clock import Clock
from planner.model.campaign import Campaign
from planner.model.crew import Crew, Shift
from planner.model.identifiers import (
    CrewId,
    CrewKind,
    Goal,
    MixId,
    Orientation,
    PositionId,
    Process,
    RigId,
    ShiftId,
    ZoneId,
)
from planner.model.limits import Closure, ClosureScope
from planner.model.mix import MixFace
from planner.model.position import Position, Route
from planner.model.progress import Done
from planner.model.rig import Rig
from planner.model.rules import Prices, ReachBy, Rules
from planner.model.water import Water, WaterKind
from planner.model.zone import Zone
from planner.plan.plan import BreakOut, Proof, Relocation, Run, Spell, Status, Unplanned

HORIZON_MIN = 14 * 24 * 60
EVERY_DAY = frozenset(range(7))


def clock(**changes: Any) -> Clock:
    """Monday 2 March to Sunday 15 March 2026 in London."""
    fields: dict[str, Any] = {
        "time_zone": "Europe/London",
        "first_day": date(2026, 3, 2),
        "last_day": date(2026, 3, 15),
    }
    return Clock(**(fields | changes))


def zone(zone_id: str = "Z1", /, **changes: Any) -> Zone:
    """20 m² x 100 mm overhead: with 10 % overbreak 2.2 m³ in place."""
    fields: dict[str, Any] = {
        "zone_id": ZoneId(zone_id),
        "x_m": 10.0,
        "y_m": 0.0,
        "z_m": 0.0,
        "area_m2": 20.0,
        "depth_mm": 100.0,
        "orientation": Orientation.OVERHEAD,
    }
    return Zone(**(fields | changes))


def position(position_id: str = "P1", /, **changes: Any) -> Position:
    """A position at the origin."""
    fields: dict[str, Any] = {
        "position_id": PositionId(position_id),
        "x_m": 0.0,
        "y_m": 0.0,
        "z_m": 0.0,
    }
    return Position(**(fields | changes))


def route(start: str = "P1", end: str = "Z1", length_m: float = 30.0, **changes: Any) -> Route:
    """A level, straight leg of 30 m."""
    fields: dict[str, Any] = {"start": start, "end": end, "length_m": length_m}
    return Route(**(fields | changes))


def rig(rig_id: str = "R1", /, **changes: Any) -> Rig:
    """A dry rig: 5 m³/h through the nozzle, 80 % of the time; 4 m³/h while a spell lasts."""
    fields: dict[str, Any] = {
        "rig_id": RigId(rig_id),
        "process": Process.DRY,
        "hose_max_m": 100.0,
        "rate_m3_h": 5.0,
        "nozzle_on": 0.8,
        "start_up_min": 20,
        "clean_up_min": 15,
        "move_min": 60.0,
        "available_from_min": 0,
        "available_to_min": HORIZON_MIN,
    }
    return Rig(**(fields | changes))


def crew(crew_id: str = "C1", /, **changes: Any) -> Crew:
    """A spray crew on the day shift."""
    fields: dict[str, Any] = {
        "crew_id": CrewId(crew_id),
        "kind": CrewKind.SPRAY,
        "shift_id": ShiftId("day"),
        "available_from_min": 0,
        "available_to_min": HORIZON_MIN,
    }
    return Crew(**(fields | changes))


def shift(shift_id: str = "day", /, **changes: Any) -> Shift:
    """Every day 06:00 to 18:00."""
    fields: dict[str, Any] = {
        "shift_id": ShiftId(shift_id),
        "weekdays": EVERY_DAY,
        "start_tod": 6 * 60,
        "end_tod": 18 * 60,
    }
    return Shift(**(fields | changes))


def mix(mix_id: str = "dry", /, **changes: Any) -> MixFace:
    """Half rebounds; 100 mm a layer; 12 h between layers; 6 h until wetted."""
    fields: dict[str, Any] = {
        "mix_id": MixId(mix_id),
        "process": Process.DRY,
        "orientation": Orientation.OVERHEAD,
        "rebound": 0.5,
        "layer_max_mm": 100.0,
        "layer_gap_min_h": 12.0,
        "protect_h": 6.0,
    }
    return MixFace(**(fields | changes))


def closure(scope: ClosureScope = ClosureScope.SITE, target: str = "", **changes: Any) -> Closure:
    """The whole of the first day."""
    fields: dict[str, Any] = {"scope": scope, "target": target, "from_min": 0, "to_min": 24 * 60}
    return Closure(**(fields | changes))


def done(zone_id: str = "Z1", /, **changes: Any) -> Done:
    """1 m³ of the first layer, an hour after the start."""
    fields: dict[str, Any] = {"zone_id": ZoneId(zone_id), "layer": 1, "done_m3": 1.0, "at_min": 60}
    return Done(**(fields | changes))


def campaign(**changes: Any) -> Campaign:
    """One of everything; see the module's docstring."""
    fields: dict[str, Any] = {
        "name": "Small",
        "clock": clock(),
        "goals": (Goal.FINISH, Goal.RELOCATIONS, Goal.COST),
        "may_worsen": (0.0, 0.0),
        "water": Water(kind=WaterKind.NONE),
        "rules": Rules(),
        "prices": Prices(),
        "reach_by": ReachBy.GRID,
        "reach_slack": 1.0,
        "zones": (zone(),),
        "positions": (position(),),
        "rigs": (rig(),),
        "crews": (crew(),),
        "shifts": (shift(),),
        "mixes": (mix(),),
    }
    return Campaign(**(fields | changes))


def spell(run: str = "1", /, **changes: Any) -> Spell:
    """The whole of zone Z1 in its default run: 06:30 to 07:36, 2.2 m³ at 2 m³/h."""
    fields: dict[str, Any] = {
        "run": run,
        "rig": RigId("R1"),
        "crew": CrewId("C1"),
        "position": PositionId("P1"),
        "zone": ZoneId("Z1"),
        "layer": 1,
        "start_min": 390,
        "end_min": 456,
        "volume_m3": 2.2,
        "hose_m": 10.0,
        "hose_laid_m": 10.0,
    }
    return Spell(**(fields | changes))


def run(name: str = "1", /, **changes: Any) -> Run:
    """First day, 06:00 to 07:51: 20 min start-up, 10 min change, 66 min spell, 15 min clean-up."""
    fields: dict[str, Any] = {
        "run": name,
        "rig": RigId("R1"),
        "crew": CrewId("C1"),
        "position": PositionId("P1"),
        "mix": MixId("dry"),
        "start_min": 360,
        "end_min": 471,
    }
    return Run(**(fields | changes))


def relocation(**changes: Any) -> Relocation:
    """R1 from P1 to P2 on the first day, 08:00 to 09:00."""
    fields: dict[str, Any] = {
        "rig": RigId("R1"),
        "crew": CrewId("C1"),
        "from_position": PositionId("P1"),
        "to_position": PositionId("P2"),
        "start_min": 480,
        "end_min": 540,
    }
    return Relocation(**(fields | changes))


def break_out(**changes: Any) -> BreakOut:
    """Zone Z1 on the first day, 06:00 to 10:24."""
    fields: dict[str, Any] = {
        "crew": CrewId("B1"),
        "zone": ZoneId("Z1"),
        "start_min": 360,
        "end_min": 624,
        "volume_m3": 2.2,
    }
    return BreakOut(**(fields | changes))


def proof(**changes: Any) -> Proof:
    """A feasible plan that may be an hour later than need be."""
    fields: dict[str, Any] = {
        "status": Status.FEASIBLE,
        "planned_m3_bound": 2.2,
        "bound": {Goal.FINISH: 6.6, Goal.RELOCATIONS: 0.0, Goal.COST: 0.0},
        "seed": 1,
        "workers": 1,
        "seconds": 0.5,
    }
    return Proof(**(fields | changes))


def unplanned(zone_id: str = "Z2", reason: str = "No position reaches it.") -> Unplanned:
    """A zone that is left out."""
    return Unplanned(zone=ZoneId(zone_id), reason=reason)


def prices(**changes: Any) -> Prices:
    """Nothing costs anything."""
    return Prices(**changes)
