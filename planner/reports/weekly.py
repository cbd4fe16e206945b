"""Volume in place week by week, as numbers: what each rig adds, and what then stands."""

from __future__ import annotations

import math
from datetime import date, timedelta

import pandas as pd

from planner.model.campaign import Campaign
from planner.plan.plan import Plan, Spell
from planner.reports.wording import day_name


def weekly_frame(campaign: Campaign, plan: Plan) -> pd.DataFrame:
    """Return a row for each week with a spell: volume of each rig, in place so far, zones done.

    A spell counts in the week in which it ends.
    """
    clock = campaign.clock
    rigs = [rig.rig_id for rig in campaign.rigs]
    last = {spell.zone: spell.end_min for spell in sorted(plan.spells, key=lambda s: s.end_min)}
    weeks: dict[date, list[Spell]] = {}
    for spell in plan.spells:
        day = clock.day(spell.end_min - 1)
        weeks.setdefault(day - timedelta(days=day.weekday()), []).append(spell)
    rows: list[dict[str, object]] = []
    so_far = 0.0
    for monday in sorted(weeks):
        spells = weeks[monday]
        volume = math.fsum(spell.volume_m3 for spell in spells)
        so_far += volume
        row: dict[str, object] = {"Week from": day_name(monday)}
        for rig in rigs:
            mine = math.fsum(spell.volume_m3 for spell in spells if spell.rig == rig)
            row[f"{rig} (m³)"] = round(mine, 1)
        row["Together (m³)"] = round(volume, 1)
        row["In place by then (m³)"] = round(so_far, 1)
        row["Zones done"] = sum(last[s.zone] == s.end_min for s in spells)
        rows.append(row)
    return pd.DataFrame(rows)
