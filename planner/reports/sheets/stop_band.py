"""The stops in large type, with the water level that stops work whatever the clock says."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from planner.model.water import WaterKind
from planner.reports.labels import count
from planner.reports.sheets.ground import SheetGround
from planner.reports.sheets.paper import WIDTH_PT, Command, grid, text
from planner.reports.sheets.stop_rows import StopRow
from planner.reports.wording import day_name, moment

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

BLANK = "_" * 22
NAMES_MAX = 260
"""Longest list of zones that is written out [characters]."""
MANY = 5
"""With more rows than this the type is a little smaller."""
_WIDTHS = (26.0, 98.0, 58.0, 78.0, 84.0, 82.0)


def stop_band(
    ground: SheetGround, rows: tuple[StopRow, ...], *, is_tight: bool = False
) -> list[Flowable]:
    """Return the stops of a shift as a table, and who calls them."""
    if not rows:
        return []
    wet = ground.campaign.water.kind is not WaterKind.NONE
    heads = (
        "Stop",
        "Zones",
        "In from",
        "1 NOZZLE OFF by" if _sprays(ground, rows) else "1 TOOLS OFF by",
        "2 LEAVE THE FACE by",
        "3 WATER ARRIVES" if wet else "3 CLOSED FROM",
        _board(ground) if wet else "Water",
    )
    table: list[list[Any]] = [[text(words, "stop name") for words in heads]]
    big = "stop tight" if is_tight or len(rows) > MANY else "stop"
    table += [_row(ground, row, wet=wet, big=big) for row in rows]
    last = WIDTH_PT - sum(_WIDTHS)
    commands: list[Command] = [
        ("BOX", (3, 0), (5, -1), 1.4, "#000000"),
        ("BOX", (6, 0), (6, -1), 1.8, "#000000"),
        ("TOPPADDING", (0, 1), (-1, -1), 0),
        ("BOTTOMPADDING", (0, 1), (-1, -1), 4),
    ]
    return [grid(table, [*_WIDTHS, last], commands=commands), *_said(ground, wet=wet)]


def _sprays(ground: SheetGround, rows: tuple[StopRow, ...]) -> bool:
    spans = {(str(row.zone), row.start_min) for row in ground.plan.spells}
    return any(
        (zone, span[0]) in spans for row in rows for zone in row.zones for span in row.spells
    )


def _board(ground: SheetGround) -> str:
    if ground.campaign.water.kind is WaterKind.SEWER:
        return "OUT AT ONCE when the gauge rises to (depth)"
    return "OUT AT ONCE when the board rises to"


def _row(ground: SheetGround, row: StopRow, *, wet: bool, big: str) -> list[Any]:
    clock = ground.clock
    stops = row.stops
    return [
        text(row.mark, big),
        text(_zones(row), "strong"),
        [text(f"{clock.local(stops.enter_min):%H:%M}", "centre"), *_entry(ground, row)],
        text(f"{clock.local(row.off_min):%H:%M}", big),
        text(f"{clock.local(row.leave_min):%H:%M}", big),
        _arrives(ground, row, wet=wet, big=big),
        _level(ground, row, big=big) if wet else text("no water in this scenario", "centre"),
    ]


def _zones(row: StopRow) -> str:
    """Return the zones of a row; very many are only counted, the table below marks them."""
    words = ", ".join(row.zones)
    if len(words) <= NAMES_MAX:
        return words
    return f"{count(len(row.zones), 'zone')}, marked {row.mark} below"


def _entry(ground: SheetGround, row: StopRow) -> list[Any]:
    """Return the day of entry where it is another than that of the work, and the highest water."""
    clock = ground.clock
    entered = clock.day(row.stops.enter_min)
    found = []
    if entered != clock.day(row.spells[0][0]):
        found.append(text(f"since {day_name(entered)}", "centre"))
    if row.stops.enter_max_m is not None:
        sewer = ground.campaign.water.kind is WaterKind.SEWER
        level = f"{row.stops.enter_max_m:.2f}" if sewer else f"{row.stops.enter_max_m:+.2f}"
        found.append(text(f"not above {level} m", "centre"))
    return found


def _arrives(ground: SheetGround, row: StopRow, *, wet: bool, big: str) -> Any:  # noqa: ANN401 - cells
    clock, stops = ground.clock, row.stops
    pieces = []
    if wet and stops.water_min is not None and not stops.end_cause:
        return text(f"{clock.local(stops.water_min):%H:%M}", big)
    if wet:
        arrives = "not in a day and a half"
        if stops.water_min is not None:
            arrives = moment(clock, stops.water_min)
        pieces.append(text(f"water: {arrives}", "centre"))
    cause = stops.end_cause or "window ends"
    pieces.append(text(f"{moment(clock, stops.end_min)}: {cause}", "centre"))
    return pieces


def _level(ground: SheetGround, row: StopRow, *, big: str) -> Any:  # noqa: ANN401 - cells
    stops, water = row.stops, ground.campaign.water
    if stops.stop_high_m is None and stops.stop_low_m is None:
        return text("no limit is given", "centre")
    pieces = []
    sewer = water.kind is WaterKind.SEWER
    if stops.stop_high_m is not None:
        level = f"{stops.stop_high_m:.2f} m" if sewer else f"{stops.stop_high_m:+.2f} m"
        pieces.append(text(f"↑ {level}", big))
        if water.datum_m and not sewer:
            zero = stops.stop_high_m - water.datum_m
            pieces.append(text(f"{zero:.2f} m on the tide table's zero", "centre"))
    if stops.stop_low_m is not None:
        pieces.append(text(f"↓ {stops.stop_low_m:+.2f} m (falling)", "strong"))
    return pieces


def _said(ground: SheetGround, *, wet: bool) -> list[Flowable]:
    if not wet:
        words = f"Who calls the stops: {BLANK}  How everybody hears it: {BLANK}"
        return [text(words)]
    water = ground.campaign.water
    sewer = water.kind is WaterKind.SEWER
    where, waves = ("gauge", "") if sewer else ("board", ", read in the mean of the waves")
    found = [
        text(
            f"While the water rises the {where} counts, whatever the clock says: levels are in"
            f" metres {_zero(ground)}{waves}. Who watches the {where} and calls it: {BLANK}"
            f"  How everybody hears it: {BLANK}"
        )
    ]
    if sewer:
        warning = (
            "not given" if water.warning_min is None else f"{water.warning_min} min after an alarm"
        )
        found.append(
            text(
                f"Out at the first alarm, rain upstream or a call; time until dangerous flow:"
                f" {warning}. Who watches upstream: {BLANK}"
            )
        )
    return found


def _zero(ground: SheetGround) -> str:
    if ground.campaign.water.kind is WaterKind.SEWER:
        return "above the invert"
    return "above the site datum"
