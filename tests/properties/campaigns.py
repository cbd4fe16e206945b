"""Random small campaigns, every rule of the contract switched on with some chance.

:func:`campaigns` draws whole minutes, odd rates and all kinds of water.  :func:`grid_campaigns`
draws campaigns of which the exact method (:mod:`tests.exact`) can find the best plan: all times on
a grid, rates that make layers last whole steps, and fewer of everything.  :func:`drawn` and
:func:`drawn_on_grid` make the same from a seeded generator, evenly and without shrinking.
"""

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta

from hypothesis import strategies as st

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
from planner.model.rules import ReachBy, Rules
from planner.model.water import Water, WaterKind
from planner.model.zone import Zone
from tests.properties.extras import apart_pairs, closures, done_rows, open_limits, prices
from tests.properties.luck import Luck
from tests.properties.waters import SECTIONS, waters

GRID_MIN = 30
DAY_MIN = 24 * 60
EVERY_DAY = frozenset(range(7))
PLACES_M = (0.0, 100.0, 200.0)
HOSE_M = (60.0, 60.0, 120.0, 160.0)
LEVELS_M = (5.0, 4.0, 3.0, 2.0)
FACES = (*(2 * [Orientation.OVERHEAD, Orientation.VERTICAL]), Orientation.FLOOR)
STARTS = (
    ("Etc/UTC", date(2026, 3, 2)),
    ("Europe/London", date(2026, 3, 27)),  # the clock goes forward on the Sunday
    ("Europe/London", date(2026, 10, 23)),  # and back
)
GOALS = (
    (Goal.FINISH, Goal.RELOCATIONS, Goal.COST),
    (Goal.COST, Goal.FINISH),
    (Goal.RELOCATIONS, Goal.FINISH, Goal.JOINTS),
    (Goal.LATE, Goal.FINISH, Goal.COST),
    (Goal.NIGHT_RUNS, Goal.COST, Goal.FINISH),
    (Goal.FINISH, Goal.JOINTS, Goal.NIGHT_RUNS, Goal.LATE, Goal.RELOCATIONS, Goal.COST),
)


@st.composite
def campaigns(draw: st.DrawFn) -> Campaign:
    """Return a campaign of a few days, up to 6 zones, 3 positions, 2 rigs and 3 crews."""
    return drawn(lambda low, high: draw(st.integers(low, high)))


@st.composite
def grid_campaigns(draw: st.DrawFn) -> Campaign:
    """Return a campaign on a grid of 30 min, small enough for the exact method."""
    return drawn_on_grid(lambda low, high: draw(st.integers(low, high)))


def drawn(pick: Callable[[int, int], int]) -> Campaign:
    """Return a campaign in whole minutes from draws of whole numbers."""
    return _campaign(Luck(pick, 1), zones=6, days=5)


def drawn_on_grid(pick: Callable[[int, int], int]) -> Campaign:
    """Return a campaign on a grid of 30 min from draws of whole numbers."""
    return _campaign(Luck(pick, GRID_MIN), zones=3, days=2)


def _campaign(luck: Luck, *, zones: int, days: int) -> Campaign:
    time_zone, first = STARTS[0] if luck.on_grid else luck.one_of(STARTS)
    last = first + timedelta(days=luck.whole(1 if luck.on_grid else 2, days) - 1)
    clock = Clock(time_zone=time_zone, first_day=first, last_day=last)
    water = waters(luck, clock)
    goals = luck.one_of(GOALS)
    mixes = _mixes(luck)
    positions = _positions(luck, water)
    shifts = _shifts(luck)
    crews = _crews(luck, clock, shifts)
    rigs = _rigs(luck, clock, positions, mixes)
    patches = _zones(luck, clock, water, positions, count=luck.whole(1, zones))
    campaign = Campaign(
        name="Drawn",
        clock=clock,
        goals=goals,
        may_worsen=tuple(luck.one_of((0.0, 0.0, 0.1, 0.5)) for _ in goals[1:]),
        water=water,
        rules=_rules(luck, shifts),
        prices=prices(luck, rigs, crews, mixes),
        reach_by=ReachBy.GRID,
        reach_slack=1.0,
        zones=patches,
        positions=positions,
        rigs=rigs,
        crews=crews,
        shifts=shifts,
        mixes=mixes,
        apart=apart_pairs(luck, patches),
        open_limits=open_limits(luck, patches),
    )
    campaign = replace(campaign, closures=closures(luck, campaign))
    return replace(campaign, done=done_rows(luck, campaign)) if luck.chance(10) else campaign


def _rules(luck: Luck, shifts: tuple[Shift, ...]) -> Rules:
    gang = luck.one_of(shifts).shift_id if luck.chance(25) else None
    return Rules(
        window_min_min=luck.minutes(30, 60),
        get_in_min=luck.minutes(0, 30) if luck.chance(60) else 0,
        get_out_min=luck.minutes(0, 30) if luck.chance(60) else 0,
        zone_change_min=luck.minutes(0, 30),
        spell_min_min=luck.minutes(30 if luck.on_grid else 10, 60),
        overbreak=0.1,
        relocation_shift=gang,
        prepare_min_h=luck.hours(0, 6) if luck.chance(30) else 0.0,
        panel_days=luck.one_of((0.5, 1.0)) if luck.chance(15) else 0.0,
        panel_min=luck.minutes(30, 60),
        strength_hold_h=luck.hours(0, 12) if luck.chance(30) else 0.0,
        max_open_days=luck.one_of((1.0, 0.5)) if luck.chance(20) else None,
    )


def _mixes(luck: Luck) -> tuple[MixFace, ...]:
    """Return a dry mix on every orientation, and perhaps a wet one and a second dry one."""
    names = [("d", Process.DRY)]
    names += [("w", Process.WET)] if luck.chance(30) else []
    names += [("e", Process.DRY)] if luck.chance(20) else []
    return tuple(
        _face(luck, name, process, orientation)
        for name, process in names
        for orientation in Orientation
        if orientation is not Orientation.FLOOR or name == "d"
    )


def _face(luck: Luck, name: str, process: Process, orientation: Orientation) -> MixFace:
    gap_min = luck.hours(1, 4)
    return MixFace(
        mix_id=MixId(name),
        process=process,
        orientation=orientation,
        rebound=luck.one_of((0.0, 0.5)) if luck.on_grid else luck.tenths(0.0, 0.4),
        layer_max_mm=luck.one_of((100.0, 50.0)),
        layer_gap_min_h=gap_min,
        layer_gap_max_h=gap_min + luck.hours(1, 24) if luck.chance(30) else None,
        protect_h=luck.hours(0, 4),
        rate_factor=1.0 if luck.on_grid else luck.one_of((1.0, 0.7, 1.2)),
        finish_min_m2=luck.minutes(0, 120) / 20.0 if luck.chance(30) else 0.0,
    )


def _positions(luck: Luck, water: Water) -> tuple[Position, ...]:
    level = water.kind not in {WaterKind.NONE, WaterKind.SEWER}
    return tuple(
        Position(
            position_id=PositionId(f"P{k}"),
            x_m=PLACES_M[k],
            y_m=0.0,
            z_m=0.0,
            processes=(Process.DRY,) if luck.chance(10) else (),
            rigs_max=luck.one_of((1, 2)),
            set_up_cost=float(luck.whole(0, 5)),
            water_max_m=LEVELS_M[0] if level and luck.chance(15) else None,
        )
        for k in range(luck.one_of((1, 2, 2, 3, 3)))
    )


def _shifts(luck: Luck) -> tuple[Shift, ...]:
    start = luck.minutes(300, 480)
    day = Shift(
        shift_id=ShiftId("day"),
        weekdays=EVERY_DAY,
        start_tod=start,
        end_tod=start + luck.minutes(480, 720),
    )
    night = Shift(
        shift_id=ShiftId("night"),
        weekdays=EVERY_DAY if luck.on_grid else luck.one_of((EVERY_DAY, frozenset(range(5)))),
        start_tod=luck.minutes(1080, 1320),
        end_tod=luck.minutes(240, 360),
    )
    return (day, night) if luck.chance(40) else (day,)


def _crews(luck: Luck, clock: Clock, shifts: tuple[Shift, ...]) -> tuple[Crew, ...]:
    count = luck.whole(1, 2)
    crews = [_crew(luck, clock, shifts, f"C{k}", CrewKind.SPRAY) for k in range(count)]
    if luck.chance(25):
        count = 1 if luck.on_grid else luck.one_of((1, 2))
        crews += [_crew(luck, clock, shifts, f"B{k}", CrewKind.BREAK_OUT) for k in range(count)]
    return tuple(crews)


def _crew(luck: Luck, clock: Clock, shifts: tuple[Shift, ...], name: str, kind: CrewKind) -> Crew:
    tired = luck.chance(20)
    sprays = kind is CrewKind.SPRAY
    late = luck.chance(10)
    return Crew(
        crew_id=CrewId(name),
        kind=kind,
        processes=(Process.DRY,) if sprays and luck.chance(10) else (),
        orientations=(Orientation.OVERHEAD, Orientation.VERTICAL) if luck.chance(10) else (),
        shift_id=luck.one_of(shifts).shift_id,
        rate_m3_h=None if sprays else 2.0,
        duty_max_min=luck.minutes(300, 480) if tired else None,
        rest_min_min=luck.minutes(300, 600) if tired else None,
        week_max_min=1500 if not luck.on_grid and luck.chance(15) else None,
        available_from_min=luck.minutes(0, DAY_MIN) if late else 0,
        available_to_min=clock.horizon_min,
    )


def _rigs(
    luck: Luck, clock: Clock, positions: tuple[Position, ...], mixes: tuple[MixFace, ...]
) -> tuple[Rig, ...]:
    return tuple(_rig(luck, clock, positions, mixes, f"R{k}") for k in range(luck.whole(1, 2)))


def _rig(
    luck: Luck,
    clock: Clock,
    positions: tuple[Position, ...],
    mixes: tuple[MixFace, ...],
    name: str,
) -> Rig:
    wet = any(face.process is Process.WET for face in mixes) and luck.chance(40)
    process = Process.WET if wet else Process.DRY
    homes = [p.position_id for p in positions if not p.processes or process in p.processes]
    return Rig(
        rig_id=RigId(name),
        process=process,
        mixes=(MixId("w" if wet else "d"),) if luck.chance(20) else (),
        hose_max_m=luck.one_of(HOSE_M),
        rise_factor=1.0,
        bend_m=1.0,
        rate_m3_h=4.0 if luck.on_grid else luck.tenths(4.0, 8.0),
        nozzle_on=0.5 if luck.on_grid else luck.tenths(0.5, 0.9),
        rate_free_m=20.0,
        rate_loss_per_100m=0.0 if luck.on_grid else luck.one_of((0.0, 0.2)),
        start_up_min=luck.minutes(0, 30),
        clean_up_min=luck.minutes(0, 30),
        idle_max_min=luck.minutes(30, 120) if luck.chance(30) else None,
        move_min=float(luck.minutes(30, 60)),
        move_min_per_100m=30.0 if luck.chance(30) else 0.0,
        at=luck.one_of(homes) if homes and luck.chance(30) else None,
        available_from_min=luck.minutes(0, DAY_MIN) if luck.chance(10) else 0,
        available_to_min=clock.horizon_min,
    )


def _zones(
    luck: Luck, clock: Clock, water: Water, positions: tuple[Position, ...], *, count: int
) -> tuple[Zone, ...]:
    found: list[Zone] = []
    for k in range(count):
        below = tuple(zone.zone_id for zone in found)
        zone = _zone(luck, clock, f"Z{k}", after=luck.some_of(below, 12))
        near = luck.one_of(positions).x_m + luck.one_of((0.0, 50.0, -50.0))
        zone = replace(zone, x_m=1000.0 if luck.chance(4) else near)
        found.append(_wetted(luck, water, zone))
    return tuple(found)


def _zone(luck: Luck, clock: Clock, name: str, *, after: tuple[ZoneId, ...]) -> Zone:
    dated = luck.chance(20)
    deep = luck.chance(40)
    return Zone(
        zone_id=ZoneId(name),
        x_m=0.0,
        y_m=10.0,
        z_m=0.0 if luck.on_grid else luck.one_of((0.0, 5.0)),
        area_m2=20.0,
        depth_mm=100.0 if deep else 50.0,
        volume_m3=_volume_m3(luck, deep=deep),
        orientation=luck.one_of(FACES),
        mixes=(MixId("d"),) if luck.chance(15) else (),
        joint_allowed=luck.chance(25),
        after=after,
        ready_from_min=luck.minutes(0, clock.horizon_min // 2) if luck.chance(15) else None,
        due_min=DAY_MIN * luck.whole(1, clock.days) if dated else None,
        priority=luck.one_of((1, 2)) if luck.chance(30) else 1,
        get_in_min=luck.minutes(0, 60) if luck.chance(10) else None,
        get_out_min=luck.minutes(0, 60) if luck.chance(10) else None,
        section=luck.one_of(SECTIONS),
        broken_out=luck.chance(20),
    )


def _volume_m3(luck: Luck, *, deep: bool) -> float | None:
    """Return a volume; on a grid one whose layers last whole steps at 1 or 2 m³/h."""
    if luck.on_grid:
        return float(luck.one_of((2, 2, 4)) if deep else luck.one_of((1, 1, 2, 3)))
    return luck.tenths(0.2, 4.0) if luck.chance(70) else None


def _wetted(luck: Luck, water: Water, zone: Zone) -> Zone:
    """Give a zone its water limits.

    Wetting lies a hundredth off the grid, so that no edge is touched.
    """
    if water.kind is WaterKind.NONE:
        return zone
    if water.kind is WaterKind.SEWER:
        depth_m = luck.tenths(0.4, 0.9)
        return replace(zone, water_max_m=depth_m, wets_at_m=luck.one_of((None, depth_m + 0.1)))
    level_m = luck.one_of(LEVELS_M)
    floats = luck.chance(15)
    return replace(
        zone,
        water_max_m=level_m,
        water_min_m=level_m - 1.5 if floats else None,
        wets_at_m=level_m + luck.whole(0, 2) + 0.51 if luck.chance(70) else None,
    )
