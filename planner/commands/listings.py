"""``ebbwork windows`` and ``ebbwork reach``: what a scenario allows, as CSV."""

from __future__ import annotations

from dataclasses import astuple, fields
from pathlib import Path
from typing import TYPE_CHECKING

from planner.commands.codes import Exit
from planner.commands.console import RefusedError, say_problems, write_rows
from planner.model.identifiers import ZoneId
from planner.scenario.suggest import did_you_mean

if TYPE_CHECKING:
    from planner.workflow.loading import Loaded


def run_windows(scenario: Path, zone: str | None) -> Exit:
    """List the windows of every zone, or of one."""
    from planner.workflow.listing import WindowRow, windows_rows  # noqa: PLC0415 - heavy

    loaded = _load(scenario)
    chosen = None if zone is None else _zone(loaded, zone)
    heading = [field.name for field in fields(WindowRow)]
    write_rows(heading, (astuple(row) for row in windows_rows(loaded.campaign, chosen)))
    return Exit.DONE


def run_reach(scenario: Path) -> Exit:
    """List every combination of position, zone, rig and mix that reaches."""
    from planner.workflow.listing import ReachRow, reach_rows  # noqa: PLC0415 - heavy

    loaded = _load(scenario)
    heading = [field.name for field in fields(ReachRow)]
    write_rows(heading, (astuple(row) for row in reach_rows(loaded.campaign)))
    return Exit.DONE


def _load(scenario: Path) -> Loaded:
    from planner.workflow.loading import load_scenario  # noqa: PLC0415 - heavy

    loaded = load_scenario(scenario)
    say_problems(loaded.warnings)
    return loaded


def _zone(loaded: Loaded, name: str) -> ZoneId:
    known = [zone.zone_id for zone in loaded.campaign.zones]
    if name not in known:
        msg = f"There is no zone {name!r} in {loaded.campaign.name}{did_you_mean(name, known)}"
        raise RefusedError(msg)
    return ZoneId(name)
