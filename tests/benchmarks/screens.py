"""How long charts and lists of a large plan take: ``python -m tests.benchmarks.screens PLAN``.

A plan of the demo quay-soffit is copied beside itself and into later weeks until it has more than
1,000 zones and about 5,000 spells; its windows no longer match, so it is no valid plan, but just
as much to draw.  Prints seconds; nothing is asserted.
"""

from __future__ import annotations

import argparse
import time
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import timedelta
from functools import partial
from pathlib import Path
from typing import Any, TypeVar

from planner.access.windows import Access
from planner.core.clock import Clock
from planner.explain.gap import gaps, why_gap
from planner.explain.ground import Ground
from planner.model.campaign import Campaign
from planner.model.identifiers import CrewId, PositionId, RigId, ZoneId
from planner.plan.plan import Plan
from planner.plan.store import read_plan
from planner.reach.hoses import Reach
from planner.reports import tables
from planner.reports.before_set_up import preparations
from planner.reports.figures.filled import filled
from planner.reports.figures.low_water_strip import low_water_strip
from planner.reports.figures.projection import View
from planner.reports.figures.site_sheet import Interest, site_sheet
from planner.reports.figures.site_views import Side, sheet_of, stretches
from planner.reports.figures.water_levels import water_levels
from planner.reports.figures.who_when import who_when
from planner.reports.lost_minutes import Shares
from planner.reports.reach_tables import zone_frame
from planner.reports.scene import scene_of
from planner.reports.turns import turns_of
from planner.reports.usable_hours import day_hours, lost_frame
from planner.reports.why import spell_sentences
from planner.workflow.demos import demos
from planner.workflow.loading import load_scenario

T = TypeVar("T")
BESIDE, LATER = 3, 9
APART_M, WEEKS = 400.0, 6


def main() -> int:
    """Print how long each chart and list takes."""
    given = argparse.ArgumentParser(description=__doc__)
    given.add_argument("plan", type=Path, help="plan folder of the demo quay-soffit")
    campaign = load_scenario(demos()["quay-soffit"]).campaign
    plan, _ = read_plan(given.parse_args().plan, campaign)
    campaign, plan = large(campaign, plan)
    say(f"{len(campaign.zones)} zones, {len(plan.spells)} spells, {len(campaign.rigs)} rigs")
    measure(campaign, plan)
    return 0


def say(text: str) -> None:
    print(text)  # noqa: T201 - a command for developers


def _all_shares(shares_of: Shares, page: Sequence[Any], rigs: Sequence[Any]) -> list[Any]:
    """Return the shares of each turn and rig of a page."""
    return [shares_of.of(turn, rig) for turn in page for rig in rigs]


def timed(name: str, make: Callable[[], T]) -> T:
    """Return what is made, and print how long it took."""
    start = time.perf_counter()
    made = make()
    to_json = getattr(made, "to_json", None)
    if to_json is not None:
        to_json()
    say(f"{name:<40}{time.perf_counter() - start:7.2f} s")
    return made


def large(campaign: Campaign, plan: Plan) -> tuple[Campaign, Plan]:
    """Return a campaign and a plan copied beside themselves and into later weeks."""
    clock = Clock(
        time_zone=campaign.clock.time_zone,
        first_day=campaign.clock.first_day,
        last_day=campaign.clock.last_day + timedelta(days=7 * WEEKS * LATER),
    )
    end = clock.horizon_min
    copies = [(k, j) for j in range(LATER) for k in range(BESIDE)]

    def named(text: str, k: int, j: int = 0) -> str:
        return f"{text}.{k}.{j}" if j else f"{text}.{k}"

    zones = tuple(
        replace(
            zone,
            zone_id=ZoneId(named(zone.zone_id, k, j)),
            x_m=zone.x_m + APART_M * k,
            y_m=zone.y_m + 60.0 * j,
            after=tuple(ZoneId(named(name, k, j)) for name in zone.after),
            due_min=None,
        )
        for k, j in copies
        for zone in campaign.zones
    )
    positions = tuple(
        replace(
            place, position_id=PositionId(named(place.position_id, k)), x_m=place.x_m + APART_M * k
        )
        for k in range(BESIDE)
        for place in campaign.positions
    )
    rigs = tuple(
        replace(
            rig,
            rig_id=RigId(named(rig.rig_id, k)),
            at=None if rig.at is None else PositionId(named(rig.at, k)),
            available_to_min=end,
        )
        for k in range(BESIDE)
        for rig in campaign.rigs
    )
    crews = tuple(
        replace(crew, crew_id=CrewId(named(crew.crew_id, k)), available_to_min=end)
        for k in range(BESIDE)
        for crew in campaign.crews
    )
    big = replace(
        campaign,
        clock=clock,
        zones=zones,
        positions=positions,
        rigs=rigs,
        crews=crews,
        routes=(),
        reach_by=type(campaign.reach_by)("grid"),
        apart=(),
        open_limits=(),
        closures=(),
    )
    shift = 7 * WEEKS * 24 * 60

    def at(minute: int, j: int) -> int:
        return minute + j * shift

    runs, spells, moves = [], [], []
    for k, j in copies:
        runs += [
            replace(
                run,
                run=f"{run.run}.{k}.{j}",
                rig=RigId(named(run.rig, k)),
                crew=CrewId(named(run.crew, k)),
                position=PositionId(named(run.position, k)),
                start_min=at(run.start_min, j),
                end_min=at(run.end_min, j),
            )
            for run in plan.runs
        ]
        spells += [
            replace(
                spell,
                run=f"{spell.run}.{k}.{j}",
                rig=RigId(named(spell.rig, k)),
                crew=CrewId(named(spell.crew, k)),
                position=PositionId(named(spell.position, k)),
                zone=ZoneId(named(spell.zone, k, j)),
                start_min=at(spell.start_min, j),
                end_min=at(spell.end_min, j),
            )
            for spell in plan.spells
        ]
        moves += [
            replace(
                move,
                rig=RigId(named(move.rig, k)),
                crew=None if move.crew is None else CrewId(named(move.crew, k)),
                from_position=PositionId(named(move.from_position, k)),
                to_position=PositionId(named(move.to_position, k)),
                start_min=at(move.start_min, j),
                end_min=at(move.end_min, j),
            )
            for move in plan.relocations
        ]
    return big, Plan(runs=tuple(runs), spells=tuple(spells), relocations=tuple(moves))


def measure(campaign: Campaign, plan: Plan) -> None:
    """Time what a page does at first, and then with each click."""
    say("\nonce for a plan")
    scene = timed("scene", lambda: scene_of(campaign, plan))
    ground = timed("ground", lambda: Ground(campaign, plan))
    turns = timed("turns", lambda: turns_of(campaign, plan))
    timed("before each set-up", lambda: preparations(ground))
    shares_of = Shares(scene, ground)
    say("\nwith each click")
    busy = timed("busy turns", lambda: turns.busy(plan))
    for page in (busy[:7], busy[len(busy) // 2 : len(busy) // 2 + 7]):
        rigs = [rig.rig_id for rig in campaign.rigs]
        shares = timed(
            f"minutes of {len(page)} turns, {len(rigs)} rigs",
            partial(_all_shares, shares_of, page, rigs),
        )
        timed("low-water strip", partial(low_water_strip, scene, shares))
    timed("who works when, 3 days", lambda: who_when(scene, ground, 0, 3 * 1440))
    timed("filled", lambda: filled(scene, turns, 60, View.PLAN))
    timed("spells table", lambda: tables.spells_frame(campaign, plan))
    timed("zones table", lambda: tables.zones_frame(campaign, plan))
    spell = plan.spells[len(plan.spells) // 2]
    timed("why a spell", lambda: spell_sentences(ground, spell))
    gap = gaps(ground, campaign.rigs[0].rig_id)[20]
    timed("why a gap", lambda: why_gap(ground, gap.rig, gap.start_min, gap.end_min))
    access = timed("access", lambda: Access(campaign))
    timed("usable hours", lambda: day_hours(campaign, access, campaign.zones))
    timed("lost time of 20 zones", lambda: lost_frame(access, campaign.zones[:20], 45 * 1440))
    timed("water, 4 days", lambda: water_levels(campaign, access, campaign.zones, 0, 4 * 1440))
    reach = timed("reach", lambda: Reach(campaign))
    timed("what reaches a zone", lambda: zone_frame(reach, campaign.zones[5]))
    sheet = timed("sheet", lambda: sheet_of(campaign, Side.DOWN))
    timed("site map, whole", lambda: site_sheet(campaign, sheet, Interest()))
    cut = stretches(sheet)[0]
    timed("site map, a stretch", lambda: site_sheet(campaign, sheet, Interest(), cut))


if __name__ == "__main__":
    raise SystemExit(main())
