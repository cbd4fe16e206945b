"""Cautions in words and as tables."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

import pandas as pd

from planner.model.campaign import Campaign
from planner.reports.labels import count
from planner.reports.wording import moment
from planner.trade.caution import Caution, Scope
from planner.trade.cautions_in_plan import PlanCaution

NAMED = 8
IN_PLAN = {
    "way-out": "The way out",
    "below-fresh": "Below fresh concrete",
    "next-layer": "Next layer",
    "short-rest": "Short rest",
}
"""What each kind of caution in a plan is called."""


def whom(campaign: Campaign, caution: Caution) -> str:
    """Return whom a caution concerns, in few words."""
    if caution.scope is Scope.SITE:
        return "the whole site"
    everybody = {
        Scope.ZONE: len(campaign.zones),
        Scope.RIG: len(campaign.rigs),
        Scope.CREW: len(campaign.crews),
    }[caution.scope]
    names = caution.subjects
    noun = str(caution.scope)
    if len(names) == everybody and everybody > 1:
        return f"all {count(everybody, noun)}"
    more = f" and {len(names) - NAMED} more" if len(names) > NAMED else ""
    plural = noun if len(names) == 1 else f"{noun}s"
    return f"{plural} {', '.join(names[:NAMED])}{more}"


def cautions_frame(campaign: Campaign, cautions: Sequence[Caution]) -> pd.DataFrame:
    """Return cautions as a table to take away."""
    rows = (
        {
            "Caution": caution.title,
            "Concerns": whom(campaign, caution),
            "What can hurt": caution.text,
            "Who decides": caution.follow,
            "Source of figures": f"{caution.source} ({caution.trust})",
        }
        for caution in cautions
    )
    return pd.DataFrame(list(rows))


def plan_cautions_frame(campaign: Campaign, found: Sequence[PlanCaution]) -> pd.DataFrame:
    """Return what in a plan asks for a second look, in time order."""
    columns = ("Start", "Caution", "Zone", "Rig", "Crew", "What was seen", "Who decides")
    rows = [
        (
            campaign.clock.local(row.start_min).replace(tzinfo=None),
            IN_PLAN[row.code],
            row.zone,
            row.rig,
            row.crew,
            row.text,
            row.follow,
        )
        for row in found
    ]
    return pd.DataFrame(rows, columns=list(columns))


def seen_frame(campaign: Campaign, found: Sequence[PlanCaution]) -> pd.DataFrame:
    """Return the same for reading: when, by whom, and what was seen."""
    rows = [
        (moment(campaign.clock, row.start_min), f"{row.rig}, {row.crew}", row.text)
        for row in found
    ]
    return pd.DataFrame(rows, columns=["Spell", "Rig, crew", "What was seen"])


def tally(found: Sequence[PlanCaution]) -> str:
    """Return how many spells ask for a second look, by kind.

    Examples
    --------
    >>> tally(())
    'No spell asks for a second look.'
    """
    if not found:
        return "No spell asks for a second look."
    kinds = Counter(IN_PLAN[row.code].lower() for row in found)
    parts = ", ".join(f"{kind} {number}" for kind, number in sorted(kinds.items()))
    spells = len({(row.zone, row.start_min) for row in found})
    ask = "asks" if spells == 1 else "ask"
    return (
        f"{count(spells, 'spell')} {ask} for a second look ({parts}): cautions, not broken rules."
    )
