"""Read risk.toml: every slip in one go, each with its line, key and what would be right."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from planner.core.problems import InputRefusedError, Problem
from planner.model.wet_weather import MonthLoss
from planner.risk.inputs import KEY_OF, MONTHS, Key, RiskInputs, usual
from planner.risk.spread import Shape, Three
from planner.scenario.campaign_file import toml_lines
from planner.scenario.suggest import did_you_mean

FILE = "risk.toml"
_FIELDS = {
    "growth.area": "growth_area",
    "growth.depth": "growth_depth",
    "growth.same_section": "growth_section",
    "rate.factor": "rate",
    "rate.same_rig": "rate_rig",
    "rebound.factor": "rebound",
    "rebound.same_mix": "rebound_mix",
    "breakdown.hours_between": "breakdown_hours",
    "breakdown.repair_h": "repair_h",
    "late.start_min": "late_min",
    "late.overtime_min": "overtime_min",
    "panels.fail": "panel_fail",
    "weather.lost": "weather_lost",
    "weather.spell_days": "weather_spell_days",
    "chance.shape": "shape",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Given:
    """What risk.toml says.

    Attributes
    ----------
    inputs
        Defaults with the file's values in their place; the residual is not read here.
    residual
        Name of the residual's file, relative to risk.toml; None: none.
    tells_weather
        Whether the file says what weather takes, so that weather_allowance.csv does not count.
    """

    inputs: RiskInputs
    residual: str | None = None
    tells_weather: bool = False


def read_inputs(path: Path) -> Given:
    """Return what a file says.

    Raises
    ------
    InputRefusedError
        With every problem of the file.
    OSError
        If it cannot be read.
    """
    return parse_inputs(path.read_bytes(), name=path.name)


def parse_inputs(content: bytes, *, name: str = FILE) -> Given:
    """Return what the bytes of a file say.

    Raises
    ------
    InputRefusedError
        With every problem of the file.
    """
    try:
        text = content.decode("utf-8-sig")
        flat = dict(_flat(tomllib.loads(text)))
    except (UnicodeDecodeError, tomllib.TOMLDecodeError, RecursionError) as fault:
        message = f"not a TOML file in UTF-8: {fault}; write keys as in docs/risk.md"
        raise InputRefusedError([_problem(name, None, "", message)]) from fault
    lines = toml_lines(text)
    problems: list[Problem] = []
    found: dict[str, Any] = {}
    for key, value in flat.items():
        try:
            found[key] = _value(key, value)
        except ValueError as fault:
            problems.append(_problem(name, lines.get(key), key, str(fault)))
    if problems:
        raise InputRefusedError(problems)
    return _given(found)


def with_allowance(given: Given, months: tuple[MonthLoss, ...]) -> RiskInputs:
    """Return the inputs with weather_allowance.csv, where neither file nor surge tell weather.

    The allowance of a tidal site is mostly surge: with a residual it would count twice.
    """
    inputs = given.inputs
    if given.tells_weather or given.residual is not None or not months:
        return inputs
    by_month = {row.month: row.lost for row in months}
    most = KEY_OF["weather.lost"].high
    lost = tuple(min(most, by_month.get(month, 0.0)) for month in range(1, MONTHS + 1))
    return replace(inputs, weather_lost=lost)


def _given(found: Mapping[str, Any]) -> Given:
    fields = {field: found[name] for name, field in _FIELDS.items() if name in found}
    return Given(
        inputs=replace(usual(), **fields),
        residual=found.get("surge.residual"),
        tells_weather="weather.lost" in found,
    )


def _flat(document: Mapping[str, Any], prefix: str = "") -> list[tuple[str, Any]]:
    rows: list[tuple[str, Any]] = []
    for name, value in document.items():
        if isinstance(value, dict):
            rows.extend(_flat(value, f"{prefix}{name}."))
        else:
            rows.append((f"{prefix}{name}", value))
    return rows


def _value(name: str, value: object) -> object:
    key = KEY_OF.get(name)
    if key is None:
        msg = f"there is no such key{did_you_mean(name, KEY_OF)}"
        raise ValueError(msg)
    if key.count == 0:
        return _text(key, value)
    if name == "breakdown.hours_between" and value is not False and value == 0:
        return None
    if key.count == 1:
        return _number(key, value)
    return _months(key, value) if key.count == MONTHS else _three(key, value)


def _text(key: Key, value: object) -> object:
    if not isinstance(value, str) or not value.strip():
        msg = f"{value!r} is no text; write it in double quotes"
        raise ValueError(msg)
    if key.name != "chance.shape":
        return value.strip()
    if value not in set(Shape):
        msg = f'"{value}" is no shape; write "triangle" or "pert"'
        raise ValueError(msg)
    return Shape(value)


def _number(key: Key, value: object) -> float:
    unit = "" if key.unit == "1" else f" {key.unit}"
    right = f"write a number from {key.low:g} to {key.high:g}{unit}"
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        msg = f"{value!r} is no number; {right}"
        raise ValueError(msg)
    if not key.low <= value <= key.high:
        msg = f"{value:g} lies outside; {right}"
        raise ValueError(msg)
    return float(value)


def _three(key: Key, value: object) -> Three:
    right = f"write three numbers in rising order, for example [{key.default}]"
    if not isinstance(value, list) or len(value) != 3:
        msg = f"least, most likely and greatest value are wanted; {right}"
        raise ValueError(msg)
    low, mode, high = (_number(key, one) for one in value)
    if not low <= mode <= high:
        msg = f"{low:g}, {mode:g}, {high:g} do not rise; {right}"
        raise ValueError(msg)
    return Three(low=low, mode=mode, high=high)


def _months(key: Key, value: object) -> tuple[float, ...]:
    if isinstance(value, list):
        if len(value) != MONTHS:
            msg = f"{len(value)} numbers; write one, or twelve from January to December"
            raise ValueError(msg)
        return tuple(_number(key, one) for one in value)
    return (_number(key, value),) * MONTHS


def _problem(file: str, row: int | None, column: str, message: str) -> Problem:
    return Problem(file=file, row=row, column=column, message=message, code="risk-input")
