"""A residual model kept in a small file, for work on risk later."""

from __future__ import annotations

import json
from dataclasses import asdict
from math import isfinite
from pathlib import Path

from planner.access.residual import LAGS_H, PROBABILITIES, Residual
from planner.core.problems import InputRefusedError, Problem

KIND = "ebbwork residual of water levels"
FORMAT = 1
_HALVES = ("october_to_march", "april_to_september")


def write_residual(path: Path, residual: Residual) -> None:
    """Write a model as JSON; levels in metres, times in hours.

    Raises
    ------
    OSError
        If the file cannot be written.
    """
    given = asdict(residual)
    quantiles = given.pop("quantiles_m")
    persistence = given.pop("persistence")
    content = {
        "kind": KIND,
        "format": FORMAT,
        **{name: round(value, 6) for name, value in given.items()},
        "probabilities": PROBABILITIES,
        "quantiles_m": {
            half: [round(level, 4) for level in row]
            for half, row in zip(_HALVES, quantiles, strict=True)
        },
        "lags_h": LAGS_H,
        "persistence": [round(value, 4) for value in persistence],
    }
    path.write_text(json.dumps(content, indent=1) + "\n", encoding="utf-8")


def read_residual(path: Path) -> Residual:
    """Return a model that :func:`write_residual` wrote.

    Raises
    ------
    InputRefusedError
        If the file is something else.
    OSError
        If it cannot be read.
    """
    try:
        return _residual(json.loads(path.read_text(encoding="utf-8")))
    except (ValueError, KeyError, TypeError) as fault:
        problem = Problem(
            file=path.name,
            message="this is no residual model of this version; write one with ebbwork tide"
            " residual",
            code="no-residual",
        )
        raise InputRefusedError([problem]) from fault


def _residual(content: dict[str, object]) -> Residual:
    rows = content["quantiles_m"]
    if content["kind"] != KIND or content["format"] != FORMAT or not isinstance(rows, dict):
        raise TypeError
    cold, warm = (_numbers(rows[half], len(PROBABILITIES)) for half in _HALVES)
    if list(cold) != sorted(cold) or list(warm) != sorted(warm):
        raise ValueError("quantiles fall")
    single = _numbers(
        [content[name] for name in ("mean_m", "spread_m", "short_h", "long_h", "short_share")], 5
    )
    hours = content["hours"]
    if not isinstance(hours, int) or min(single[2:4]) <= 0 or not 0 <= single[4] <= 1:
        raise ValueError("out of range")
    return Residual(
        hours=hours,
        mean_m=single[0],
        spread_m=single[1],
        quantiles_m=(cold, warm),
        short_h=single[2],
        long_h=single[3],
        short_share=single[4],
        persistence=_numbers(content["persistence"], len(LAGS_H)),
    )


def _numbers(values: object, count: int) -> tuple[float, ...]:
    if not isinstance(values, list) or len(values) != count:
        raise TypeError
    found = tuple(float(value) for value in values)
    if not all(isfinite(value) for value in found):
        raise ValueError("not finite")
    return found
