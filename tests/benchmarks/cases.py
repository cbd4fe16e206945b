"""Synthetic campaigns of five sizes: seeded, without files, invented, and plannable.

Everything is invented; the numbers lie in the ranges of common practice (dry rig of 5 m³/h at the
nozzle, 80 % nozzle time, a third of rebound overhead; 10 min in and out; layers of 50 mm).  What
a case has to hold is scaled: the areas are such that the zones need 75 % of the rigs' time in
their windows (:func:`scaled`; the sewer, with its short windows, 60 %), so that after packing and
relocations some 10-30 % of the calendar are spare.

====  =====  ================================  ====  =========  =====================
case  zones  calendar                          rigs  positions  shape
====  =====  ================================  ====  =========  =====================
20       20  21 days of tides                     2          6  quay, three levels
40       40  90 days of tides                     3         12  quay, every rule
200     200  180 days of tides                    3         40  piers, three levels
1000   1000  2.5 years of nights                  2         60  live sewer by routes
5000   5000  25 years, July and August nights     3        280  culvert, long horizon
====  =====  ================================  ====  =========  =====================
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from itertools import pairwise

import numpy as np

from planner.access.windows import Access
from planner.core.clock import Clock
from planner.core.spans import Spans
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
from planner.model.limits import Apart, ApartKind, Closure, ClosureScope, OpenLimit
from planner.model.mix import MixFace
from planner.model.position import Position, Route
from planner.model.rig import Rig
from planner.model.rules import Prices, ReachBy, Rules
from planner.model.water import Constituent, FlowPattern, SewerSection, Water, WaterKind
from planner.model.zone import Zone

HOUR = 60
WORKDAYS = frozenset(range(6))
WEEKDAYS = frozenset(range(5))
MONDAY_TO_THURSDAY = frozenset(range(4))
CHANGE_MIN = 10
LAYER_MM = 50.0
LEVELS_M = (1.2, 1.7, 2.4)
"""Levels of the zones of a quay: the lowest is dry for some 2.5 h at springs."""
NOZZLE_M3_H = 5.0
NOZZLE_ON = 0.8
REBOUND = {Orientation.OVERHEAD: 0.35, Orientation.VERTICAL: 0.25}
"""Share of the sprayed volume that falls; common practice for dry mix."""
SPARE = 0.25
"""Share of the rigs' time that the zones leave; packing and relocations take some of it."""
JOINTS = 0.25
"""Share of the zones that may have construction joints although their layers fit a window."""
LONGEST_LAYER = 0.5
"""Most of a usual window that one unsplit layer may take."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """How large a case is."""

    zones: int
    positions: int
    rigs: int
    days: int


# tides ----------------------------------------------------------------------------------------


def quay(
    size: Size, *, seed: int, shift: Shift | None = None, mean_level_m: float = 2.5
) -> Campaign:
    """Return a quay between tides: zones in rows of three levels, positions on the deck."""
    rng = np.random.default_rng(seed)
    clock = _clock(date(2026, 4, 1), size.days)
    length_m = 25.0 * size.positions
    zones = tuple(
        replace(
            _zone(rng, f"Z{k:03d}", x_m=length_m * (k + 0.5) / size.zones),
            water_max_m=(level_m := LEVELS_M[int(rng.integers(3))]),
            wets_at_m=level_m + 0.6,
            section=f"Bay {k * size.positions // size.zones + 1}",
        )
        for k in range(size.zones)
    )
    campaign = _campaign(
        rng,
        clock=clock,
        size=size,
        water=_tides(rng, mean_level_m),
        zones=zones,
        positions=_row(size.positions, length_m),
        shift=shift or _shift("day", WEEKDAYS, 7, 15),
        hose_max_m=60.0,
    )
    return scaled(replace(campaign, apart=_neighbours(rng, zones)), rng)


def full_quay(size: Size, *, seed: int) -> Campaign:
    """Return a quay with every rule: break-out, panels, lifts, open limits, duties, a gang."""
    campaign = quay(size, seed=seed, mean_level_m=2.8)
    zones = list(campaign.zones)
    for k in range(5, len(zones), 8):
        zones[k] = replace(zones[k], after=(zones[k - 1].zone_id,))
    for k in range(0, len(zones), 10):
        zones[k] = replace(zones[k], due_min=campaign.clock.horizon_min * 2 // 3)
    lift = _shift("lift", WEEKDAYS, 6, 20)
    breakers = tuple(
        _crew(campaign.clock, f"B{k + 1}", kind=CrewKind.BREAK_OUT, rate_m3_h=2.5)
        for k in range(4)
    )
    tired = tuple(
        replace(crew, duty_max_min=12 * HOUR, rest_min_min=11 * HOUR) for crew in campaign.crews
    )
    names = [zone.zone_id for zone in zones]
    return replace(
        campaign,
        zones=tuple(zones),
        crews=(*tired, *breakers),
        shifts=(*campaign.shifts, lift),
        rules=replace(
            campaign.rules,
            relocation_shift=lift.shift_id,
            prepare_min_h=24.0,
            panel_days=3.0,
            strength_hold_h=24.0,
        ),
        open_limits=tuple(
            OpenLimit(group=f"G{k // 10}", zones=tuple(names[k : k + 10]), open_max=4)
            for k in range(0, len(names), 10)
        ),
        goals=(*campaign.goals, Goal.LATE),
        may_worsen=(*campaign.may_worsen, 0.0),
    )


def _tides(rng: np.random.Generator, mean_level_m: float) -> Water:
    """Return a half-daily tide of 2-4 m range."""
    amplitudes = {"M2": 1.5, "S2": 0.5, "N2": 0.3, "K1": 0.1, "O1": 0.08, "M4": 0.05}
    return Water(
        kind=WaterKind.TIDE,
        mean_level_m=mean_level_m,
        allowance_m=0.2,
        allowance_low_m=0.2,
        constituents=tuple(
            Constituent(name=name, amplitude_m=metres, phase_deg=float(rng.integers(360)))
            for name, metres in amplitudes.items()
        ),
    )


def _neighbours(rng: np.random.Generator, zones: Sequence[Zone]) -> tuple[Apart, ...]:
    """Return some neighbours that are not open, or not worked, at the same time."""
    kinds = (ApartKind.OPEN, ApartKind.WORK)
    return tuple(
        Apart(zone_a=a.zone_id, zone_b=b.zone_id, kind=kinds[int(rng.integers(2))])
        for a, b in pairwise(zones)
        if rng.random() < 0.08
    )


# nights ---------------------------------------------------------------------------------------


def sewer(size: Size, *, seed: int) -> Campaign:
    """Return a live sewer at low flow: zones along the pipe, manholes as positions, by routes."""
    rng = np.random.default_rng(seed)
    clock = _clock(date(2026, 3, 2), size.days)
    length_m = 40.0 * size.positions
    positions = _row(size.positions, length_m)
    zones = tuple(
        replace(
            _zone(rng, f"Z{k:04d}", x_m=length_m * (k + 0.5) / size.zones),
            water_max_m=round(0.30 + 0.04 * float(rng.integers(3)), 2),
            wets_at_m=0.9,
            section=f"Reach {k * 4 // size.zones + 1}",
        )
        for k in range(size.zones)
    )
    campaign = _campaign(
        rng,
        clock=clock,
        size=size,
        water=_pipes(),
        zones=zones,
        positions=positions,
        shift=_shift("night", MONDAY_TO_THURSDAY, 22, 6),
        hose_max_m=110.0,
    )
    winter = (
        Closure(
            scope=ClosureScope.SITE,
            target="",
            from_min=clock.day_start(date(year, 11, 15)),
            to_min=clock.day_start(date(year + 1, 2, 15)),
            why="high flows",
        )
        for year in (2026, 2027, 2028)
    )
    routes = tuple(
        Route(
            start=position.position_id,
            end=zone.zone_id,
            length_m=round(8.0 + abs(zone.x_m - position.x_m), 1),
            rise_m=-4.0,
            bends=2.0,
        )
        for position in positions
        for zone in zones
        if abs(zone.x_m - position.x_m) <= 100.0
    )
    return scaled(
        replace(campaign, closures=tuple(winter), routes=routes, reach_by=ReachBy.ROUTES),
        rng,
        spare=0.4,
    )


def _pipes() -> Water:
    """Return four circular pipes whose flow halves by night."""
    day = [1.0, 0.8, 0.6, 0.5, 0.5, 0.6, 0.9, 1.3, 1.4, 1.3, 1.2, 1.1]
    day += [1.1, 1.1, 1.0, 1.0, 1.0, 1.1, 1.2, 1.3, 1.3, 1.3, 1.2, 1.1]
    scale = len(day) / sum(day)
    pattern = FlowPattern(
        weekday=tuple(hour * scale for hour in day), weekend=tuple(hour * scale for hour in day)
    )
    return Water(
        kind=WaterKind.SEWER,
        allowance_m=0.02,
        sewer=tuple(
            SewerSection(
                section=f"Reach {k + 1}",
                diameter_m=1.8,
                slope=0.001,
                manning_n=0.013,
                mean_flow_m3_s=0.25 + 0.03 * k,
            )
            for k in range(4)
        ),
        patterns=(pattern,),
    )


def culvert(size: Size, *, seed: int) -> Campaign:
    """Return a long culvert that is dry by night in July and August only, for 25 years."""
    rng = np.random.default_rng(seed)
    clock = _clock(date(2026, 1, 1), size.days)
    length_m = 30.0 * size.positions
    zones = tuple(
        replace(
            _zone(rng, f"Z{k:04d}", x_m=length_m * (k + 0.5) / size.zones),
            section=f"Part {k * 10 // size.zones + 1}",
        )
        for k in range(size.zones)
    )
    campaign = _campaign(
        rng,
        clock=clock,
        size=size,
        water=Water(kind=WaterKind.NONE),
        zones=zones,
        positions=_row(size.positions, length_m),
        shift=_shift("night", frozenset(range(7)), 22, 6),
        hose_max_m=80.0,
    )
    years = sorted({day.year for day in clock.calendar()})
    summers = Spans(
        [(clock.day_start(date(y, 7, 1)), clock.day_start(date(y, 9, 1))) for y in years]
    )
    closed = summers.complement(0, clock.horizon_min)
    closures = tuple(
        Closure(scope=ClosureScope.SITE, target="", from_min=a, to_min=b, why="in service")
        for a, b in closed
    )
    return scaled(replace(campaign, closures=closures), rng)


# nouns ----------------------------------------------------------------------------------------


def _clock(first: date, days: int) -> Clock:
    return Clock(
        time_zone="Europe/London", first_day=first, last_day=first + timedelta(days=days - 1)
    )


def _zone(rng: np.random.Generator, name: str, *, x_m: float) -> Zone:
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


def _row(count: int, length_m: float) -> tuple[Position, ...]:
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


def _shift(name: str, days: frozenset[int], start_h: int, end_h: int) -> Shift:
    return Shift(
        shift_id=ShiftId(name), weekdays=days, start_tod=start_h * HOUR, end_tod=end_h * HOUR
    )


def _crew(
    clock: Clock,
    name: str,
    *,
    shift: str = "day",
    kind: CrewKind = CrewKind.SPRAY,
    rate_m3_h: float | None = None,
) -> Crew:
    return Crew(
        crew_id=CrewId(name),
        kind=kind,
        shift_id=ShiftId(shift),
        rate_m3_h=rate_m3_h,
        available_from_min=0,
        available_to_min=clock.horizon_min,
    )


def _rig(clock: Clock, name: str, *, hose_max_m: float, rate_m3_h: float) -> Rig:
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


def _campaign(
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
    rigs = tuple(
        _rig(clock, f"R{k + 1}", hose_max_m=hose_max_m, rate_m3_h=NOZZLE_M3_H + 0.5 * k)
        for k in range(size.rigs)
    )
    crews = tuple(_crew(clock, f"C{k + 1}", shift=shift.shift_id) for k in range(size.rigs))
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


# scaling --------------------------------------------------------------------------------------


def net_minutes(campaign: Campaign) -> dict[ZoneId, list[int]]:
    """Return what a rig can use of each window of each zone within the shift [min]."""
    access = Access(campaign)
    worked = Spans(access.shifts(campaign.shifts[0].shift_id))
    lost = campaign.rigs[0].start_up_min + campaign.rigs[0].clean_up_min
    by_limits: dict[tuple[float | None, str | None], list[int]] = {}
    for zone in campaign.zones:
        limits = (zone.water_max_m, zone.section)
        if limits not in by_limits:
            shared = access.shortened(zone) & worked
            by_limits[limits] = [b - a - lost for a, b in shared if b - a > lost]
    return {z.zone_id: by_limits[z.water_max_m, z.section] for z in campaign.zones}


def work_minutes(zone: Zone, *, nozzle_m3_h: float = NOZZLE_M3_H) -> float:
    """Return what the layers of a zone take, with their zone changes [min]."""
    layers = (zone.depth_mm or LAYER_MM) / LAYER_MM
    rate_m3_h = nozzle_m3_h * NOZZLE_ON * (1.0 - REBOUND[zone.orientation])
    return 60.0 * (zone.volume_m3 or 0.0) / rate_m3_h + layers * CHANGE_MIN


def used_share(campaign: Campaign, minutes: Mapping[ZoneId, Sequence[int]]) -> float:
    """Return the share of the rigs' time that the zones need, in the tightest windows.

    Windows are nested by level: what a level and all tighter ones need has to fit into the
    windows of that level (``minutes``, from :func:`net_minutes`).
    """
    nets = {zone: sum(windows) for zone, windows in minutes.items()}
    usual_m3_h = sum(rig.rate_m3_h for rig in campaign.rigs) / len(campaign.rigs)
    need = 0.0
    share = 0.0
    for zone in sorted(campaign.zones, key=lambda z: nets[z.zone_id]):
        need += work_minutes(zone, nozzle_m3_h=usual_m3_h)
        share = max(share, need / (len(campaign.rigs) * nets[zone.zone_id]))
    return share


def scaled(campaign: Campaign, rng: np.random.Generator, spare: float = SPARE) -> Campaign:
    """Return a campaign whose zones use ``1 - spare`` of the rigs' time (:func:`used_share`).

    Layers longer than :data:`LONGEST_LAYER` of a usual window may be split.
    """
    minutes = net_minutes(campaign)
    low, high = 0.0, 64.0
    for _ in range(18):
        middle = (low + high) / 2.0
        tight = used_share(_with_volumes(campaign, middle), minutes) > 1.0 - spare
        low, high = (low, middle) if tight else (middle, high)
    campaign = _with_volumes(campaign, low)
    usual = {z: float(np.quantile(nets, 0.75)) for z, nets in minutes.items()}
    return replace(
        campaign,
        zones=tuple(
            replace(
                zone,
                joint_allowed=work_minutes(zone) * LAYER_MM / (zone.depth_mm or LAYER_MM)
                > LONGEST_LAYER * usual[zone.zone_id]
                or bool(rng.random() < JOINTS),
            )
            for zone in campaign.zones
        ),
    )


def _with_volumes(campaign: Campaign, factor: float) -> Campaign:
    """Return a campaign with every area times a factor, and the volumes that follow."""
    zones = []
    for zone in campaign.zones:
        area_m2 = round((zone.area_m2 or 0.0) * factor, 1)
        volume_m3 = round(area_m2 * (zone.depth_mm or LAYER_MM) / 1000.0 * 1.1, 2)
        zones.append(replace(zone, area_m2=area_m2, volume_m3=volume_m3))
    return replace(campaign, zones=tuple(zones))


CASES: dict[str, Callable[[int], Campaign]] = {
    "20": lambda seed: quay(Size(zones=20, positions=6, rigs=2, days=21), seed=seed),
    "40": lambda seed: full_quay(Size(zones=40, positions=12, rigs=3, days=90), seed=seed),
    "40-tides": lambda seed: quay(Size(zones=40, positions=12, rigs=3, days=90), seed=seed),
    "200": lambda seed: quay(
        Size(zones=200, positions=40, rigs=3, days=180),
        seed=seed,
        shift=_shift("day", WORKDAYS, 6, 18),
    ),
    "1000": lambda seed: sewer(Size(zones=1000, positions=60, rigs=2, days=913), seed=seed),
    "5000": lambda seed: culvert(Size(zones=5000, positions=280, rigs=3, days=9131), seed=seed),
}
