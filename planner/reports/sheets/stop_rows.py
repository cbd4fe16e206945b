"""The stops of a shift, spells that stop alike taken together."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from planner.model.water import WaterKind
from planner.plan.plan import BreakOut, Spell
from planner.reports.sheets.ground import SheetGround
from planner.site.duties import Duty
from planner.site.stops import Stops

MARKS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


@dataclass(frozen=True, slots=True, kw_only=True)
class StopRow:
    """Zones of one shift that stop at the same minutes.

    Attributes
    ----------
    mark
        Letter that the work table and the drawing use.
    zones
        Their names, in order of work.
    window, spells
        Window, and the spells or pieces of break-out in it [min].
    off_min, leave_min
        Nozzle or breaker off, and leave the face, the end of the shift at the latest [min].
    stops
        The stops themselves.
    """

    mark: str
    zones: tuple[str, ...]
    window: tuple[int, int]
    spells: tuple[tuple[int, int], ...]
    off_min: int
    leave_min: int
    stops: Stops


@dataclass(frozen=True, slots=True, kw_only=True)
class _Item:
    """One piece of work at a face [min]."""

    zone: str
    span: tuple[int, int]
    off_min: int
    stops: Stops
    section: str | None


def stop_rows(ground: SheetGround, duty: Duty) -> tuple[StopRow, ...]:
    """Return the stops of a shift in order of work.

    Work at faces that close alike shares a row with the earliest end of spraying among it,
    unless that lies before the planned end of another piece; then rows are told apart by it.
    """
    groups: dict[tuple[object, ...], list[_Item]] = {}
    for item in _items(ground, duty):
        stops = item.stops
        key = (
            stops.window,
            stops.leave_min,
            stops.enter_max_m,
            stops.stop_high_m,
            stops.stop_low_m,
            item.section,
        )
        groups.setdefault(key, []).append(item)
    rows = [row for group in groups.values() for row in _split(group)]
    rows.sort(key=lambda items: items[0].span)
    return tuple(_row(_mark(number), items, duty) for number, items in enumerate(rows))


def _items(ground: SheetGround, duty: Duty) -> Iterator[_Item]:
    pieces: list[Spell | BreakOut] = [*duty.spells, *duty.break_outs]
    for piece in sorted(pieces, key=lambda row: row.start_min):
        zone = ground.zones[piece.zone]
        if isinstance(piece, Spell):
            stops = ground.stops(piece, duty)
        else:
            stops = ground.stop_finder.leaving(zone, piece.start_min)
        if stops is not None:
            yield _Item(
                zone=str(piece.zone),
                span=(piece.start_min, piece.end_min),
                off_min=min(stops.nozzle_off_min, duty.end_min),
                stops=stops,
                section=zone.section if _by_section(ground) else None,
            )


def _split(group: list[_Item]) -> list[list[_Item]]:
    earliest = min(item.off_min for item in group)
    if earliest >= max(item.span[1] for item in group):
        return [group]
    found: dict[int, list[_Item]] = {}
    for item in group:
        found.setdefault(item.off_min, []).append(item)
    return list(found.values())


def _row(mark: str, items: list[_Item], duty: Duty) -> StopRow:
    stops = items[0].stops
    return StopRow(
        mark=mark,
        zones=tuple(dict.fromkeys(item.zone for item in items)),
        window=stops.window,
        spells=tuple(item.span for item in items),
        off_min=min(item.off_min for item in items),
        leave_min=min(stops.leave_min, duty.end_min),
        stops=stops,
    )


def _by_section(ground: SheetGround) -> bool:
    return ground.campaign.water.kind in {WaterKind.SEWER, WaterKind.LEVELS}


def _mark(number: int) -> str:
    turn, place = divmod(number, len(MARKS))
    return MARKS[place] + (str(turn + 1) if turn else "")
