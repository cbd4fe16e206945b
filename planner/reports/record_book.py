"""A workbook to write shift records into: the columns, their meaning, lists to choose from.

With a plan the spells of some days stand in it already, without what really happened.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime
from io import BytesIO
from typing import TYPE_CHECKING

from planner.model.campaign import Campaign
from planner.plan.plan import Plan
from planner.site.columns import REASONS, RECORDS

if TYPE_CHECKING:
    from xlsxwriter.workbook import Workbook
    from xlsxwriter.worksheet import Worksheet

_CREATED = datetime(2000, 1, 1)  # noqa: DTZ001  the library wants it without a zone
ROWS = 200
"""Rows that have lists and formats."""
_LISTS = "Lists"
_MOMENTS = ("start", "stop")


def record_workbook(
    campaign: Campaign, plan: Plan | None, *, first_day: date, last_day: date
) -> bytes:
    """Return a workbook whose first sheet ``progress import`` reads.

    Parameters
    ----------
    plan
        Given: its spells that start on the days asked for are filled in.
    """
    import xlsxwriter  # noqa: PLC0415 - slow to import

    buffer = BytesIO()
    safe = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False}
    book = xlsxwriter.Workbook(buffer, safe)
    book.set_properties({"created": _CREATED, "title": f"Records: {campaign.name}"[:250]})
    sheet = book.add_worksheet("Records")
    _heading(book, sheet)
    _choices(book, sheet, campaign)
    rows = [] if plan is None else _planned(campaign, plan, first_day, last_day)
    for number, row in enumerate(rows, start=1):
        for name, text in row.items():
            _write(sheet, number, name, text)
    book.close()
    return buffer.getvalue()


def _heading(book: Workbook, sheet: Worksheet) -> None:
    head = book.add_format({"bold": True, "bottom": 1})
    when = book.add_format({"num_format": "yyyy-mm-dd hh:mm"})
    for place, column in enumerate(RECORDS.columns):
        sheet.write_string(0, place, column.name, head)
        unit = f" [{column.unit}]" if column.unit not in {"", "1"} else ""
        sheet.write_comment(0, place, f"{column.meaning}{unit}", {"x_scale": 1.6})
        is_moment = column.name in _MOMENTS
        sheet.set_column(place, place, 17 if is_moment else 13, when if is_moment else None)
    sheet.freeze_panes(1, 1)


def _choices(book: Workbook, sheet: Worksheet, campaign: Campaign) -> None:
    """Offer the names of the scenario in the cells that hold names."""
    lists = {
        "zone": [str(row.zone_id) for row in campaign.zones],
        "rig": [str(row.rig_id) for row in campaign.rigs],
        "crew": [str(row.crew_id) for row in campaign.crews],
        "position": [str(row.position_id) for row in campaign.positions],
        "mix": list(dict.fromkeys(str(row.mix_id) for row in campaign.mixes)),
        "lost_reason": list(REASONS),
    }
    hidden = book.add_worksheet(_LISTS)
    for place, (name, words) in enumerate(lists.items()):
        hidden.write_string(0, place, name)
        for number, word in enumerate(words, start=1):
            hidden.write_string(number, place, word)
        letter = chr(ord("A") + place)
        at = RECORDS.column_names.index(name)
        sheet.data_validation(
            1,
            at,
            ROWS,
            at,
            {"validate": "list", "source": f"={_LISTS}!${letter}$2:${letter}${len(words) + 1}"},
        )


def _planned(
    campaign: Campaign, plan: Plan, first_day: date, last_day: date
) -> Iterable[dict[str, str]]:
    mixes = {run.run: run.mix for run in plan.runs}
    for spell in sorted(plan.spells, key=lambda row: (row.start_min, row.rig)):
        if first_day <= campaign.clock.day(spell.start_min) <= last_day:
            yield {
                "zone": str(spell.zone),
                "layer": str(spell.layer),
                "rig": str(spell.rig),
                "crew": str(spell.crew),
                "position": str(spell.position),
                "mix": str(mixes[spell.run]),
            }


def _write(sheet: Worksheet, row: int, name: str, text: str) -> None:
    place = RECORDS.column_names.index(name)
    if name == "layer":
        sheet.write_number(row, place, int(text))
    else:
        sheet.write_string(row, place, text)
