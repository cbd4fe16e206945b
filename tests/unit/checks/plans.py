"""Hand-made plans for the small scene of tests/builders.py.

The base plan sprays zone Z1 on Monday 2 March 2026.  Its rig places 5 m³/h x 80 % x half rebound
= 2 m³/h, so 2.2 m³ take 66 minutes: run 06:00-07:51 = [360, 471), start-up 20 and zone change 10,
spell [390, 456), clean-up 15.
"""

from __future__ import annotations

from typing import Any

from planner.checks.check import check_plan
from planner.checks.violation import Violation
from planner.model.campaign import Campaign
from planner.model.identifiers import CrewId, MixId, PositionId, RigId, ZoneId
from planner.model.water import LevelPoint, Water, WaterKind
from planner.plan.plan import BreakOut, Plan, Relocation, Run, Spell, Unplanned

START_UP, CHANGE, CLEAN_UP = 20, 10, 15
WHOLE_MIN = 66
DAY = 24 * 60


def spell(start: Any = 390, minutes: Any = WHOLE_MIN, *, run: Any = "1", **changes: Any) -> Spell:
    """The whole first layer of Z1 by R1 and C1 from P1, 10 m of hose away."""
    fields: dict[str, Any] = {
        "run": run,
        "rig": RigId("R1"),
        "crew": CrewId("C1"),
        "position": PositionId("P1"),
        "zone": ZoneId("Z1"),
        "layer": 1,
        "start_min": start,
        "end_min": start + minutes,
        "volume_m3": 2.2,
        "hose_m": 10.0,
        "hose_laid_m": 10.0,
    }
    return Spell(**(fields | changes))


def run(start: int = 360, end: int = 471, *, run: str = "1", **changes: Any) -> Run:
    """A run of R1 and C1 at P1 with the dry mix."""
    fields: dict[str, Any] = {
        "run": run,
        "rig": RigId("R1"),
        "crew": CrewId("C1"),
        "position": PositionId("P1"),
        "mix": MixId("dry"),
        "start_min": start,
        "end_min": end,
    }
    return Run(**(fields | changes))


def around(*spells: Spell, **changes: Any) -> Run:
    """The run that just holds some spells, with R1's start-up and clean-up."""
    first, last = spells[0], spells[-1]
    fields: dict[str, Any] = {
        "rig": first.rig,
        "crew": first.crew,
        "position": first.position,
    }
    return run(
        first.start_min - CHANGE - START_UP,
        last.end_min + CLEAN_UP,
        run=first.run,
        **(fields | changes),
    )


def move(start: int, end: int, **changes: Any) -> Relocation:
    """R1 goes from P1 to P2, made by C1."""
    fields: dict[str, Any] = {
        "rig": RigId("R1"),
        "crew": CrewId("C1"),
        "from_position": PositionId("P1"),
        "to_position": PositionId("P2"),
        "start_min": start,
        "end_min": end,
    }
    return Relocation(**(fields | changes))


def piece(start: int, end: int, volume_m3: float = 2.2, **changes: Any) -> BreakOut:
    """B1 breaks out Z1."""
    fields: dict[str, Any] = {
        "crew": CrewId("B1"),
        "zone": ZoneId("Z1"),
        "start_min": start,
        "end_min": end,
        "volume_m3": volume_m3,
    }
    return BreakOut(**(fields | changes))


def left_out(zone: str, reason: str = "no rig reaches it") -> Unplanned:
    """A zone that is not planned."""
    return Unplanned(zone=ZoneId(zone), reason=reason)


def plan(*spells: Spell, **tables: Any) -> Plan:
    """A plan of some spells, each in a run of its own unless runs are given."""
    if not spells and not tables:
        spells = (spell(),)
    runs = tables.pop("runs", None)
    if runs is None:
        runs = tuple(around(one) for one in spells)
    return Plan(spells=spells, runs=tuple(runs), **tables)


def broken(campaign: Campaign, found: Plan) -> list[Violation]:
    """Every violation of a plan, its summary aside; each is fit to be read."""
    violations = check_plan(campaign, found, None)
    for one in violations:
        assert readable(one), one
    return violations


def readable(one: Violation) -> bool:
    """Whether a violation has a rule, a file, an amount and a whole sentence."""
    is_rule = one.rule in {*map(str, range(1, 17)), "rows", "volume", "summary"}
    is_file = one.table in {
        "spells.csv",
        "runs.csv",
        "relocations.csv",
        "break_outs.csv",
        "unplanned.csv",
        "summary.json",
    }
    text = one.message
    is_sentence = text[:1].isupper() or text.split(" ")[0].split(".")[0].islower()
    return (
        is_rule
        and is_file
        and one.amount > 0
        and is_sentence
        and text.endswith(".")
        and ("None" not in text)
    )


def rules(campaign: Campaign, found: Plan) -> set[str]:
    """The numbers of the rules that a plan breaks."""
    return {violation.rule for violation in broken(campaign, found)}


def only(campaign: Campaign, found: Plan) -> Violation:
    """The one violation of a plan."""
    (violation,) = broken(campaign, found)
    return violation


def sawtooth(days: int = 20, **changes: Any) -> Water:
    """Water that falls from +3 m at 03:00 to -3 m at 09:00 and rises to +3 m at 15:00, always.

    One metre in 60 minutes; at 06:00 = minute 360 and at 12:00 = 720 it stands at 0 m.
    """
    heights = (0.0, 3.0, 0.0, -3.0)
    points = tuple(
        LevelPoint(minute=180.0 * k, level_m=heights[k % 4]) for k in range(8 * days + 1)
    )
    fields: dict[str, Any] = {"kind": WaterKind.LEVELS, "levels": ((None, points),)}
    return Water(**(fields | changes))
