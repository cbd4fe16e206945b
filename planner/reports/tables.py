"""Frames of a plan for the page: headings in words, local times, numbers as numbers."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from typing import Any

import pandas as pd

from planner.checks.violation import Violation
from planner.core.clock import MINUTES_PER_HOUR, Clock
from planner.core.problems import Problem
from planner.model.campaign import Campaign
from planner.plan import measures
from planner.plan.plan import Plan
from planner.reports.labels import COLUMNS, COST_LINES
from planner.reports.stays import stays

Row = Mapping[str, Any]


def frame(rows: Iterable[Row], columns: Sequence[str]) -> pd.DataFrame:
    """Return rows as a frame with the columns given, under their headings in words."""
    table = pd.DataFrame(list(rows), columns=list(columns))
    return table.rename(columns=COLUMNS)


def _local(clock: Clock, minute: int) -> datetime:
    """Return a campaign minute as the site's wall clock shows it, without an offset."""
    return clock.local(minute).replace(tzinfo=None)


def spells_frame(campaign: Campaign, plan: Plan) -> pd.DataFrame:
    """Return every spell in time order."""
    clock = campaign.clock
    rows = (
        {
            "start": _local(clock, spell.start_min),
            "end": _local(clock, spell.end_min),
            "minutes": spell.end_min - spell.start_min,
            "zone": spell.zone,
            "layer": spell.layer,
            "rig": spell.rig,
            "crew": spell.crew,
            "position": spell.position,
            "volume_m3": round(spell.volume_m3, 3),
            "hose_m": round(spell.hose_m, 1),
            "run": spell.run,
        }
        for spell in sorted(plan.spells, key=lambda row: (row.start_min, row.rig))
    )
    columns = ("start", "end", "minutes", "zone", "layer", "rig", "crew", "position")
    return frame(rows, (*columns, "volume_m3", "hose_m", "run"))


def runs_frame(campaign: Campaign, plan: Plan) -> pd.DataFrame:
    """Return every run in time order, panels too."""
    clock = campaign.clock
    spells: dict[str, int] = {}
    for spell in plan.spells:
        spells[spell.run] = spells.get(spell.run, 0) + 1
    rows = (
        {
            "run": run.run,
            "start": _local(clock, run.start_min),
            "end": _local(clock, run.end_min),
            "rig": run.rig,
            "crew": run.crew,
            "position": run.position,
            "mix": run.mix,
            "kind": str(run.kind),
            "spells": spells.get(run.run, 0),
        }
        for run in sorted(plan.runs, key=lambda row: (row.start_min, row.rig))
    )
    columns = ("run", "start", "end", "rig", "crew", "position", "mix", "kind", "spells")
    return frame(rows, columns)


def relocations_frame(campaign: Campaign, plan: Plan) -> pd.DataFrame:
    """Return every relocation in time order."""
    clock = campaign.clock
    rows = (
        {
            "start": _local(clock, move.start_min),
            "end": _local(clock, move.end_min),
            "rig": move.rig,
            "from": move.from_position,
            "to": move.to_position,
            "crew": move.crew or "lifting gang",
        }
        for move in sorted(plan.relocations, key=lambda row: (row.start_min, row.rig))
    )
    return frame(rows, ("start", "end", "rig", "from", "to", "crew"))


def zones_frame(campaign: Campaign, plan: Plan) -> pd.DataFrame:
    """Return every zone with when, by whom and from where it is sprayed, in table order."""
    rows = []
    for zone in campaign.zones:
        spells = [spell for spell in plan.spells if spell.zone == zone.zone_id]
        row: dict[str, Any] = {
            "zone": zone.zone_id,
            "orientation": str(zone.orientation),
            "volume_m3": round(zone.in_place_m3(campaign.rules.overbreak), 2),
            "layers": len({spell.layer for spell in spells}),
            "spells": len(spells),
        }
        if spells:
            row["start"] = _local(campaign.clock, min(spell.start_min for spell in spells))
            row["end"] = _local(campaign.clock, max(spell.end_min for spell in spells))
            row["rig"] = ", ".join(sorted({str(spell.rig) for spell in spells}))
            row["position"] = ", ".join(sorted({str(spell.position) for spell in spells}))
        rows.append(row)
    columns = ("zone", "orientation", "volume_m3", "layers", "spells", "start", "end")
    return frame(rows, (*columns, "rig", "position"))


def unplanned_frame(plan: Plan) -> pd.DataFrame:
    """Return the zones left out, and what stands in the way of each."""
    return frame(
        ({"zone": row.zone, "reason": row.reason} for row in plan.unplanned), ("zone", "reason")
    )


def rigs_frame(campaign: Campaign, plan: Plan) -> pd.DataFrame:
    """Return what each rig does: stays, runs, spells, nozzle time and volume."""
    rows = []
    for rig in campaign.rigs:
        spells = [spell for spell in plan.spells if spell.rig == rig.rig_id]
        minutes = sum(spell.end_min - spell.start_min for spell in spells)
        rows.append(
            {
                "rig": rig.rig_id,
                "set_ups": len(stays(plan, rig.rig_id)),
                "runs": sum(run.rig == rig.rig_id for run in plan.runs),
                "spells": len(spells),
                "spraying_h": round(minutes / MINUTES_PER_HOUR, 1),
                "volume_m3": round(math.fsum(spell.volume_m3 for spell in spells), 1),
            }
        )
    return frame(rows, ("rig", "set_ups", "runs", "spells", "spraying_h", "volume_m3"))


def costs_frame(campaign: Campaign, plan: Plan) -> pd.DataFrame:
    """Return the cost lines with their share, dearest first; none without prices."""
    lines = measures.cost_lines(campaign, plan)
    total = math.fsum(lines.values())
    rows = [
        {
            "line": COST_LINES[name],
            "money": round(amount, 2),
            "share": round(100.0 * amount / total, 1),
        }
        for name, amount in sorted(lines.items(), key=lambda item: -item[1])
        if amount
    ]
    return frame(rows, ("line", "money", "share"))


def problems_frame(problems: Iterable[Problem]) -> pd.DataFrame:
    """Return the problems of an input, one line each, where they stand and what is wrong."""
    rows = (
        {
            "file": problem.file,
            "row": "" if problem.row is None else str(problem.row),
            "column": problem.column,
            "message": problem.message,
            "severity": str(problem.severity),
        }
        for problem in problems
    )
    return frame(rows, ("severity", "file", "row", "column", "message"))


def violations_frame(violations: Iterable[Violation]) -> pd.DataFrame:
    """Return broken rules, one row each: which, where and by how much."""
    rows = (
        {
            "rule": violation.rule,
            "table": violation.table,
            "row": "" if violation.row is None else str(violation.row),
            "message": violation.message,
            "amount": round(violation.amount, 3),
        }
        for violation in violations
    )
    return frame(rows, ("rule", "table", "row", "message", "amount"))
