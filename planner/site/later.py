"""A plan with every time moved, for campaigns whose clocks begin at different days."""

from __future__ import annotations

from dataclasses import replace
from typing import TypeVar

from planner.core.clock import Clock
from planner.plan.plan import BreakOut, Plan, Relocation, Run, Spell

Timed = TypeVar("Timed", Spell, Run, Relocation, BreakOut)


def between(before: Clock, after: Clock) -> int:
    """Return what must be added to minutes of one clock to be those of another [min]."""
    return round((before.epoch_utc - after.epoch_utc).total_seconds() / 60.0)


def at_clock(plan: Plan, before: Clock, after: Clock) -> Plan:
    """Return a plan in the minutes of another campaign's clock."""
    return at_later(plan, between(before, after))


def at_later(plan: Plan, minutes: int) -> Plan:
    """Return a plan with every time some minutes later."""
    if not minutes:
        return plan
    return Plan(
        spells=tuple(_moved(row, minutes) for row in plan.spells),
        runs=tuple(_moved(row, minutes) for row in plan.runs),
        relocations=tuple(_moved(row, minutes) for row in plan.relocations),
        break_outs=tuple(_moved(row, minutes) for row in plan.break_outs),
        unplanned=plan.unplanned,
    )


def _moved(row: Timed, minutes: int) -> Timed:
    return replace(row, start_min=row.start_min + minutes, end_min=row.end_min + minutes)
