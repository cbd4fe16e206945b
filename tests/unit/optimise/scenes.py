"""Small campaigns as the optimiser sees them, and runs written by hand.

In the scene of :mod:`tests.builders` a zone takes one spell of 66 min: the default run begins at
06:00 (minute 360) with 20 min start-up and 10 min zone change, sprays from 06:30 (390) to 07:36
(456), and ends after 15 min clean-up at 07:51 (471).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from planner.access.windows import Access
from planner.checks.check import check_plan
from planner.model.campaign import Campaign
from planner.model.identifiers import CrewKind
from planner.model.rules import Rules
from planner.optimise.board import Board, Break, DraftRun, Move, Piece
from planner.optimise.decode import decode
from planner.optimise.extract import extract
from planner.optimise.guide import Guide, plain_guide
from planner.optimise.problem import Problem, build_problem
from planner.optimise.replay import Script
from planner.options.build import Options
from planner.plan.plan import Plan
from planner.reach.hoses import Reach
from tests import builders as make

DAY = 24 * 60
M3 = 2.2


def options_of(scene: Campaign) -> Options:
    """The options of a campaign."""
    return Options(campaign=scene, access=Access(scene), reach=Reach(scene))


def problem(**changes: Any) -> Problem:
    """The integers of the small campaign with some fields changed."""
    return build_problem(options_of(make.campaign(**changes)))


def rules(**changes: Any) -> Rules:
    """The rules of the campaign with some changed."""
    return Rules(**changes)


def zones(count: int, **changes: Any) -> tuple[Any, ...]:
    """Alike zones Z1, Z2, ... at the same place."""
    return tuple(make.zone(f"Z{number}", **changes) for number in range(1, count + 1))


def breakers(**changes: Any) -> Any:
    """Break-out crew B1: 2.2 m³ in an hour."""
    fields: dict[str, Any] = {"kind": CrewKind.BREAK_OUT, "rate_m3_h": 2.2}
    return make.crew("B1", **(fields | changes))


def piece(start: int, end: int | None = None, /, zone: int = 0, **changes: Any) -> Piece:
    """A spell of the whole of a zone, 66 min where no end is given."""
    fields: dict[str, Any] = {
        "zone": zone,
        "number": 1,
        "start": start,
        "end": start + 66 if end is None else end,
        "volume": M3,
        "position": 0,
        "rig": 0,
    }
    return Piece(**(fields | changes))


def run(*pieces: Piece, **changes: Any) -> DraftRun:
    """A run around its spells: 20 + 10 min before the first, 15 min after the last."""
    fields: dict[str, Any] = {"rig": 0, "crew": 0, "position": 0, "mix": 0, "pieces": [*pieces]}
    if pieces:
        fields |= {"start": pieces[0].start - 30, "end": pieces[-1].end + 15}
        fields |= {"rig": pieces[0].rig, "position": pieces[0].position}
    return DraftRun(**(fields | changes))


def panel(start: int, end: int, **changes: Any) -> DraftRun:
    """A panel run of rig 0 and crew 0 at position 0, overhead."""
    return run(start=start, end=end, panel=make.zone().orientation, **changes)


def move(start: int, end: int, /, **changes: Any) -> Move:
    """Rig 0 goes from position 0 to position 1 with crew 0."""
    fields: dict[str, Any] = {
        "rig": 0,
        "crew": 0,
        "origin": 0,
        "target": 1,
        "start": start,
        "end": end,
    }
    return Move(**(fields | changes))


def broken(start: int, end: int, /, zone: int = 0, volume: float = M3, crew: int = 1) -> Break:
    """A break-out piece by crew 1."""
    return Break(crew, zone, start, end, volume)


def script(
    *runs: DraftRun, moves: Sequence[Move] = (), breaks: Sequence[Break] = (), **changes: Any
) -> Script:
    """A whole plan as events."""
    return Script(runs=[*runs], moves=[*moves], breaks=[*breaks], **changes)


def plain(of: Problem) -> Guide:
    """A guide without any preference."""
    return plain_guide(len(of.zones), len(of.rigs))


def whole(board: Board) -> Plan:
    """The plan on a board with every zone that it leaves out named."""
    plan = extract(board)
    planned = {spell.zone for spell in plan.spells}
    out = [
        make.unplanned(zone.zone_id, "It is left out.")
        for z, zone in enumerate(board.problem.zones)
        if zone.zone_id not in planned and z not in board.problem.complete
    ]
    return replace(plan, unplanned=tuple(out))


def decoded(of: Problem, guide: Guide | None = None) -> tuple[Board, Plan]:
    """The plan that a guide leads to, after the outside auditor found nothing wrong with it."""
    board, _ = decode(of, plain(of) if guide is None else guide)
    plan = whole(board)
    assert broken_rules(of, plan) == []
    return board, plan


def broken_rules(of: Problem, plan: Plan) -> list[str]:
    """The numbers of the rules that the auditor finds broken."""
    return [violation.rule for violation in check_plan(of.campaign, plan, None)]


def spell_times(plan: Plan) -> list[tuple[str, int, int]]:
    """Zone, start and end of every spell, in time order."""
    return [(spell.zone, spell.start_min, spell.end_min) for spell in plan.spells]
