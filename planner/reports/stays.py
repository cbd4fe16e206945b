"""Where each rig stands, stay by stay, in the order of time."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from planner.model.identifiers import PositionId, RigId
from planner.plan.plan import Plan, Relocation, Run


@dataclass(frozen=True, slots=True, kw_only=True)
class Stay:
    """One stay of a rig at a position.

    Attributes
    ----------
    rig, position, number
        Who, where, and which stay of the rig, counted from 1.
    start_min, end_min
        First and last minute of work there [min].
    runs, volume_m3
        What is done there: runs [1], volume in place [m³].
    """

    rig: RigId
    position: PositionId
    number: int
    start_min: int
    end_min: int
    runs: int
    volume_m3: float


def stays(plan: Plan, rig: RigId) -> list[Stay]:
    """Return the stays of a rig in time order; places merely passed through are included."""
    work: list[Run | Relocation] = [run for run in plan.runs if run.rig == rig]
    work += [move for move in plan.relocations if move.rig == rig]
    grouped: list[tuple[PositionId, list[Run], int]] = []
    for item in sorted(work, key=lambda row: row.start_min):
        if isinstance(item, Relocation):
            if not grouped:
                grouped.append((item.from_position, [], item.start_min))
            grouped.append((item.to_position, [], item.end_min))
            continue
        if not grouped or grouped[-1][0] != item.position:
            grouped.append((item.position, [], item.start_min))
        grouped[-1][1].append(item)
    return [
        _stay(plan, rig, position, runs, number=number, at=at)
        for number, (position, runs, at) in enumerate(grouped, start=1)
    ]


def _stay(
    plan: Plan, rig: RigId, position: PositionId, runs: Sequence[Run], *, number: int, at: int
) -> Stay:
    names = {run.run for run in runs}
    return Stay(
        rig=rig,
        position=position,
        number=number,
        start_min=min((run.start_min for run in runs), default=at),
        end_min=max((run.end_min for run in runs), default=at),
        runs=len(runs),
        volume_m3=math.fsum(spell.volume_m3 for spell in plan.spells if spell.run in names),
    )


def main_position(plan: Plan) -> dict[str, PositionId]:
    """Return, for each planned zone, the position from which most of it is sprayed."""
    shares: dict[tuple[str, PositionId], float] = {}
    for spell in plan.spells:
        key = (str(spell.zone), spell.position)
        shares[key] = shares.get(key, 0.0) + spell.volume_m3
    best: dict[str, PositionId] = {}
    for (zone, position), volume_m3 in sorted(shares.items()):
        if zone not in best or volume_m3 > shares[zone, best[zone]]:
            best[zone] = position
    return best
