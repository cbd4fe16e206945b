"""Tide stations of the shared reference folder, read for the tests beside this file."""

from __future__ import annotations

import csv
import json
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import numpy as np

from planner.access.tide import TideLevel
from planner.model.water import Constituent

FOOT_M = 0.3048


def station(folder: Path, ident: str) -> dict[str, Any]:
    """A station of the U.S. National Oceanic and Atmospheric Administration."""
    table = json.loads((folder / "tides" / "noaa_stations.json").read_text(encoding="utf-8"))
    return next(row for row in table["stations"] if row["id"] == f"noaa/{ident}")


def noaa_tide(row: dict[str, Any], epoch: datetime, *, datum: str) -> TideLevel:
    """Its tide above one of its datums."""
    zero = row["datums_m_above_station_datum"]
    return TideLevel(waves(row["constituents"]), mean_m=zero["MSL"] - zero[datum], epoch_utc=epoch)


def waves(rows: list[Any]) -> tuple[Constituent, ...]:
    return tuple(Constituent(name=n, amplitude_m=a, phase_deg=g) for n, a, g, *_ in rows)


def vlissingen(folder: Path, epoch: datetime) -> TideLevel:
    """Vlissingen with its 94 constants; their phases are for UTC+1 and are turned to UTC."""
    path = folder / "tides" / "rws_vlissingen_constants.json"
    table = json.loads(path.read_text(encoding="utf-8"))
    turned = [(name, size, lag - speed * 1.0) for name, size, lag, speed in table["constituents"]]
    return TideLevel(waves(turned), mean_m=table["mean_level_m_nap"], epoch_utc=epoch)


def rows(folder: Path, name: str) -> list[dict[str, str]]:
    with (folder / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


def utc(text: str) -> datetime:
    return datetime.fromisoformat(text).astimezone(UTC)


def minutes(texts: list[str], epoch: datetime) -> np.ndarray:
    return np.array([(utc(text) - epoch).total_seconds() / 60 for text in texts])


def turning_points(tide: TideLevel, start: float, end: float) -> tuple[np.ndarray, ...]:
    """Times, levels and whether high, of the turning points of a tide's curve."""
    curve = tide.curve(start, end)
    rises = curve.end_m > curve.start_m
    turns = np.flatnonzero(rises[:-1] != rises[1:])
    return curve.end[turns], curve.end_m[turns], rises[turns]
