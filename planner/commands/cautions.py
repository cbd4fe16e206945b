"""``ebbwork equipment SCENARIO --cautions [PLAN]``: what can hurt people."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from planner.commands.codes import Exit
from planner.commands.console import say, write_lines
from planner.commands.text_table import show_rows, terminal_width
from planner.plan.store import read_plan
from planner.trade.cautions import cautions_for
from planner.trade.cautions_in_plan import cautions_in_plan

if TYPE_CHECKING:
    from planner.model.campaign import Campaign
    from planner.trade.caution import Caution
    from planner.trade.cautions_in_plan import PlanCaution
    from planner.workflow.loading import Loaded

NO_PLAN = ""
"""Stands for no plan folder."""
HEADING = ("code", "title", "scope", "subjects", "text", "follow", "source", "trust")
PLAN_HEADING = ("code", "start", "zone", "rig", "crew", "text", "follow")
APPROVES_NOTHING = (
    "This list comes from the tables and approves nothing; whoever is in charge on site may always"
    " say no."
)


def list_cautions(loaded: Loaded, folder: str, *, as_table: bool) -> Exit:
    """List the cautions of a scenario, or of the plan in a folder.

    Raises
    ------
    planner.core.problems.InputRefusedError
        If the folder cannot be read as a plan.
    """
    campaign = loaded.campaign
    if folder == NO_PLAN:
        _list(campaign, cautions_for(campaign), as_table=as_table)
    else:
        plan, _ = read_plan(Path(folder), campaign)
        _list_in_plan(campaign, cautions_in_plan(campaign, plan.spells), as_table=as_table)
    say(APPROVES_NOTHING)
    return Exit.DONE


def _list(campaign: Campaign, found: Sequence[Caution], *, as_table: bool) -> None:
    if as_table:
        write_lines(line for caution in found for line in _paragraph(campaign, caution))
        return
    rows = (
        (
            caution.code,
            caution.title,
            caution.scope,
            ";".join(caution.subjects),
            caution.text,
            caution.follow,
            caution.source,
            caution.trust,
        )
        for caution in found
    )
    show_rows(HEADING, rows, as_table=False)


def _paragraph(campaign: Campaign, caution: Caution) -> Iterator[str]:
    from planner.reports.cautions import whom  # noqa: PLC0415 - heavy

    yield f"{caution.title} ({whom(campaign, caution)})"
    source = f"Source of figures: {caution.source} ({caution.trust})"
    for text in (caution.text, caution.follow, source):
        yield from textwrap.wrap(
            text, terminal_width(), initial_indent="    ", subsequent_indent="    "
        )


def _list_in_plan(campaign: Campaign, found: Sequence[PlanCaution], *, as_table: bool) -> None:
    from planner.reports.cautions import tally  # noqa: PLC0415 - heavy

    heading = PLAN_HEADING[:-1] if as_table else PLAN_HEADING
    rows = (
        (
            row.code,
            campaign.clock.text(row.start_min),
            row.zone,
            row.rig,
            row.crew,
            row.text,
            row.follow,
        )[: len(heading)]
        for row in found
    )
    show_rows(heading, rows, as_table=as_table)
    say(tally(found))
