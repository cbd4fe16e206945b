"""``ebbwork reach``, and how listings read their scenario."""

from __future__ import annotations

from dataclasses import astuple, fields
from pathlib import Path
from typing import TYPE_CHECKING

from planner.commands.codes import Exit
from planner.commands.console import RefusedError, say_problems, write_rows
from planner.model.identifiers import ZoneId
from planner.scenario.suggest import did_you_mean

if TYPE_CHECKING:
    from planner.model.campaign import Campaign
    from planner.workflow.loading import Loaded


def run_reach(scenario: Path) -> Exit:
    """List every combination of position, zone, rig and mix that reaches."""
    from planner.workflow.listing import ReachRow, reach_rows  # noqa: PLC0415 - heavy

    loaded = load(scenario)
    heading = [field.name for field in fields(ReachRow)]
    write_rows(heading, (astuple(row) for row in reach_rows(loaded.campaign)))
    return Exit.DONE


def load(scenario: Path) -> Loaded:
    """Return a scenario; what is odd in it is told."""
    from planner.workflow.loading import load_scenario  # noqa: PLC0415 - heavy

    loaded = load_scenario(scenario)
    say_problems(loaded.warnings)
    return loaded


def zone_named(campaign: Campaign, name: str) -> ZoneId:
    """Return the zone of that name.

    Raises
    ------
    RefusedError
        If there is none.
    """
    known = [zone.zone_id for zone in campaign.zones]
    if name not in known:
        msg = f"There is no zone {name!r} in {campaign.name}{did_you_mean(name, known)}"
        raise RefusedError(msg)
    return ZoneId(name)
