"""``ebbwork windows``: the windows themselves, what took the rest, and what they are good for."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import astuple, fields
from pathlib import Path
from typing import TYPE_CHECKING, Any

from planner.commands.codes import Exit
from planner.commands.console import say, write_rows
from planner.commands.listings import load, zone_named
from planner.commands.words import cautions
from planner.model.identifiers import ZoneId

if TYPE_CHECKING:
    from planner.model.campaign import Campaign

Rows = Callable[["Campaign", ZoneId | None], Iterable[Any]]


def run_windows(scenario: Path, zone: str | None, *, view: str | None, ics: Path | None) -> Exit:
    """List windows, or one of the views that explain them; with ``ics`` write a calendar file.

    Parameters
    ----------
    scenario
        Scenario folder or workbook.
    zone
        Only this zone; None: all.
    view
        Which other table (``listing_arguments.VIEWS``); None: the windows themselves.
    ics
        Calendar file to write besides; None: none.
    """
    from planner.reports.window_calendar import window_calendar  # noqa: PLC0415 - heavy
    from planner.scenario.replace import replace_file  # noqa: PLC0415 - heavy

    campaign = load(scenario).campaign
    chosen = None if zone is None else zone_named(campaign, zone)
    row_type, rows = _view(view)
    heading = [field.name for field in fields(row_type)]
    write_rows(heading, (astuple(row) for row in rows(campaign, chosen)))
    if ics is not None:
        replace_file(ics, window_calendar(campaign, chosen))
        say(f"The windows are in {ics} as a calendar file.")
    for caution in cautions(campaign.water.kind):
        say(caution)
    return Exit.DONE


def _view(name: str | None) -> tuple[type[Any], Rows]:
    """Return the type of the rows of a view, and what makes them."""
    from planner.workflow import listing, windows_explained  # noqa: PLC0415 - heavy

    views: dict[str | None, tuple[type[Any], Rows]] = {
        None: (listing.WindowRow, listing.windows_rows),
        "why": (windows_explained.LostRow, windows_explained.lost_rows),
        "totals": (windows_explained.TotalRow, windows_explained.total_rows),
        "weeks": (windows_explained.WeekRow, windows_explained.week_rows),
        "longest": (windows_explained.LongestRow, windows_explained.longest_rows),
    }
    return views[name]
