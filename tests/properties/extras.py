"""Random closures, limits, prices and progress of the campaigns."""

from itertools import combinations

from planner.model.campaign import Campaign
from planner.model.crew import Crew
from planner.model.identifiers import (
    Process,
)
from planner.model.limits import Apart, ApartKind, Closure, ClosureScope, OpenLimit
from planner.model.mix import MixFace
from planner.model.progress import Done
from planner.model.rig import Rig
from planner.model.rules import Prices
from planner.model.zone import Zone
from tests.properties.luck import Luck
from tests.properties.waters import SECTIONS

DAY_MIN = 24 * 60


def closures(luck: Luck, campaign: Campaign) -> tuple[Closure, ...]:
    """Return closures of any scope, some of them at daily hours."""
    targets: tuple[tuple[ClosureScope, str], ...] = (
        (ClosureScope.SITE, ""),
        (ClosureScope.POSITION, campaign.positions[-1].position_id),
        (ClosureScope.ZONE, campaign.zones[0].zone_id),
        (ClosureScope.SECTION, SECTIONS[0]),
        (ClosureScope.RIG, campaign.rigs[0].rig_id),
        (ClosureScope.CREW, campaign.crews[-1].crew_id),
        (ClosureScope.PROCESS, str(Process.DRY)),
    )
    return tuple(_closure(luck, *target) for target in luck.some_of(targets, 8))


def _closure(luck: Luck, scope: ClosureScope, target: str) -> Closure:
    start = luck.minutes(0, DAY_MIN)
    daily = luck.chance(30)
    return Closure(
        scope=scope,
        target=target,
        from_min=0 if daily else start,
        to_min=2 * DAY_MIN if daily else start + luck.minutes(60, 720),
        start_tod=luck.minutes(600, 720) if daily else None,
        end_tod=luck.minutes(780, 900) if daily else None,
    )


def apart_pairs(luck: Luck, zones: tuple[Zone, ...]) -> tuple[Apart, ...]:
    """Return some pairs that are not open, or not worked, together."""
    pairs = luck.some_of(tuple(combinations([z.zone_id for z in zones], 2))[:4], 12)
    kinds = (ApartKind.WORK, ApartKind.OPEN)
    return tuple(Apart(zone_a=a, zone_b=b, kind=luck.one_of(kinds)) for a, b in pairs)


def open_limits(luck: Luck, zones: tuple[Zone, ...]) -> tuple[OpenLimit, ...]:
    """Return perhaps one group of all zones."""
    if len(zones) < 2 or not luck.chance(25):
        return ()
    names = tuple(zone.zone_id for zone in zones)
    return (OpenLimit(group="G", zones=names, open_max=luck.one_of((2, 1, 3))),)


def prices(
    luck: Luck, rigs: tuple[Rig, ...], crews: tuple[Crew, ...], mixes: tuple[MixFace, ...]
) -> Prices:
    """Return prices for everything, or for days only."""
    if not luck.chance(70):
        return Prices(day=1.0)
    processes = sorted({rig.process for rig in rigs})
    loads = luck.chance(25)
    return Prices(
        day=float(luck.whole(0, 20)),
        relocation=float(luck.whole(0, 10)),
        rebound_m3=float(luck.whole(0, 3)),
        rig_day={rig.rig_id: float(luck.whole(0, 9)) for rig in rigs},
        crew_shift={crew.crew_id: float(luck.whole(0, 9)) for crew in crews},
        crew_standby_day={crew.crew_id: float(luck.whole(0, 4)) for crew in crews},
        material_m3={mix: float(luck.whole(0, 9)) for mix in sorted({m.mix_id for m in mixes})},
        line_waste_m3=dict.fromkeys(processes, 0.25) if luck.chance(50) else {},
        load_min_m3=dict.fromkeys(processes, 3.0) if loads else {},
        load_step_m3=dict.fromkeys(processes, 0.5) if loads and luck.chance(50) else {},
        hose_m3={process: float(luck.whole(0, 3)) for process in processes},
    )


def done_rows(luck: Luck, campaign: Campaign) -> tuple[Done, ...]:
    """Return progress in the first layer of the first zone; none on a grid."""
    if luck.on_grid:
        return ()
    zone, rig = campaign.zones[0], campaign.rigs[0]
    return (
        Done(
            zone_id=zone.zone_id,
            layer=1,
            done_m3=luck.tenths(0.0, 0.3),
            at_min=luck.whole(0, DAY_MIN),
            rig_id=rig.rig_id if luck.chance(50) else None,
            crew_id=campaign.crews[0].crew_id if luck.chance(50) else None,
            position_id=campaign.positions[0].position_id if luck.chance(50) else None,
        ),
    )
