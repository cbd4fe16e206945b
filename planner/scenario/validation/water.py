"""Tides, tables of high and low water, and series of levels."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from itertools import pairwise

from planner.core.clock import MINUTES_PER_HOUR, Clock
from planner.scenario.build_water import row_minute
from planner.scenario.calendar import is_ambiguous
from planner.scenario.constituents import canonical_name
from planner.scenario.draft import Row
from planner.scenario.grid import shorten
from planner.scenario.suggest import did_you_mean
from planner.scenario.validation.ledger import Ledger

GAP_CLOSED_MIN = 3 * MINUTES_PER_HOUR
"""A longer gap of a level series is closed (contract, levels.csv) [min]."""
_TIDE_GAP_ODD_MIN = 20 * MINUTES_PER_HOUR
"""Neighbouring high and low waters further apart are odd: even diurnal tides turn sooner [min]."""
_RADIANS_MAX = 6.2832
_RADIANS_ROWS = 5
_NODAL_MOST = 1.2
"""Nodal factors lift the sum of the amplitudes no further than this (from memory: M2 1.04, K1
1.11, O1 1.18, K2 1.3 of a small part)."""

_Timed = tuple[float, Row]


def check_water(ledger: Ledger) -> None:
    """Note what is wrong with the tables of the campaign's kind of water."""
    checks = {"tide": _check_tide, "highlow": _check_highlow, "levels": _check_levels}
    check = checks.get(ledger.water_kind)
    if check is not None:
        check(ledger)
    _check_positions(ledger)
    _warn_of_reach(ledger)


def _check_tide(ledger: Ledger) -> None:
    known = ledger.known_constituents
    rows = ledger.draft.rows("constituents")
    first: dict[str, Row] = {}
    for row in rows:
        name = canonical_name(row.text("name"))
        if not name:
            continue
        if name not in known:
            ledger.error(
                "unknown-constituent",
                f"{shorten(row.text('name'))} is not a tidal constituent that can be predicted"
                f"{did_you_mean(name, known)}; leave out only constituents of a few millimetres",
                table="constituents",
                row=row,
                column="name",
            )
        elif name in first and row.text("name") != first[name].text("name"):
            ledger.error(
                "duplicate",
                f"{name} stands in row {first[name].place} already; each may stand once",
                table="constituents",
                row=row,
                column="name",
            )
        first.setdefault(name, row)
    phases = [phase for row in rows if (phase := row.number("phase_deg")) is not None]
    if len(phases) >= _RADIANS_ROWS and all(0 <= phase <= _RADIANS_MAX for phase in phases):
        ledger.table_warn(
            "odd-number",
            "no phase is above 6.3; phases are degrees, and these look like radians",
            table="constituents",
            column="phase_deg",
        )


def _timed(rows: Sequence[Row], clock: Clock) -> list[_Timed]:
    return [(row_minute(row, clock), row) for row in rows if row.has("time")]


def in_order(
    ledger: Ledger, rows: Sequence[Row], *, table: str, clock: Clock, whose: str = ""
) -> list[_Timed]:
    """Return rows with their minutes in time order; note twins, and rows out of order once."""
    timed = _timed(rows, clock)
    late = next((b for a, b in pairwise(timed) if b[0] < a[0]), None)
    if late is not None:
        ledger.warn(
            "not-in-order",
            f"the row is earlier than the one before it{whose}; the table is sorted by time",
            table=table,
            row=late[1],
            column="time",
        )
    _warn_of_changed_clock(ledger, timed, table=table, clock=clock, whose=whose)
    found: list[_Timed] = []
    for minute, row in sorted(timed, key=lambda pair: pair[0]):
        if found and minute == found[-1][0]:
            ledger.error(
                "duplicate",
                f"the same time as row {found[-1][1].place}{whose}; keep one (where the clock is"
                " put back, give the offset from UTC, for example +01:00)",
                table=table,
                row=row,
                column="time",
            )
        else:
            found.append((minute, row))
    return found


def _warn_of_changed_clock(
    ledger: Ledger, timed: list[_Timed], *, table: str, clock: Clock, whose: str
) -> None:
    """Warn of local times that may be an hour off, once for a series."""
    unsure = [
        row
        for _, row in timed
        if (moment := row.moment("time")) is not None and is_ambiguous(clock, moment)
    ]
    if unsure:
        ledger.warn(
            "clock-change",
            f"this local time{whose} occurs twice, or not at all, because the clock is changed; it"
            " is read with the offset before the change, which may be an hour wrong, so give the"
            f" offset from UTC, for example +01:00 ({len(unsure)} such rows)",
            table=table,
            row=unsure[0],
            column="time",
        )


def warn_of_ends(
    ledger: Ledger, timed: list[_Timed], *, table: str, clock: Clock, whose: str = ""
) -> None:
    """Warn of a series that does not cover the campaign."""
    if not timed:
        return
    if timed[0][0] > 0 or timed[-1][0] < clock.horizon_min:
        ledger.table_warn(
            "water-not-covered",
            f"the times{whose} do not cover the campaign, {clock.first_day} to {clock.last_day};"
            " what lies outside of them counts as closed",
            table=table,
            column="time",
        )


def _check_highlow(ledger: Ledger) -> None:
    clock, rows = ledger.clock, ledger.draft.rows("highlow")
    if clock is None or not rows:
        return
    timed = in_order(ledger, rows, table="highlow", clock=clock)
    warn_of_ends(ledger, timed, table="highlow", clock=clock)
    for before, after in pairwise(timed):
        _check_neighbours(ledger, before, after)
    if len(timed) < 2:
        ledger.table_error(
            "too-few-points", "a tide needs at least one high and one low water", table="highlow"
        )


def _check_neighbours(ledger: Ledger, before: _Timed, after: _Timed) -> None:
    kinds = before[1].text("kind"), after[1].text("kind")
    if "" in kinds:
        return
    row, other = after[1], before[1]
    if kinds[0] == kinds[1]:
        ledger.error(
            "not-alternating",
            f"{kinds[1]} water follows {kinds[0]} water (row {other.place}); highs and lows"
            " alternate, so one is missing or of the wrong kind",
            table="highlow",
            row=row,
            column="kind",
        )
        return
    high, low = (row, other) if kinds[1] == "high" else (other, row)
    high_m, low_m = high.number("level_m"), low.number("level_m")
    if high_m is not None and low_m is not None and high_m <= low_m:
        ledger.error(
            "high-below-low",
            f"the high water of row {high.place}, {high_m:g} m, is not above the low water of row"
            f" {low.place}, {low_m:g} m",
            table="highlow",
            row=row,
            column="level_m",
        )
    _check_gap(ledger, before, after)


def _check_gap(ledger: Ledger, before: _Timed, after: _Timed) -> None:
    keys = ledger.draft.keys
    shift = {kind: keys.number(f"water.{kind}_shift_min") or 0.0 for kind in ("high", "low")}
    gap = after[0] - before[0]
    moved = gap + shift[after[1].text("kind")] - shift[before[1].text("kind")]
    if moved <= 0 < gap:
        ledger.error(
            "shifts-swap-tides",
            "water.high_shift_min and water.low_shift_min put this row before the one of"
            f" row {before[1].place}; the shifts differ by more than the tide takes to turn",
            table="highlow",
            row=after[1],
            column="time",
        )
    elif gap > _TIDE_GAP_ODD_MIN:
        ledger.warn(
            "odd-gap",
            f"{gap / MINUTES_PER_HOUR:.0f} h after the row before it in time; is a high or low"
            " water missing?",
            table="highlow",
            row=after[1],
            column="time",
        )


def _check_levels(ledger: Ledger) -> None:
    clock = ledger.clock
    if clock is None:
        return
    series: dict[str, list[Row]] = defaultdict(list)
    for row in ledger.draft.rows("levels"):
        if "section" not in row.bad:
            series[row.text("section")].append(row)
    used = {row.text("section") for row in ledger.draft.rows("zones")}
    for section, rows in series.items():
        whose = f" of section {shorten(section)}" if section else ""
        timed = in_order(ledger, rows, table="levels", clock=clock, whose=whose)
        _check_series(ledger, timed, rows[0], clock=clock, whose=whose)
        if section and section not in used:
            ledger.warn(
                "not-used",
                f"no zone is in section {shorten(section)}{did_you_mean(section, used)}",
                table="levels",
                row=rows[0],
                column="section",
            )


def _check_series(
    ledger: Ledger, timed: list[_Timed], first: Row, *, clock: Clock, whose: str
) -> None:
    if len(timed) < 2:
        ledger.error(
            "too-few-points",
            f"the series{whose} has one time; levels are drawn between two at least",
            table="levels",
            row=first,
            column="time",
        )
        return
    warn_of_ends(ledger, timed, table="levels", clock=clock, whose=whose)
    gaps = [(b[0] - a[0], b[1]) for a, b in pairwise(timed) if b[0] - a[0] > GAP_CLOSED_MIN]
    if gaps:
        minutes, row = gaps[0]
        ledger.warn(
            "odd-gap",
            f"{len(gaps)} gap{'s' if len(gaps) > 1 else ''} of more than 3 h in the series{whose}"
            f" count as closed; the first, {minutes / MINUTES_PER_HOUR:.1f} h, ends here",
            table="levels",
            row=row,
            column="time",
        )


def _check_positions(ledger: Ledger) -> None:
    for row in ledger.draft.rows("positions"):
        least, most = row.number("water_min_m"), row.number("water_max_m")
        name = "water_max_m" if most is not None else "water_min_m"
        if least is None and most is None:
            continue
        if least is not None and most is not None and least > most:
            ledger.error(
                "water-min-above-max",
                f"{least:g} m is above water_max_m, {most:g} m; the position could never be used",
                table="positions",
                row=row,
                column="water_min_m",
            )
        if ledger.water_kind == "none":
            ledger.warn(
                "column-not-used",
                'the level is not used, because water.kind is "none"',
                table="positions",
                row=row,
                column=name,
            )
        elif _is_without_level(ledger):
            ledger.error(
                "position-without-level",
                "a position has no section, and no level holds for all sections; leave the cell"
                " empty and close the position in closures where water comes to it",
                table="positions",
                row=row,
                column=name,
            )


def _is_without_level(ledger: Ledger) -> bool:
    if ledger.water_kind == "sewer":
        return True
    rows = ledger.draft.rows("levels")
    return ledger.water_kind == "levels" and bool(rows) and all(r.has("section") for r in rows)


def source_range_m(ledger: Ledger) -> tuple[float, float] | None:
    """Return lowest and highest level that the source can give, above site datum, or None [m].

    For tides it is a little wider than what happens, for series with sections it is None.
    """
    table = {"tide": "constituents", "highlow": "highlow", "levels": "levels"}.get(
        ledger.water_kind, ""
    )
    rows, keys = ledger.draft.rows(table), ledger.draft.keys
    column = "amplitude_m" if table == "constituents" else "level_m"
    values = [value for row in rows if (value := row.number(column)) is not None]
    datum_m, factor = keys.number("water.datum_m"), 1.0
    if not values or len(values) < len(rows) or any(row.has("section") for row in rows):
        return None
    if table == "constituents":
        mean_m, reach_m = keys.number("water.mean_level_m"), sum(values) * _NODAL_MOST
        values = [-reach_m, reach_m]
        datum_m = None if datum_m is None or mean_m is None else datum_m + mean_m
    elif table == "highlow":
        factor = keys.number("water.range_factor") or 1.0
    if datum_m is None:
        return None
    return datum_m + factor * min(values), datum_m + factor * max(values)


def _warn_of_reach(ledger: Ledger) -> None:
    """Warn of levels that the water never comes near: wrong units or a wrong datum."""
    span = source_range_m(ledger)
    if span is None:
        return
    low_m, high_m = span
    limits: list[float] = []
    for row in ledger.draft.rows("zones"):
        most = row.number("water_max_m")
        if most is None:
            continue
        limits.append(most)
        if most < low_m:
            ledger.warn(
                "never-open",
                f"{most:g} m is below the lowest water of the source, {low_m:.2f} m above the site"
                " datum; the zone will have no window (are units and datum right?)",
                table="zones",
                row=row,
                column="water_max_m",
            )
    if limits and min(limits) > high_m:
        ledger.table_warn(
            "water-never-stops",
            f"every water_max_m is above the highest water of the source, {high_m:.2f} m above the"
            " site datum; are units and datum right?",
            table="zones",
            column="water_max_m",
        )
