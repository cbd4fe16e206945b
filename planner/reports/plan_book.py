"""A plan as a workbook: summary, shifts, spells, runs, moves, months, what is left out.

Texts are written as texts, so that nothing of a scenario runs as a formula; there are no formulas.
Times are the site's wall clock.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import astuple, fields
from datetime import datetime
from io import BytesIO
from typing import TYPE_CHECKING, Any

from planner.core.clock import Clock
from planner.plan import measures
from planner.reports.labels import COST_LINES
from planner.reports.sheets.ground import SheetGround
from planner.reports.sheets.shift_sheet import SAFETY
from planner.site.lookahead import Ahead, MonthRow, WorkRow, month_rows, work_rows
from planner.site.stops import Stops

if TYPE_CHECKING:
    from xlsxwriter.format import Format
    from xlsxwriter.workbook import Workbook

_CREATED = datetime(2000, 1, 1)  # noqa: DTZ001  the library wants it without a zone
"""Creation date of every workbook, so that the same plan gives the same bytes."""
_WIDEST, _NARROWEST = 60, 8
CELL_MAX = 32_000
"""A spreadsheet's cell holds 32 767 characters."""


def plan_workbook(ground: SheetGround) -> bytes:
    """Return the workbook's bytes; the same plan gives the same."""
    import xlsxwriter  # noqa: PLC0415 - slow to import

    buffer = BytesIO()
    safe = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False}
    book = xlsxwriter.Workbook(buffer, safe)
    book.set_properties({"created": _CREATED, "title": f"Plan: {ground.campaign.name}"[:250]})
    for name, heading, rows in _sheets(ground):
        _sheet(book, name, heading, rows)
    book.close()
    return buffer.getvalue()


Sheet = tuple[str, Sequence[str], Iterable[Sequence[Any]]]


def _sheets(ground: SheetGround) -> list[Sheet]:
    campaign, plan = ground.campaign, ground.plan
    whole = Ahead(first_day=campaign.clock.first_day, last_day=campaign.clock.last_day)
    work = work_rows(campaign, plan, whole, ground.access)
    months = month_rows(campaign, plan, ground.access)
    return [
        ("Summary", ("figure", "value"), _summary(ground)),
        ("Shifts", [field.name for field in fields(WorkRow)], map(_work, work)),
        ("Spells", _SPELLS, _spells(ground)),
        ("Runs", _RUNS, _runs(ground)),
        ("Relocations", _MOVES, _moves(ground)),
        ("Break-out", _PIECES, _pieces(ground)),
        ("Left out", ("zone", "reason"), [(row.zone, row.reason) for row in plan.unplanned]),
        ("Months", [field.name for field in fields(MonthRow)], map(astuple, months)),
        ("Cost", ("line", "money"), _costs(ground)),
    ]


def _summary(ground: SheetGround) -> list[tuple[str, Any]]:
    campaign, plan = ground.campaign, ground.plan
    finish = measures.finish_min(plan)
    return [
        ("campaign", campaign.name),
        ("scenario", campaign.fingerprint),
        ("issue", "not issued" if ground.issue is None else ground.issue),
        ("planned in place, m³", measures.planned_m3(plan)),
        ("left out, m³", measures.unplanned_m3(campaign, plan)),
        ("finish", None if finish is None else _local(campaign.clock, finish)),
        ("relocations", measures.relocations(plan)),
        ("days late", measures.late_days(campaign, plan)),
        ("night runs", measures.night_runs(campaign, plan)),
        ("joints", measures.joints(plan)),
        ("cost", measures.cost(campaign, plan)),
        ("times", f"wall clock of {campaign.clock.time_zone}"),
        ("note", SAFETY),
    ]


def _work(row: WorkRow) -> tuple[Any, ...]:
    values = list(astuple(row))
    for place, name in enumerate(field.name for field in fields(WorkRow)):
        if name in {"start", "end"}:
            values[place] = datetime.fromisoformat(values[place]).replace(tzinfo=None)
    return tuple(values)


_SPELLS = (
    "start",
    "end",
    "minutes",
    "zone",
    "layer",
    "volume_m3",
    "nozzle_m3",
    "rig",
    "crew",
    "position",
    "mix",
    "hose_m",
    "hose_laid_m",
    "nozzle_off_by",
    "leave_by",
    "water_arrives",
    "stop_level_m",
    "run",
)


def _spells(ground: SheetGround) -> Iterable[Sequence[Any]]:
    clock = ground.clock
    for duty in ground.duties:
        for spell in duty.spells:
            stops = ground.stops(spell, duty)
            yield (
                _local(clock, spell.start_min),
                _local(clock, spell.end_min),
                spell.end_min - spell.start_min,
                spell.zone,
                spell.layer,
                round(spell.volume_m3, 3),
                round(ground.nozzle_m3(spell), 3),
                spell.rig,
                spell.crew,
                spell.position,
                ground.runs[spell.run].mix,
                round(spell.hose_m, 2),
                round(spell.hose_laid_m, 2),
                *_stop_cells(clock, stops, duty.end_min),
                spell.run,
            )


def _stop_cells(clock: Clock, stops: Stops | None, end_min: int) -> tuple[Any, ...]:
    if stops is None:
        return (None, None, None, None)
    water = stops.water_min
    return (
        _local(clock, min(stops.nozzle_off_min, end_min)),
        _local(clock, min(stops.leave_min, end_min)),
        None if water is None else _local(clock, water),
        stops.stop_high_m,
    )


_RUNS = ("run", "start", "end", "kind", "orientation", "rig", "crew", "position", "mix")


def _runs(ground: SheetGround) -> Iterable[Sequence[Any]]:
    for run in ground.plan.runs:
        yield (
            run.run,
            _local(ground.clock, run.start_min),
            _local(ground.clock, run.end_min),
            run.kind.value,
            "" if run.orientation is None else run.orientation.value,
            run.rig,
            run.crew,
            run.position,
            run.mix,
        )


_MOVES = ("start", "end", "rig", "from", "to", "crew")


def _moves(ground: SheetGround) -> Iterable[Sequence[Any]]:
    for move in ground.plan.relocations:
        yield (
            _local(ground.clock, move.start_min),
            _local(ground.clock, move.end_min),
            move.rig,
            move.from_position,
            move.to_position,
            move.crew or "lifting gang",
        )


_PIECES = ("start", "end", "crew", "zone", "volume_m3")


def _pieces(ground: SheetGround) -> Iterable[Sequence[Any]]:
    for piece in ground.plan.break_outs:
        yield (
            _local(ground.clock, piece.start_min),
            _local(ground.clock, piece.end_min),
            piece.crew,
            piece.zone,
            round(piece.volume_m3, 3),
        )


def _costs(ground: SheetGround) -> list[tuple[str, float]]:
    lines = measures.cost_lines(ground.campaign, ground.plan)
    return [(COST_LINES.get(name, name), amount) for name, amount in lines.items()]


def _local(clock: Clock, minute: int) -> datetime:
    return clock.local(minute).replace(tzinfo=None)


def _sheet(
    book: Workbook, name: str, heading: Sequence[str], rows: Iterable[Sequence[Any]]
) -> None:
    """Write one table with a frozen, filtered heading, set up to print on A4 across."""
    sheet = book.add_worksheet(name)
    head = book.add_format({"bold": True, "bottom": 1, "text_wrap": True, "valign": "top"})
    when = book.add_format({"num_format": "yyyy-mm-dd hh:mm", "align": "left"})
    widths = [len(words) for words in heading]
    for column, words in enumerate(heading):
        sheet.write_string(0, column, words, head)
    last = 0
    for last, row in enumerate(rows, start=1):
        for column, value in enumerate(row):
            widths[column] = max(widths[column], _write(sheet, (last, column), value, when))
    for column, width in enumerate(widths):
        sheet.set_column(column, column, min(_WIDEST, max(_NARROWEST, width + 1)))
    sheet.freeze_panes(1, 0)
    if last:
        sheet.autofilter(0, 0, last, len(heading) - 1)
    sheet.set_landscape()
    sheet.set_paper(9)  # A4
    sheet.repeat_rows(0)
    sheet.fit_to_pages(1, 0)
    sheet.set_footer("&L&A&RPage &P of &N")


def _write(sheet: Any, at: tuple[int, int], value: Any, when: Format) -> int:  # noqa: ANN401
    """Write one cell by its kind and return how wide it is [characters]."""
    if value is None:
        return 0
    if isinstance(value, datetime):
        sheet.write_datetime(*at, value, when)
        return 16
    if isinstance(value, int | float):
        sheet.write_number(*at, value)
        return 10
    text = str(value)[:CELL_MAX]
    sheet.write_string(*at, text)
    return len(text)
