"""Closures, zones kept apart, limits on open zones."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace
from datetime import date, datetime

from planner.scenario.build_closures import in_year
from planner.scenario.calendar import begins, ends
from planner.scenario.dictionary import CLOSURES
from planner.scenario.dictionary.shapes import PROCESSES
from planner.scenario.draft import Row
from planner.scenario.grid import shorten
from planner.scenario.validation.ledger import Ledger
from planner.scenario.validation.references import known_ids, note_unknown

_OWNERS = {
    "position": ("positions",),
    "zone": ("zones",),
    "rig": ("rigs",),
    "crew": ("crews",),
    "section": ("zones", "sewer", "levels"),
}


def check_limits(ledger: Ledger) -> None:
    """Note what is wrong with what keeps work away."""
    for row in ledger.draft.rows("closures"):
        _check_target(ledger, row)
        _check_hours(ledger, row)
        _check_span(ledger, row)
        _check_yearly(ledger, row)
    for row in ledger.draft.rows("apart"):
        if row.has("zone_a") and row.text("zone_a") == row.text("zone_b"):
            ledger.error(
                "apart-from-itself",
                f"{shorten(row.text('zone_a'))} stands in both columns; name two zones",
                table="apart",
                row=row,
                column="zone_b",
            )
    for row in ledger.draft.rows("open_limits"):
        most, zones = row.whole("open_max"), row.names("zones")
        if most is not None and zones and most >= len(zones):
            ledger.warn(
                "limit-without-effect",
                f"{most} of {len(zones)} zones may be open at once; the limit never binds",
                table="open_limits",
                row=row,
                column="open_max",
            )


def _check_target(ledger: Ledger, row: Row) -> None:
    scope, name = row.text("scope"), row.text("id")
    if not scope or "id" in row.bad:
        return
    if scope == "site":
        if name:
            ledger.error(
                "closure-target",
                f"{shorten(name)}: a closure of the site has no id; leave the cell empty, or"
                " change the scope",
                table="closures",
                row=row,
                column="id",
            )
        return
    if not name:
        ledger.missing(
            f"write which {scope} is closed",
            table="closures",
            row=row,
            column="id",
        )
        return
    known = _known(ledger, scope)
    if name not in known:
        if scope == "process":
            ledger.error(
                "unknown-reference",
                f"{shorten(name)} is not a process; write dry or wet",
                table="closures",
                row=row,
                column="id",
            )
            return
        column = replace(CLOSURES.column("id"), refers=_named(ledger, scope))
        note_unknown(ledger, name, known, table="closures", row=row, column=column)


def _named(ledger: Ledger, scope: str) -> tuple[str, ...]:
    owners = _OWNERS[scope]
    if scope != "section":
        return owners
    return tuple(name for name in owners if name == "zones" or ledger.draft.has(name))


def _known(ledger: Ledger, scope: str) -> Collection[str]:
    if scope == "process":
        return PROCESSES
    if scope != "section":
        return known_ids(ledger.draft, _OWNERS[scope][0])
    zones = known_ids(ledger.draft, "zones")
    if not isinstance(zones, dict):
        return zones  # the zones could not be read, and their sections with them
    return {
        row.text("section")
        for table in _OWNERS["section"]
        for row in ledger.draft.rows(table)
        if row.has("section")
    }


def _check_hours(ledger: Ledger, row: Row) -> None:
    for given, empty in (("start", "end"), ("end", "start")):
        if row.has(given) and row.is_empty(empty):
            ledger.missing(
                f"{given} is given, so write the {empty} of the daily hours as"
                " HH:MM, or leave both empty",
                table="closures",
                row=row,
                column=empty,
            )


def _check_span(ledger: Ledger, row: Row) -> None:
    clock = ledger.clock
    first, last = row.moment("from"), row.moment("to")
    if clock is None or {"from", "to"} & row.bad:
        return
    start_min = 0 if first is None else begins(clock, first)
    end_min = clock.horizon_min if last is None else ends(clock, last)
    if first is not None and last is not None and end_min <= start_min:
        ledger.error(
            "end-before-start",
            f"the closure ends ({last}) no later than it begins ({first}); mend the times",
            table="closures",
            row=row,
            column="to",
        )
        return
    covers_all = start_min <= 0 and end_min >= clock.horizon_min
    if covers_all and row.text("scope") == "site" and not _is_partial(row):
        ledger.warn(
            "always-closed",
            "the site is closed for the whole campaign; nothing can be planned",
            table="closures",
            row=row,
            column="from",
        )


def _check_yearly(ledger: Ledger, row: Row) -> None:
    if not row.flag("yearly"):
        return
    for name in ("from", "to"):
        if row.is_empty(name):
            ledger.missing(
                "a closure that comes back every year needs from and to, of any one year",
                table="closures",
                row=row,
                column=name,
            )
    first, last = row.moment("from"), row.moment("to")
    if first is None or last is None:
        return
    if _day(last) > in_year(_day(first), first.year + 1):
        ledger.error(
            "longer-than-a-year",
            f"from {first} to {last} is more than a year; give the season of one year",
            table="closures",
            row=row,
            column="to",
        )


def _day(moment: date) -> date:
    return moment.date() if isinstance(moment, datetime) else moment


def _is_partial(row: Row) -> bool:
    return any(name in row.bad or row.has(name) for name in ("days", "start", "end"))
