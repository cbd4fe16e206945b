"""Scenes of risk: jobs small enough to be followed by hand."""

from __future__ import annotations

import math

import numpy as np

from planner.core.progress import silent
from planner.model.identifiers import CrewId, PositionId, RigId, ShiftId, ZoneId
from planner.model.rules import Rules
from planner.model.water import Extreme, Water, WaterKind
from planner.optimise.engine import Settings, optimise
from planner.plan.plan import Plan
from tests import builders

M3_A_MINUTE = 2.0 / 60.0  # what stays in place of the rig of tests/builders.py


def bare_rules(**changes):
    """Nothing but spraying takes time, and any piece may be sprayed."""
    nothing = {"zone_change_min": 0, "get_in_min": 0, "get_out_min": 0, "spell_min_min": 1}
    return Rules(**(nothing | changes))


def bare_rig(name="R1", **changes):
    """No start-up and no cleaning up."""
    return builders.rig(name, start_up_min=0, clean_up_min=0, **changes)


def whole_day():
    """A shift round the clock."""
    return builders.shift("day", start_tod=0, end_tod=0)


def in_a_row(minutes):
    """A rig that sprays zones one after the other, round the clock, from minute 0."""
    zones = tuple(
        builders.zone(f"Z{k}", volume_m3=m * M3_A_MINUTE, area_m2=None, depth_mm=None,
                      joint_allowed=True)
        for k, m in enumerate(minutes)
    )  # fmt: skip
    campaign = builders.campaign(
        zones=zones, rigs=(bare_rig(),), shifts=(whole_day(),), rules=bare_rules()
    )
    at = np.concatenate(([0], np.cumsum(minutes))).astype(int)
    spells = tuple(
        builders.spell(zone=ZoneId(f"Z{k}"), start_min=int(at[k]), end_min=int(at[k + 1]),
                       volume_m3=m * M3_A_MINUTE)
        for k, m in enumerate(minutes)
    )  # fmt: skip
    run = builders.run(start_min=0, end_min=int(at[-1]))
    return campaign, Plan(spells=spells, runs=(run,))


def side_by_side(count, minutes):
    """So many rigs, each with a crew, a position and one zone, all from minute 0."""
    names = range(count)
    volume = minutes * M3_A_MINUTE
    campaign = builders.campaign(
        zones=tuple(
            builders.zone(f"Z{k}", volume_m3=volume, area_m2=None, depth_mm=None,
                          joint_allowed=True)
            for k in names
        ),
        positions=tuple(builders.position(f"P{k}") for k in names),
        rigs=tuple(bare_rig(f"R{k}") for k in names),
        crews=tuple(builders.crew(f"C{k}") for k in names),
        shifts=(whole_day(),),
        rules=bare_rules(),
    )  # fmt: skip
    who = [
        {"rig": RigId(f"R{k}"), "crew": CrewId(f"C{k}"), "position": PositionId(f"P{k}")}
        for k in names
    ]
    spells = tuple(
        builders.spell(f"{k}", zone=ZoneId(f"Z{k}"), start_min=0, end_min=minutes,
                       volume_m3=volume, **who[k])
        for k in names
    )  # fmt: skip
    runs = tuple(builders.run(f"{k}", start_min=0, end_min=minutes, **who[k]) for k in names)
    return campaign, Plan(spells=spells, runs=runs)


def tide_table(*, days=80, range_m=3.0):
    """A high and a low water every 6 h 12 min, from two days before the campaign on."""
    return tuple(
        Extreme(minute=-2880.0 + 372.0 * k, level_m=range_m / 2 * (-1) ** k, is_high=k % 2 == 0)
        for k in range(math.ceil((days + 4) * 1440 / 372))
    )


def tidal(**changes):
    """A quay: six zones in two layers from two positions, low water, one rig, one crew."""
    fields = {
        "water": Water(kind=WaterKind.HIGHLOW, extremes=tide_table()),
        "zones": tuple(
            builders.zone(f"Z{k}", depth_mm=150.0, water_max_m=0.0, x_m=10.0 + 40.0 * (k // 3),
                          area_m2=10.0 + 2 * k, section=f"S{k // 3}", joint_allowed=k % 2 == 0,
                          wets_at_m=None if k % 3 else 1.4)
            for k in range(6)
        ),
        "positions": (builders.position("P1"), builders.position("P2", x_m=60.0)),
        "rigs": (builders.rig(hose_max_m=35.0, idle_max_min=60),),
        "crews": (builders.crew(shift_id=ShiftId("day"), duty_max_min=600, rest_min_min=600),),
        "mixes": (builders.mix(protect_h=3.0, finish_min_m2=0.3),),
    }  # fmt: skip
    return builders.campaign(**(fields | changes))


def planned(campaign):
    """A plan that the optimiser finds with next to no effort."""
    plan, _ = optimise(campaign, settings=Settings(effort=0.002, seconds=20.0), listener=silent)
    return plan
