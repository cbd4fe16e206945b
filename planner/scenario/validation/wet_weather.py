"""Rain, gauges and the thresholds that go with them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

from planner.scenario.draft import Row
from planner.scenario.grid import shorten
from planner.scenario.suggest import did_you_mean
from planner.scenario.validation.ledger import Ledger
from planner.scenario.validation.water import in_order

_TABLE = "wet_weather"
_THRESHOLDS = {"rain_mm": "water.rain_limit_mm", "level_m": "water.trigger_level_m"}


def check_wet_weather(ledger: Ledger) -> None:
    """Note what is wrong with wet_weather and its keys."""
    rows = ledger.draft.rows(_TABLE)
    _check_keys(ledger, rows)
    series: dict[str, list[Row]] = defaultdict(list)
    for row in rows:
        if all(row.is_empty(name) for name in _THRESHOLDS):
            ledger.missing(
                "write the rain since the row before (0 where there was none), or the gauge's"
                " level in level_m",
                table=_TABLE,
                row=row,
                column="rain_mm",
            )
        if "section" not in row.bad:
            series[row.text("section")].append(row)
    used = {row.text("section") for row in ledger.draft.rows("zones")}
    for section, of_section in series.items():
        _check_series(ledger, section, of_section)
        if section and section not in used:
            ledger.warn(
                "not-used",
                f"no zone is in section {shorten(section)}{did_you_mean(section, used)}",
                table=_TABLE,
                row=of_section[0],
                column="section",
            )


def _check_series(ledger: Ledger, section: str, rows: list[Row]) -> None:
    clock = ledger.clock
    if clock is None:
        return
    whose = f" of section {shorten(section)}" if section else ""
    timed = in_order(ledger, rows, table=_TABLE, clock=clock, whose=whose)
    if timed and (timed[0][0] > 0 or timed[-1][0] < clock.horizon_min):
        ledger.table_warn(
            "weather-not-covered",
            f"the times{whose} do not cover the campaign, {clock.first_day} to {clock.last_day};"
            " what lies outside of them is planned as if it stayed dry",
            table=_TABLE,
            column="time",
        )


def _check_keys(ledger: Ledger, rows: Sequence[Row]) -> None:
    keys = ledger.draft.keys
    if not rows:
        for key in (*_THRESHOLDS.values(), "water.recession_h"):
            if keys.has(key) and _TABLE not in ledger.draft.damaged:
                ledger.key_warn(
                    "key-not-used",
                    f"the key is used only with {ledger.draft.label(_TABLE)}",
                    key=key,
                )
        return
    for column, key in _THRESHOLDS.items():
        if keys.is_empty(key) and any(row.has(column) for row in rows):
            ledger.key_error(
                "missing-key",
                f"the key is missing; {ledger.draft.label(_TABLE)} has {column}, so write from"
                " which value on people must be out",
                key=key,
            )
    if keys.is_empty("water.recession_h"):
        ledger.key_error(
            "missing-key",
            "the key is missing; write the hours from the end of wet weather until people may be"
            " in the flow again",
            key="water.recession_h",
        )
