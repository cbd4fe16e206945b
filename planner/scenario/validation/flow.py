"""Measured flow, gates and pumps, and the time that an alarm leaves in a sewer."""

from __future__ import annotations

from collections import defaultdict
from itertools import pairwise

from planner.core.clock import MINUTES_PER_HOUR, Clock
from planner.scenario.build_water import control_stretch
from planner.scenario.dictionary import WATER_EXTRAS
from planner.scenario.draft import Row
from planner.scenario.grid import shorten
from planner.scenario.validation.ledger import Ledger
from planner.scenario.validation.water import GAP_CLOSED_MIN, in_order, warn_of_ends

_Stretch = tuple[int, int, Row]


def check_flow(ledger: Ledger) -> None:
    """Note what is wrong with sewer_flow, flow_control and water.warning_min."""
    _check_warning(ledger)
    _warn_of_idle(ledger)
    if ledger.water_kind != "sewer" or ledger.clock is None:
        return
    series: dict[str, list[Row]] = defaultdict(list)
    for row in ledger.draft.rows("sewer_flow"):
        if "section" not in row.bad:
            series[row.text("section")].append(row)
    for section, rows in series.items():
        _check_series(ledger, section, rows, clock=ledger.clock)
    _check_controls(ledger, ledger.clock)


def _warn_of_idle(ledger: Ledger) -> None:
    for kind, names in WATER_EXTRAS.items():
        for name in names:
            if ledger.water_kind not in {"", kind} and ledger.draft.rows(name):
                ledger.table_warn(
                    "table-not-used",
                    f'the table is used only with water.kind "{kind}", here it is'
                    f' "{ledger.water_kind}"',
                    table=name,
                )


def _check_series(ledger: Ledger, section: str, rows: list[Row], *, clock: Clock) -> None:
    whose = f" of section {shorten(section)}"
    timed = in_order(ledger, rows, table="sewer_flow", clock=clock, whose=whose)
    if len(timed) < 2:
        ledger.error(
            "too-few-points",
            f"the series{whose} has one time; flow is drawn between two at least",
            table="sewer_flow",
            row=rows[0],
            column="time",
        )
        return
    warn_of_ends(ledger, timed, table="sewer_flow", clock=clock, whose=whose)
    gaps = [(b[0] - a[0], b[1]) for a, b in pairwise(timed) if b[0] - a[0] > GAP_CLOSED_MIN]
    if gaps:
        ledger.warn(
            "odd-gap",
            f"{len(gaps)} gap{'s' if len(gaps) > 1 else ''} of more than 3 h in the series{whose}"
            f" count as closed; the first, {gaps[0][0] / MINUTES_PER_HOUR:.1f} h, ends here",
            table="sewer_flow",
            row=gaps[0][1],
            column="time",
        )


def _check_controls(ledger: Ledger, clock: Clock) -> None:
    by_section: dict[str, list[_Stretch]] = defaultdict(list)
    for row in ledger.draft.rows("flow_control"):
        stretch = control_stretch(row, clock)
        if stretch is None:
            continue
        if stretch[1] <= stretch[0]:
            ledger.error(
                "ends-before-start",
                f"{row.moment('to')} is not after {row.moment('from')}; write a later end",
                table="flow_control",
                row=row,
                column="to",
            )
        else:
            by_section[row.text("section")].append((*stretch, row))
    for stretches in by_section.values():
        ordered = sorted(stretches, key=lambda one: one[:2])
        for before, after in pairwise(ordered):
            if after[0] < before[1]:
                ledger.error(
                    "overlap",
                    f"begins before the control of row {before[2].place} in the same section"
                    " ends; give one row, with its own factor, for each stretch",
                    table="flow_control",
                    row=after[2],
                    column="from",
                )


def _check_warning(ledger: Ledger) -> None:
    """Warn of zones whose way out takes longer than an alarm leaves."""
    key = "water.warning_min"
    keys = ledger.draft.keys
    warning = keys.number(key)
    if warning is None or not ledger.water_kind:
        return
    if ledger.water_kind == "none":
        ledger.key_warn("key-not-used", 'the key is not used with water.kind "none"', key=key)
        return
    says = (
        f"and water.warning_min leaves {warning:g} min from the alarm to dangerous flow; people"
        " need a nearer way out, a refuge or an earlier alarm before anyone works there (the"
        " operator and the local code decide)"
    )
    zones = ledger.draft.rows("zones")
    for row in zones:
        own = row.number("get_out_min")
        if own is not None and own > warning:
            ledger.warn(
                "way-out-too-long",
                f"getting out of zone {shorten(row.text('zone'))} takes {own:g} min, {says}",
                table="zones",
                row=row,
                column="get_out_min",
            )
    usual = keys.number("rules.get_out_min")
    count = sum(row.is_empty("get_out_min") for row in zones)
    if usual is not None and usual > warning and count:
        ledger.key_warn(
            "way-out-too-long",
            f"getting out takes {usual:g} min for the {count} zones without a get_out_min of"
            f" their own, {says}",
            key="rules.get_out_min",
        )
