"""Two plans of one scenario side by side: figures, what moved, stays."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any

import pandas as pd

from planner.core.clock import Clock
from planner.model.campaign import Campaign
from planner.model.identifiers import Goal, ZoneId
from planner.plan import measures
from planner.plan.compare import differences
from planner.plan.plan import Plan
from planner.reports.key_figures import said
from planner.reports.labels import GOALS
from planner.reports.stays import stays


def figures_frame(campaign: Campaign, named: Sequence[tuple[str, Plan]]) -> pd.DataFrame:
    """Return the figures of some plans, a column for each plan."""
    rows: list[dict[str, str]] = [
        {"Figure": "In place (m³)"}
        | {name: f"{measures.planned_m3(plan):.1f}" for name, plan in named},
        {"Figure": "Zones left out"} | {name: str(len(plan.unplanned)) for name, plan in named},
    ]
    for goal in Goal:
        values = {
            name: said(campaign.clock, goal, measures.value(campaign, plan, goal))
            for name, plan in named
        }
        rows.append({"Figure": GOALS[goal]} | values)
    for rig in campaign.rigs:
        ways = {
            name: " → ".join(str(stay.position) for stay in stays(plan, rig.rig_id)) or "not used"
            for name, plan in named
        }
        rows.append({"Figure": f"Stays of {rig.rig_id}"} | ways)
    return pd.DataFrame(rows)


def moved_frame(campaign: Campaign, before: Plan, after: Plan) -> pd.DataFrame:
    """Return the zones that are done otherwise in the second plan, the most moved first."""
    old, new = _done(before), _done(after)
    rows: list[dict[str, Any]] = []
    for zone in campaign.zones:
        was, now = old.get(zone.zone_id), new.get(zone.zone_id)
        if was == now:
            continue
        hours = (now[0] - was[0]) / 60.0 if was and now else None
        rows.append(
            {
                "Zone": zone.zone_id,
                "Done before": _when(campaign.clock, was),
                "Done after": _when(campaign.clock, now),
                "Later by (h)": None if hours is None else round(hours, 1),
                "Rig and position before": was[1] if was else "left out",
                "Rig and position after": now[1] if now else "left out",
            }
        )
    columns = ["Zone", "Done before", "Done after", "Later by (h)"]
    columns += ["Rig and position before", "Rig and position after"]
    frame = pd.DataFrame(rows, columns=columns)
    order = frame["Later by (h)"].astype(float).abs().fillna(float("inf"))
    return frame.loc[order.sort_values(ascending=False, kind="stable").index]


def _done(plan: Plan) -> dict[ZoneId, tuple[int, str]]:
    found: dict[ZoneId, tuple[int, str]] = {}
    for spell in sorted(plan.spells, key=lambda row: row.end_min):
        before = found.get(spell.zone)
        by = f"{spell.rig} at {spell.position}"
        known = [] if before is None else before[1].split(", ")
        found[spell.zone] = (spell.end_min, ", ".join(sorted({*known, by})))
    return found


def _when(clock: Clock, done: tuple[int, str] | None) -> datetime | None:
    return None if done is None else clock.local(done[0]).replace(tzinfo=None)


def what_differs(campaign: Campaign, before: Plan, after: Plan) -> list[str]:
    """Return what differs in sentences, figures first; one where nothing does."""
    return list(differences(campaign, before, after)) or ["The two plans are the same."]
