"""Two small plans with water, nights, a relocation and a joint, made by hand."""

from __future__ import annotations

import itertools
from datetime import date

from planner.model.campaign import Campaign
from planner.model.identifiers import CrewId, MixId, PositionId, RigId, ZoneId
from planner.model.limits import ClosureScope
from planner.model.water import LevelPoint, Water, WaterKind
from planner.plan.plan import Plan, RunKind
from planner.reports.scene import Scene, scene_of
from tests import builders as make

HOUR = 60
DAY = 24 * HOUR


def tide(days: int = 14) -> Water:
    """Water that stands at 0 m, and at 2 m from 12:00 to 18:00 on every day."""
    points = []
    for day in range(days):
        at = day * DAY
        for hours, level_m in ((0, 0.0), (11, 0.0), (12, 2.0), (18, 2.0), (19, 0.0)):
            # two points an hour apart let the level climb; the source is linear in between
            points.append(LevelPoint(minute=at + hours * HOUR, level_m=level_m))
    filled = []
    for before, after in itertools.pairwise(points):
        filled.append(before)
        step = before.minute + 3 * HOUR
        while step < after.minute:
            share = (step - before.minute) / (after.minute - before.minute)
            level_m = before.level_m + share * (after.level_m - before.level_m)
            filled.append(LevelPoint(minute=step, level_m=level_m))
            step += 3 * HOUR
    return Water(kind=WaterKind.LEVELS, levels=((None, (*filled, points[-1])),))


def two_rigs() -> Campaign:
    """Two rigs, three positions, four zones of two heights, one closed day for rig R2."""
    return make.campaign(
        water=tide(),
        zones=(
            make.zone("Z1", water_max_m=1.0, section="north", due_min=2 * DAY),
            make.zone("Z2", x_m=30.0, water_max_m=1.0, joint_allowed=True),
            make.zone("Z3", x_m=60.0, water_max_m=0.5),
            make.zone("north-Z4", x_m=90.0, section="north", priority=2),
        ),
        positions=(
            make.position("P1"),
            make.position("P2", x_m=50.0),
            make.position("P3", x_m=99.0),
        ),
        rigs=(make.rig("R1"), make.rig("R2")),
        crews=(make.crew("C1"), make.crew("C2")),
        closures=(make.closure(ClosureScope.RIG, "R2", why="service"),),
        prices=make.prices(day=100.0, material_m3={MixId("dry"): 10.0}),
    )


def two_rigs_plan() -> Plan:
    """R1 sprays Z1 and half of Z2 at P1, the rest at P2; R2 does Z3 at P2; Z4 is left out."""
    return Plan(
        runs=(
            make.run("1", start_min=360, end_min=600),
            make.run("2", start_min=DAY + 360, end_min=DAY + 480, position=PositionId("P2")),
            make.run(
                "3",
                start_min=2 * DAY + 360,
                end_min=2 * DAY + 500,
                rig=RigId("R2"),
                crew=CrewId("C2"),
                position=PositionId("P2"),
            ),
            make.run(
                "4",
                start_min=600,
                end_min=700,
                kind=RunKind.PANEL,
                orientation=make.zone().orientation,
            ),
        ),
        spells=(
            make.spell("1", start_min=390, end_min=456),
            make.spell(
                "1", start_min=466, end_min=499, zone=ZoneId("Z2"), volume_m3=1.1, hose_m=30.0
            ),
            make.spell(
                "2",
                start_min=DAY + 390,
                end_min=DAY + 423,
                zone=ZoneId("Z2"),
                volume_m3=1.1,
                position=PositionId("P2"),
            ),
            make.spell(
                "3",
                start_min=2 * DAY + 390,
                end_min=2 * DAY + 456,
                zone=ZoneId("Z3"),
                rig=RigId("R2"),
                crew=CrewId("C2"),
                position=PositionId("P2"),
            ),
        ),
        relocations=(make.relocation(start_min=780, end_min=840),),
        unplanned=(make.unplanned("north-Z4", "No time is left."),),
    )


def two_rigs_scene() -> Scene:
    """The scene of :func:`two_rigs_plan`."""
    return scene_of(two_rigs(), two_rigs_plan())


def night_scene(first: date = date(2026, 3, 27), last: date = date(2026, 3, 31)) -> Scene:
    """One run a night from 22:00 to 04:00 over the night in which London's clock goes forward."""
    clock = make.clock(first_day=first, last_day=last)
    campaign = make.campaign(
        clock=clock,
        zones=tuple(make.zone(f"Z{k}") for k in range(1, 4)),
        shifts=(make.shift(start_tod=22 * HOUR, end_tod=6 * HOUR),),
    )
    starts = [night * DAY + 22 * HOUR for night in range(3)]
    return scene_of(
        campaign,
        Plan(
            runs=tuple(
                make.run(str(k), start_min=start, end_min=start + 6 * HOUR)
                for k, start in enumerate(starts, start=1)
            ),
            spells=tuple(
                make.spell(str(k), start_min=start + 90, end_min=start + 330, zone=ZoneId(f"Z{k}"))
                for k, start in enumerate(starts, start=1)
            ),
        ),
    )
