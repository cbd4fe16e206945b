"""Synthetic campaigns of five sizes: seeded, without files, invented, and plannable.

Everything is invented; the numbers lie in the ranges of common practice (dry rig of 5 m³/h at the
nozzle, 80 % nozzle time, a third of rebound overhead; 10 min in and out; layers of 50 mm).  What
a case has to hold is scaled: the areas are such that the zones need 75 % of the rigs' time in
their windows (:mod:`tests.benchmarks.scaling`; the sewer, with its short windows, 60 %), so that
after packing and relocations some 10-30 % of the calendar are spare.

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

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date
from itertools import pairwise

import numpy as np

from planner.core.spans import Spans
from planner.model.campaign import Campaign
from planner.model.crew import Shift
from planner.model.identifiers import (
    CrewKind,
    Goal,
)
from planner.model.limits import Apart, ApartKind, Closure, ClosureScope, OpenLimit
from planner.model.position import Route
from planner.model.rules import ReachBy
from planner.model.water import Constituent, FlowPattern, SewerSection, Water, WaterKind
from planner.model.zone import Zone
from tests.benchmarks.nouns import (
    HOUR,
    Size,
    campaign_of,
    clock_of,
    crew_of,
    positions_in_a_row,
    shift_of,
    zone_of,
)
from tests.benchmarks.scaling import scaled

WORKDAYS = frozenset(range(6))
WEEKDAYS = frozenset(range(5))
MONDAY_TO_THURSDAY = frozenset(range(4))
LEVELS_M = (1.2, 1.7, 2.4)
"""Levels of the zones of a quay: the lowest is dry for some 2.5 h at springs."""


# tides ----------------------------------------------------------------------------------------


def quay(
    size: Size, *, seed: int, shift: Shift | None = None, mean_level_m: float = 2.5
) -> Campaign:
    """Return a quay between tides: zones in rows of three levels, positions on the deck."""
    rng = np.random.default_rng(seed)
    clock = clock_of(date(2026, 4, 1), size.days)
    length_m = 25.0 * size.positions
    zones = tuple(
        replace(
            zone_of(rng, f"Z{k:03d}", x_m=length_m * (k + 0.5) / size.zones),
            water_max_m=(level_m := LEVELS_M[int(rng.integers(3))]),
            wets_at_m=level_m + 0.6,
            section=f"Bay {k * size.positions // size.zones + 1}",
        )
        for k in range(size.zones)
    )
    campaign = campaign_of(
        rng,
        clock=clock,
        size=size,
        water=_tides(rng, mean_level_m),
        zones=zones,
        positions=positions_in_a_row(size.positions, length_m),
        shift=shift or shift_of("day", WEEKDAYS, 7, 15),
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
    lift = shift_of("lift", WEEKDAYS, 6, 20)
    breakers = tuple(
        crew_of(campaign.clock, f"B{k + 1}", kind=CrewKind.BREAK_OUT, rate_m3_h=2.5)
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
    clock = clock_of(date(2026, 3, 2), size.days)
    length_m = 40.0 * size.positions
    positions = positions_in_a_row(size.positions, length_m)
    zones = tuple(
        replace(
            zone_of(rng, f"Z{k:04d}", x_m=length_m * (k + 0.5) / size.zones),
            water_max_m=round(0.30 + 0.04 * float(rng.integers(3)), 2),
            wets_at_m=0.9,
            section=f"Reach {k * 4 // size.zones + 1}",
        )
        for k in range(size.zones)
    )
    campaign = campaign_of(
        rng,
        clock=clock,
        size=size,
        water=_pipes(),
        zones=zones,
        positions=positions,
        shift=shift_of("night", MONDAY_TO_THURSDAY, 22, 6),
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
    clock = clock_of(date(2026, 1, 1), size.days)
    length_m = 30.0 * size.positions
    zones = tuple(
        replace(
            zone_of(rng, f"Z{k:04d}", x_m=length_m * (k + 0.5) / size.zones),
            section=f"Part {k * 10 // size.zones + 1}",
        )
        for k in range(size.zones)
    )
    campaign = campaign_of(
        rng,
        clock=clock,
        size=size,
        water=Water(kind=WaterKind.NONE),
        zones=zones,
        positions=positions_in_a_row(size.positions, length_m),
        shift=shift_of("night", frozenset(range(7)), 22, 6),
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


# scaling --------------------------------------------------------------------------------------


CASES: dict[str, Callable[[int], Campaign]] = {
    "20": lambda seed: quay(Size(zones=20, positions=6, rigs=2, days=21), seed=seed),
    "40": lambda seed: full_quay(Size(zones=40, positions=12, rigs=3, days=90), seed=seed),
    "40-tides": lambda seed: quay(Size(zones=40, positions=12, rigs=3, days=90), seed=seed),
    "200": lambda seed: quay(
        Size(zones=200, positions=40, rigs=3, days=180),
        seed=seed,
        shift=shift_of("day", WORKDAYS, 6, 18),
    ),
    "1000": lambda seed: sewer(Size(zones=1000, positions=60, rigs=2, days=913), seed=seed),
    "5000": lambda seed: culvert(Size(zones=5000, positions=280, rigs=3, days=9131), seed=seed),
}
