"""Rigs against the kind of machine that they name."""

from __future__ import annotations

from planner.model.machine import MachineType, Span, Trait
from planner.model.machines import MACHINE_BY_ID, MACHINES, RIG_COLUMNS
from planner.scenario.draft import Row
from planner.scenario.grid import shorten
from planner.scenario.validation.ledger import Ledger

_LONGER_IS_FINE = {Trait.START_UP, Trait.CLEAN_UP, Trait.MOVE}
"""Traits of which more than usual only costs time."""
_SHORTER_IS_FINE = {Trait.LEVEL, Trait.RISE, Trait.IDLE}


def check_machines(ledger: Ledger) -> None:
    """Note rigs that lack what no kind gives, and rigs outside the range of their kind."""
    for row in ledger.draft.rows("rigs"):
        _check_filled(ledger, row)
        machine = MACHINE_BY_ID.get(row.text("type"))
        if machine is not None:
            _check_process(ledger, row, machine)
            _check_ranges(ledger, row, machine)


def _check_filled(ledger: Ledger, row: Row) -> None:
    for name, example in (("hose_max_m", "metres, for example 60"), ("rate_m3_h", "m³/h")):
        if row.number(name) is None and row.is_empty(name) and "type" not in row.bad:
            ledger.missing(
                f"write a plain number in {example}, or name the rig's type",
                table="rigs",
                row=row,
                column=name,
            )


def _check_process(ledger: Ledger, row: Row, machine: MachineType) -> None:
    process = row.text("process")
    if process and process != machine.process:
        kinds = ", ".join(m.type_id for m in MACHINES if m.process == process)
        ledger.error(
            "wrong-process",
            f"{machine.type_id} is a machine for {machine.process} mix, and the rig is"
            f" {shorten(process)}; write one of {kinds}, or mend the process",
            table="rigs",
            row=row,
            column="type",
        )


def _check_ranges(ledger: Ledger, row: Row, machine: MachineType) -> None:
    for column, trait in sorted({**RIG_COLUMNS, "air_m3_min": Trait.AIR}.items()):
        span, value = machine.span(trait), row.number(column)
        if row.has(column) and span is not None and value is not None and _is_odd(span, value):
            ledger.warn(
                "outside-type",
                f"{value:g} {span.unit} is unusual for a {machine.title}:"
                f" {span.words()} ({span.trust}; {span.source}); it is used as it stands",
                table="rigs",
                row=row,
                column=column,
            )


def _is_odd(span: Span, value: float) -> bool:
    if span.high is not None and value > span.high:
        return span.trait not in _LONGER_IS_FINE
    if span.low is not None and value < span.low:
        return span.trait not in _SHORTER_IS_FINE
    return False
