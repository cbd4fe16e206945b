"""Zones that were tied by hand to rigs, positions or days."""

from __future__ import annotations

from planner.scenario.calendar import begins, ends
from planner.scenario.draft import Row
from planner.scenario.grid import shorten
from planner.scenario.validation.ledger import Ledger

_TIES = ("rigs", "positions", "from", "to")


def check_locks(ledger: Ledger) -> None:
    """Note locks that tie nothing, or to no time at all."""
    for row in ledger.draft.rows("locks"):
        if all(row.is_empty(name) for name in _TIES):
            ledger.warn(
                "lock-without-effect",
                f"nothing is said of {shorten(row.text('zone'))}; fill in rigs, positions, from "
                "or to, or take the row out",
                table="locks",
                row=row,
                column="zone",
            )
        _check_span(ledger, row)


def _check_span(ledger: Ledger, row: Row) -> None:
    clock = ledger.clock
    first, last = row.moment("from"), row.moment("to")
    if clock is None or {"from", "to"} & row.bad:
        return
    start_min = 0 if first is None else begins(clock, first)
    end_min = clock.horizon_min if last is None else ends(clock, last)
    if min(end_min, clock.horizon_min) <= max(start_min, 0):
        ledger.error(
            "lock-without-time",
            "no time of the campaign lies between from and to; mend the days",
            table="locks",
            row=row,
            column="from" if first is not None else "to",
        )
