"""Rigs, crews and shifts."""

from __future__ import annotations

from collections import defaultdict

from planner.core.clock import MINUTES_PER_DAY
from planner.scenario.calendar import on_site
from planner.scenario.draft import Row
from planner.scenario.grid import shorten
from planner.scenario.validation.ledger import Ledger
from planner.scenario.validation.references import owner_label

SHIFT_LONG_MIN = 12 * 60
"""A longer shift without duty_max_h draws a warning (contract, shifts.csv) [min]."""


def check_people(ledger: Ledger) -> None:
    """Note what is wrong with rigs, crews and shifts."""
    for row in ledger.draft.rows("rigs"):
        _check_wet_rig(ledger, row)
        _check_rig_mixes(ledger, row)
        _check_idle(ledger, row)
        _check_stay(ledger, "rigs", row)
    _check_standing(ledger)
    for row in ledger.draft.rows("crews"):
        _check_crew(ledger, row)
        _check_duty(ledger, row)
        _check_stay(ledger, "crews", row)
    _check_somebody_sprays(ledger)
    _check_long_shifts(ledger)


def _check_wet_rig(ledger: Ledger, row: Row) -> None:
    if row.text("process") != "wet":
        return
    for name in ("rise_factor", "bend_m"):
        if row.number(name) is None and row.is_empty(name):
            ledger.missing(
                "a wet rig has no default here, so write the equivalent metres"
                " that its maker gives, or name its type",
                table="rigs",
                row=row,
                column=name,
            )


def _check_rig_mixes(ledger: Ledger, row: Row) -> None:
    process = row.text("process")
    of_mix = ledger.process_of_mix()
    is_known = "mixes" not in ledger.draft.damaged and of_mix
    if process and is_known and process not in of_mix.values():
        ledger.warn(
            "no-mix",
            f"there is no {process} mix in {owner_label(ledger.draft, 'mixes')}; the rig cannot be"
            " used",
            table="rigs",
            row=row,
            column="process",
        )
    for mix in row.names("mixes"):
        if process and of_mix.get(mix, process) != process:
            ledger.error(
                "wrong-process",
                f"{shorten(mix)} is a {of_mix[mix]} mix, and the rig is {process}",
                table="rigs",
                row=row,
                column="mixes",
            )


def _check_idle(ledger: Ledger, row: Row) -> None:
    idle, change = row.number("idle_max_min"), ledger.draft.keys.number("rules.zone_change_min")
    if idle is not None and change is not None and idle < change:
        ledger.warn(
            "odd-number",
            f"{idle:g} min is shorter than rules.zone_change_min, {change:g} min; every spell will"
            " need a run of its own",
            table="rigs",
            row=row,
            column="idle_max_min",
        )


def _check_stay(ledger: Ledger, table: str, row: Row) -> None:
    first, last = row.day("from"), row.day("to")
    if first is not None and last is not None and last < first:
        ledger.error(
            "end-before-start",
            f"{last} lies before from, {first}; swap or mend the dates",
            table=table,
            row=row,
            column="to",
        )
        return
    if ledger.clock is None:
        return
    start_min, end_min = on_site(ledger.clock, row)
    if start_min == end_min:
        ledger.warn(
            "outside-campaign",
            f"from and to lie outside the campaign, {ledger.clock.first_day} to"
            f" {ledger.clock.last_day}; it is never there",
            table=table,
            row=row,
            column="from" if first is not None else "to",
        )


def _check_standing(ledger: Ledger) -> None:
    positions = ledger.draft.ids("positions")
    standing: dict[str, list[str]] = defaultdict(list)
    for row in ledger.draft.rows("rigs"):
        at, process = row.text("at"), row.text("process")
        if at not in positions:
            continue
        standing[at].append(row.text("rig"))
        allowed = positions[at].names("processes")
        if allowed and process and process not in allowed:
            ledger.warn(
                "wrong-process",
                f"the rig stands at {shorten(at)}, which allows {', '.join(allowed)} only",
                table="rigs",
                row=row,
                column="at",
            )
    for at, rigs in standing.items():
        most = positions[at].whole("rigs_max")
        if most is not None and len(rigs) > most:
            ledger.warn(
                "too-many-rigs",
                f"{len(rigs)} rigs stand here at the start ({', '.join(rigs)}), more than"
                f" {most}; some of them cannot work",
                table="positions",
                row=positions[at],
                column="rigs_max",
            )


def _check_crew(ledger: Ledger, row: Row) -> None:
    if row.text("kind") == "break_out":
        if row.is_empty("rate_m3_h"):
            ledger.missing(
                "a break-out crew needs the m³ of concrete that it removes in an hour",
                table="crews",
                row=row,
                column="rate_m3_h",
            )
    elif row.text("kind") == "spray" and row.has("rate_m3_h"):
        ledger.warn(
            "column-not-used",
            "the rate is used for break-out crews only; a spray crew works at the rate of its rig",
            table="crews",
            row=row,
            column="rate_m3_h",
        )


def _check_duty(ledger: Ledger, row: Row) -> None:
    if row.has("duty_max_h") and row.is_empty("rest_min_h"):
        ledger.missing(
            "duty_max_h needs it: work with shorter gaps is one duty; write the least rest in"
            " hours",
            table="crews",
            row=row,
            column="rest_min_h",
        )
    elif row.has("rest_min_h") and row.is_empty("duty_max_h"):
        ledger.warn(
            "column-not-used",
            "the rest is used together with duty_max_h only",
            table="crews",
            row=row,
            column="rest_min_h",
        )


def _check_somebody_sprays(ledger: Ledger) -> None:
    crews = [row for row in ledger.draft.rows("crews") if row.text("kind") == "spray"]
    if ledger.draft.rows("crews") and not crews and not _any_bad(ledger, "crews", "kind"):
        ledger.table_warn(
            "nobody-sprays", "no crew is of kind spray; nothing can be planned", table="crews"
        )
        return
    for row in ledger.draft.rows("rigs"):
        process = row.text("process")
        may = [c for c in crews if not c.names("processes") or process in c.names("processes")]
        if process and crews and not may:
            ledger.warn(
                "nobody-sprays",
                f"no spray crew may work with a {process} rig; it cannot be used",
                table="rigs",
                row=row,
                column="process",
            )


def _any_bad(ledger: Ledger, table: str, column: str) -> bool:
    return any(column in row.bad for row in ledger.draft.rows(table))


def _check_long_shifts(ledger: Ledger) -> None:
    for shift, row in ledger.draft.ids("shifts").items():
        start, end = row.whole("start"), row.whole("end")
        if start is None or end is None:
            continue
        length = (end - start) % MINUTES_PER_DAY or MINUTES_PER_DAY
        tired = [
            crew.text("crew")
            for crew in ledger.draft.rows("crews")
            if crew.text("shift") == shift and crew.is_empty("duty_max_h")
        ]
        if length > SHIFT_LONG_MIN and tired:
            ledger.warn(
                "long-shift",
                f"the shift lasts {length / 60:g} h and its crews {', '.join(tired)} have no"
                " duty_max_h; working hours are for the local code and the employer to limit",
                table="shifts",
                row=row,
                column="end",
            )
