"""Hose routes: their ends, and lengths that cannot be."""

from __future__ import annotations

import math
from collections import Counter

from planner.scenario.dictionary import ROUTES
from planner.scenario.draft import Row
from planner.scenario.grid import shorten
from planner.scenario.suggest import is_slip
from planner.scenario.validation.ledger import Ledger
from planner.scenario.validation.references import note_unknown

_TABLE = "routes"
_RISE_TOLERANCE_M = 2.0
"""A rise may differ this much from the heights of its ends before it is odd [m]."""
_LENGTH_TOLERANCE_M = 0.5
"""A hose may be this much shorter than the straight line before it is odd [m]."""

_Point = tuple[float, float, float]


def check_routes(ledger: Ledger) -> None:
    """Note what is wrong with routes.csv."""
    if ledger.draft.keys.value("reach.by") != "routes" or not ledger.draft.rows(_TABLE):
        return
    rows = ledger.draft.rows(_TABLE)
    places = _places(ledger)
    _check_ends(ledger, set(places))
    _check_twins(ledger)
    for row in rows:
        _check_line(ledger, row, places)
    _warn_of_islands(ledger)


def _places(ledger: Ledger) -> dict[str, _Point | None]:
    found: dict[str, _Point | None] = {}
    for table in ("positions", "zones", "waypoints"):
        for name, row in ledger.draft.ids(table).items():
            x, y, z = row.number("x_m"), row.number("y_m"), row.number("z_m")
            known = None if x is None or y is None or z is None else (x, y, z)
            found.setdefault(name, known)
    return found


def _check_ends(ledger: Ledger, known: set[str]) -> None:
    if not all(ledger.draft.is_whole(table) for table in ("positions", "zones")):
        return
    if "waypoints" in ledger.draft.damaged:
        return
    has_waypoints = bool(ledger.draft.rows("waypoints"))
    uses = Counter(row.text(end) for row in ledger.draft.rows(_TABLE) for end in ("from", "to"))
    for row in ledger.draft.rows(_TABLE):
        for end in ("from", "to"):
            name = row.text(end)
            if not name or name in known:
                continue
            if has_waypoints:
                note_unknown(ledger, name, known, table=_TABLE, row=row, column=ROUTES.column(end))
            elif uses[name] == 1:
                _warn_of_dead_end(ledger, name, known, row=row, column=end)


def _warn_of_dead_end(
    ledger: Ledger, name: str, known: set[str], *, row: Row, column: str
) -> None:
    close = next((other for other in sorted(known) if is_slip(name, other)), None)
    meant = f'; did you mean "{close}"?' if close else ""
    ledger.warn(
        "dead-end",
        f"{shorten(name)} is no position or zone and stands in no other route; the leg leads"
        f" nowhere{meant}",
        table=_TABLE,
        row=row,
        column=column,
    )


def _check_twins(ledger: Ledger) -> None:
    first: dict[frozenset[str], Row] = {}
    for row in ledger.draft.rows(_TABLE):
        pair = frozenset((row.text("from"), row.text("to")))
        if "" in pair:
            continue
        if len(pair) == 1:
            ledger.error(
                "route-to-itself",
                f"the route begins and ends at {shorten(row.text('from'))}",
                table=_TABLE,
                row=row,
                column="to",
            )
        elif pair in first:
            ledger.warn(
                "duplicate",
                f"row {first[pair].place} joins the same two ends; the better leg is used",
                table=_TABLE,
                row=row,
                column="from",
            )
        first.setdefault(pair, row)


def _check_line(ledger: Ledger, row: Row, places: dict[str, _Point | None]) -> None:
    length_m, rise_m = row.number("length_m"), row.number("rise_m")
    start, end = places.get(row.text("from")), places.get(row.text("to"))
    if length_m is None or rise_m is None:
        return
    if start is not None and end is not None:
        straight_m, height_m = math.dist(start, end), end[2] - start[2]
        if length_m < straight_m - _LENGTH_TOLERANCE_M:
            ledger.warn(
                "too-short-hose",
                f"{length_m:g} m is shorter than the straight line between the ends,"
                f" {straight_m:.1f} m; are lengths and coordinates in metres?",
                table=_TABLE,
                row=row,
                column="length_m",
            )
        if abs(rise_m - height_m) > _RISE_TOLERANCE_M:
            ledger.warn(
                "odd-rise",
                f"{rise_m:g} m where the heights of the ends (z_m) differ by {height_m:.1f} m;"
                " rise_m is to minus from",
                table=_TABLE,
                row=row,
                column="rise_m",
            )
    elif abs(rise_m) > length_m:
        ledger.warn(
            "odd-rise",
            f"a rise of {rise_m:g} m on a hose of {length_m:g} m is impossible in a straight line",
            table=_TABLE,
            row=row,
            column="rise_m",
        )


def _warn_of_islands(ledger: Ledger) -> None:
    if _TABLE in ledger.draft.damaged:
        return
    joined = {row.text(end) for row in ledger.draft.rows(_TABLE) for end in ("from", "to")}
    for table, what in (("zones", "reaches it, so it cannot be planned"), ("positions", "leaves")):
        for name, row in ledger.draft.ids(table).items():
            if name not in joined:
                ledger.warn(
                    "no-route",
                    f"{shorten(name)} stands in no row of {ledger.draft.label(_TABLE)}; no hose"
                    f" {what}",
                    table=table,
                    row=row,
                    column=table.removesuffix("s"),
                )
