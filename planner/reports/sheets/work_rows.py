"""What a shift does, line by line: moves, runs, spells and break-out, with blanks to fill in."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from planner.plan.plan import BreakOut, Relocation, Run, RunKind, Spell
from planner.reports.sheets.ground import SheetGround
from planner.reports.sheets.paper import SHADE, TO, WIDTH_PT, Command, grid, text
from planner.reports.sheets.stop_rows import StopRow
from planner.site.duties import GANG, Duty

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

HEADS = (
    "No.",
    "From, to",
    "Zone",
    "Layer",
    "Stop",
    "In place m³",
    "Nozzle m³",
    "bags",
    "min",
    "first, last spray",
    "in place m³",
    "bags",
    "water m",
    "lost min, why",
)
PLANNED = 9
WIDTHS = (18.0, 52.0, 72.0, 36.0, 27.0, 34.0, 34.0, 26.0, 24.0, 62.0, 34.0, 32.0, 32.0)
BLANK_PT, TIGHT_PT = 19.0, 16.5
"""Height of a row to write in; and where a page holds many [pt]."""
MANY = 6


def work_table(ground: SheetGround, duty: Duty, rows: tuple[StopRow, ...]) -> Flowable:
    """Return the work of a shift in time order; the right half is for what really happened."""
    marks = {(zone, span): row.mark for row in rows for zone in row.zones for span in row.spells}
    numbers = {id(spell): number for number, spell in enumerate(duty.spells, start=1)}
    items: list[Relocation | Run | Spell | BreakOut] = [
        *duty.relocations,
        *duty.runs,
        *duty.spells,
        *duty.break_outs,
    ]
    items.sort(key=lambda item: (item.start_min, not isinstance(item, Run)))
    widths = [*WIDTHS, WIDTH_PT - sum(WIDTHS)]
    table: list[list[Any]] = [
        [
            text("planned", "head"),
            *[""] * (PLANNED - 1),
            text("what really happened: fill in", "head"),
        ],
        [text(words, "head") for words in HEADS],
    ]
    table[0] += [""] * (len(HEADS) - len(table[0]))
    commands: list[Command] = [
        ("SPAN", (0, 0), (PLANNED - 1, 0)),
        ("SPAN", (PLANNED, 0), (-1, 0)),
        ("LINEBEFORE", (PLANNED, 0), (PLANNED, -1), 1.2, "#000000"),
    ]
    height = TIGHT_PT if len(items) > MANY else BLANK_PT
    for item in items:
        at = len(table)
        if isinstance(item, Spell):
            mark = marks.get((item.zone, (item.start_min, item.end_min)), "")
            cells = _spell(ground, item, number=numbers[id(item)], mark=mark)
            table.append([*cells, *[""] * (len(HEADS) - len(cells))])
            commands += _blank(at, height)
        elif isinstance(item, BreakOut):
            mark = marks.get((item.zone, (item.start_min, item.end_min)), "")
            cells = _break_out(ground, item, mark=mark)
            table.append([*cells, *[""] * (len(HEADS) - len(cells))])
            commands += _blank(at, height)
        else:
            table.append([text(_words(ground, item), "strong"), *[""] * (len(HEADS) - 1)])
            commands += [("SPAN", (0, at), (-1, at)), ("BACKGROUND", (0, at), (-1, at), SHADE)]
    return grid(table, widths, head=2, commands=commands)


def _blank(row: int, height: float) -> list[Command]:
    pad = (height - 9.6) / 2
    return [
        ("TOPPADDING", (0, row), (-1, row), pad),
        ("BOTTOMPADDING", (0, row), (-1, row), pad),
    ]


def _spell(ground: SheetGround, spell: Spell, *, number: int, mark: str) -> list[Any]:
    clock = ground.clock
    whole, bags = ground.is_whole_layer(spell), ground.bags(spell)
    return [
        text(str(number), "strong"),
        text(f"{clock.local(spell.start_min):%H:%M}{TO}{clock.local(spell.end_min):%H:%M}"),
        text(str(spell.zone), "strong"),
        text(f"{spell.layer}/{ground.layers(spell)}" + ("" if whole else " part")),
        text(mark, "strong"),
        text(f"{spell.volume_m3:.2f}", "right"),
        text(f"{ground.nozzle_m3(spell):.2f}", "right"),
        text("" if bags is None else str(bags), "right"),
        text(f"{spell.end_min - spell.start_min}", "right"),
    ]


def _break_out(ground: SheetGround, piece: BreakOut, *, mark: str) -> list[Any]:
    clock = ground.clock
    return [
        "",
        text(f"{clock.local(piece.start_min):%H:%M}{TO}{clock.local(piece.end_min):%H:%M}"),
        text(str(piece.zone), "strong"),
        text("break out", "tiny"),
        text(mark, "strong"),
        text(f"{piece.volume_m3:.2f}", "right"),
        "",
        "",
        text(f"{piece.end_min - piece.start_min}", "right"),
    ]


def _words(ground: SheetGround, item: Run | Relocation) -> str:
    clock = ground.clock
    start, end = clock.local(item.start_min), clock.local(item.end_min)
    if isinstance(item, Relocation):
        by = f" by the {GANG}" if item.crew is None else ""
        return (
            f"{start:%H:%M}{TO}{end:%H:%M}  Move {item.rig} from {item.from_position} to"
            f" {item.to_position}{by}"
        )
    if item.kind is RunKind.PANEL:
        face = "" if item.orientation is None else f", {item.orientation}"
        return (
            f"{start:%H:%M}{TO}{end:%H:%M}  Test panel with {item.rig} at {item.position}:"
            f" {item.mix}{face}"
        )
    rig, supply = ground.rigs[item.rig], ground.supply(item)
    return (
        f"{start:%H:%M}{TO}{end:%H:%M}  {item.rig} at {item.position}, {item.mix}: start-up"
        f" {rig.start_up_min} min, clean by {end:%H:%M} ({rig.clean_up_min} min)"
        + (f"; {supply}" if supply else "")
    )
