"""The stops of a shift, spells that stop alike taken together."""

from __future__ import annotations

from dataclasses import dataclass

from planner.model.water import WaterKind
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
        Window, and the spells in it [min].
    off_min, leave_min
        Nozzle off, and leave the face, the end of the shift at the latest [min].
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


def stop_rows(ground: SheetGround, duty: Duty) -> tuple[StopRow, ...]:
    """Return the stops of a shift in order of work."""
    found: dict[tuple[object, ...], list[tuple[str, tuple[int, int], Stops]]] = {}
    for spell in duty.spells:
        stops = ground.stops(spell, duty)
        if stops is None:
            continue
        key = (
            stops.window,
            min(stops.nozzle_off_min, duty.end_min),
            stops.leave_min,
            stops.stop_high_m,
            stops.stop_low_m,
            ground.zones[spell.zone].section if _by_section(ground) else None,
        )
        item = (str(spell.zone), (spell.start_min, spell.end_min), stops)
        found.setdefault(key, []).append(item)
    rows = []
    for number, items in enumerate(found.values()):
        stops = items[0][2]
        rows.append(
            StopRow(
                mark=_mark(number),
                zones=tuple(dict.fromkeys(zone for zone, _, _ in items)),
                window=stops.window,
                spells=tuple(span for _, span, _ in items),
                off_min=min(stops.nozzle_off_min, duty.end_min),
                leave_min=min(stops.leave_min, duty.end_min),
                stops=stops,
            )
        )
    return tuple(rows)


def _by_section(ground: SheetGround) -> bool:
    return ground.campaign.water.kind in {WaterKind.SEWER, WaterKind.LEVELS}


def _mark(number: int) -> str:
    turn, place = divmod(number, len(MARKS))
    return MARKS[place] + (str(turn + 1) if turn else "")
