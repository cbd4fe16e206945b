"""Times and amounts in words, as every figure, table and sentence writes them."""

from __future__ import annotations

from html import escape

from planner.core.clock import MINUTES_PER_DAY, MINUTES_PER_HOUR, Clock
from planner.core.wording import DAYS, MONTHS, day_name, moment, time_range, weekday
from planner.plan.plan import Run, Spell
from planner.reports.labels import count

__all__ = [
    "DAYS",
    "MONTHS",
    "day_name",
    "duration",
    "moment",
    "run_hover",
    "spell_hover",
    "time_range",
    "weekday",
]

HOURS_AS_DAYS_FROM = 48


def duration(minutes: float) -> str:
    """Return a length of time in words that fit its size.

    Examples
    --------
    >>> duration(45), duration(90), duration(4320)
    ('45 min', '1.5 h', '3.0 days')
    """
    if minutes < MINUTES_PER_HOUR:
        return f"{minutes:.0f} min"
    hours = minutes / MINUTES_PER_HOUR
    if hours < HOURS_AS_DAYS_FROM:
        return f"{hours:.1f} h"
    return f"{minutes / MINUTES_PER_DAY:.1f} days"


def run_hover(clock: Clock, run: Run, spells: int) -> str:
    """Return what a hover label says of a run."""
    what = "test panel" if run.kind == "panel" else count(spells, "spell")
    return (
        f"<b>Run {run.run}</b> · {escape(run.rig)} at {escape(run.position)}<br>"
        f"{time_range(clock, run.start_min, run.end_min)}<br>"
        f"crew {escape(run.crew)} · {escape(run.mix)} · {what}"
    )


def spell_hover(clock: Clock, spell: Spell) -> str:
    """Return what a hover label says of a spell."""
    return (
        f"<b>{escape(spell.zone)}</b> · layer {spell.layer}<br>"
        f"{time_range(clock, spell.start_min, spell.end_min)} · "
        f"{spell.end_min - spell.start_min} min<br>"
        f"{spell.volume_m3:.2f} m³ in place · {escape(spell.rig)} at {escape(spell.position)} · "
        f"hose {spell.hose_m:.0f} m"
    )
