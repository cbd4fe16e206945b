"""Invented zones, positions, rigs, crews and prices of the synthetic cases."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

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
from planner.model.mix import MixFace
from planner.model.position import Position
from planner.model.rig import Rig
from planner.model.rules import Prices, ReachBy, Rules
from planner.model.water import Water
from planner.model.zone import Zone

HOUR = 60
CHANGE_MIN = 10
LAYER_MM = 50.0
NOZZLE_M3_H = 5.0
NOZZLE_ON = 0.8
REBOUND = {Orientation.OVERHEAD: 0.35, Orientation.VERTICAL: 0.25}
"""Share of the sprayed volume that falls; common practice for dry mix."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """How large a case is."""

    zones: int
    positions: int
    rigs: int
    days: int


def clock_of(first: date, days: int) -> Clock:
    """Return a London calendar of some days."""
    return Clock(
        time_zone="Europe/London", first_day=first, last_day=first + timedelta(days=days - 1)
    )


def zone_of(rng: np.random.Generator, name: str, *, x_m: float) -> Zone:
    """Return a zone of one or two layers; its volume is scaled later."""
    orientations = (Orientation.OVERHEAD, Orientation.OVERHEAD, Orientation.VERTICAL)
    layers = int(rng.integers(1, 3))
    return Zone(
        zone_id=ZoneId(name),
        x_m=round(x_m, 1),
        y_m=float(rng.integers(5, 15)),
        z_m=0.0,
        area_m2=round(float(rng.lognormal(2.5, 0.4)), 1),
        depth_mm=LAYER_MM * layers,
        orientation=orientations[int(rng.integers(3))],
    )


def positions_in_a_row(count: int, length_m: float) -> tuple[Position, ...]:
    """Return positions at even spaces along a line, 3 m above the zones."""
    return tuple(
        Position(
            position_id=PositionId(f"P{k:03d}"),
            x_m=round(length_m * (k + 0.5) / count, 1),
            y_m=0.0,
            z_m=3.0,
            set_up_cost=200.0,
        )
        for k in range(count)
    )


def shift_of(name: str, days: frozenset[int], start_h: int, end_h: int) -> Shift:
    """Return a shift between two full hours."""
    return Shift(
        shift_id=ShiftId(name), weekdays=days, start_tod=start_h * HOUR, end_tod=end_h * HOUR
    )


def crew_of(
    clock: Clock,
    name: str,
    *,
    shift: str = "day",
    kind: CrewKind = CrewKind.SPRAY,
    rate_m3_h: float | None = None,
) -> Crew:
    """Return a crew that is there all the time."""
    return Crew(
        crew_id=CrewId(name),
        kind=kind,
        shift_id=ShiftId(shift),
        rate_m3_h=rate_m3_h,
        available_from_min=0,
        available_to_min=clock.horizon_min,
    )


def rig_of(clock: Clock, name: str, *, hose_max_m: float, rate_m3_h: float) -> Rig:
    """Return a dry rig that loses a fifth of its rate per 100 m beyond 40 m."""
    return Rig(
        rig_id=RigId(name),
        process=Process.DRY,
        hose_max_m=hose_max_m,
        bend_m=2.0,
        rate_m3_h=rate_m3_h,
        nozzle_on=NOZZLE_ON,
        rate_free_m=40.0,
        rate_loss_per_100m=0.2,
        start_up_min=20,
        clean_up_min=15,
        idle_max_min=60,
        move_min=90.0,
        move_min_per_100m=10.0,
        available_from_min=0,
        available_to_min=clock.horizon_min,
    )


def _mixes() -> tuple[MixFace, ...]:
    return tuple(
        MixFace(
            mix_id=MixId("dry"),
            process=Process.DRY,
            orientation=orientation,
            rebound=share,
            layer_max_mm=LAYER_MM,
            layer_gap_min_h=12.0,
            layer_gap_max_h=None,
            protect_h=1.0,
            finish_min_m2=0.2,
        )
        for orientation, share in REBOUND.items()
    )


def campaign_of(
    rng: np.random.Generator,
    *,
    clock: Clock,
    size: Size,
    water: Water,
    zones: tuple[Zone, ...],
    positions: tuple[Position, ...],
    shift: Shift,
    hose_max_m: float,
) -> Campaign:
    """Return a campaign of zones in mixed order, each rig with a crew of its own."""
    rigs = tuple(
        rig_of(clock, f"R{k + 1}", hose_max_m=hose_max_m, rate_m3_h=NOZZLE_M3_H + 0.5 * k)
        for k in range(size.rigs)
    )
    crews = tuple(crew_of(clock, f"C{k + 1}", shift=shift.shift_id) for k in range(size.rigs))
    order = rng.permutation(len(zones))  # a survey does not list its zones along the quay
    return Campaign(
        name=f"{size.zones} zones",
        clock=clock,
        goals=(Goal.FINISH, Goal.RELOCATIONS, Goal.COST),
        may_worsen=(0.0, 0.0),
        water=water,
        rules=Rules(zone_change_min=CHANGE_MIN),
        prices=_prices(rigs, crews),
        reach_by=ReachBy.GRID,
        zones=tuple(zones[int(k)] for k in order),
        positions=positions,
        rigs=rigs,
        crews=crews,
        shifts=(shift,),
        mixes=_mixes(),
    )


def _prices(rigs: Sequence[Rig], crews: Sequence[Crew]) -> Prices:
    return Prices(
        day=400.0,
        relocation=300.0,
        rebound_m3=80.0,
        rig_day={rig.rig_id: 250.0 for rig in rigs},
        crew_shift={crew.crew_id: 1200.0 for crew in crews},
        material_m3={MixId("dry"): 350.0},
        line_waste_m3={Process.DRY: 0.1},
        hose_m3={Process.DRY: 8.0},
    )
