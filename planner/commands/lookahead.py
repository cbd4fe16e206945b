"""``ebbwork lookahead``: the weeks ahead, what must be ready for them, the months beyond."""

from __future__ import annotations

from argparse import Namespace
from dataclasses import astuple, fields
from typing import TYPE_CHECKING

from planner.commands.codes import Exit
from planner.commands.console import say
from planner.commands.listings import load
from planner.commands.text_table import is_readable, show_rows
from planner.commands.words import SAFETY, count

if TYPE_CHECKING:
    from planner.model.campaign import Campaign
    from planner.workflow.ahead import LookAhead

READY = ("item", "needed", "state", "why")


def run_lookahead(arguments: Namespace) -> Exit:
    """Show one of the three lists of the weeks ahead."""
    from planner.workflow.ahead import look_ahead  # noqa: PLC0415 - heavy
    from planner.workflow.site import plan_of  # noqa: PLC0415 - heavy

    campaign = load(arguments.scenario).campaign
    plan = plan_of(arguments.plan, campaign)
    found = look_ahead(
        arguments.scenario,
        campaign,
        plan,
        weeks=arguments.weeks,
        first_day=arguments.first_day,
        ahead_zones=arguments.ahead,
    )
    _show(arguments, campaign, found)
    _tell(found)
    return Exit.DONE


def _show(arguments: Namespace, campaign: Campaign, found: LookAhead) -> None:
    from planner.site.lookahead import MonthRow, WorkRow  # noqa: PLC0415 - heavy

    as_table = is_readable(asked=arguments.table)
    if arguments.view == "ready":
        rows = (
            (row.item, campaign.clock.text(row.needed_min), row.state.value, row.why)
            for row in found.ready
        )
        show_rows(READY, rows, as_table=as_table)
    elif arguments.view == "months":
        heading = [field.name for field in fields(MonthRow)]
        show_rows(heading, map(astuple, found.months), as_table=as_table)
    else:
        heading = [field.name for field in fields(WorkRow)]
        show_rows(heading, map(astuple, found.work), as_table=as_table)


def _tell(found: LookAhead) -> None:
    ahead = found.ahead
    volume = sum(row.in_place_m3 for row in found.work)
    say(
        f"{ahead.first_day} to {ahead.last_day}: {count(len(found.work), 'shift')},"
        f" {volume:.1f} m³ in place."
    )
    states: dict[str, int] = {}
    for row in found.ready:
        states[row.state.value] = states.get(row.state.value, 0) + 1
    told = ", ".join(f"{number} {state}" for state, number in sorted(states.items()))
    say(f"To be ready: {told or 'nothing'} (--ready lists them).")
    if found.months:
        say(f"Beyond that: {count(len(found.months), 'row')} by month (--months).")
    say(SAFETY)
