"""Small valid scenarios as text, to be bent by a test."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path

from planner.core.problems import InputRefusedError, Problem, Severity
from planner.model.campaign import Campaign
from planner.scenario.raw import RawTable, Tables
from planner.scenario.reader import campaign_of

Rows = list[dict[str, str]]

KEYS = {
    "campaign.name": "Small scene",
    "campaign.start": "2027-04-05",
    "campaign.end": "2027-04-11",
    "campaign.time_zone": "Europe/London",
    "water.kind": "none",
}
PLACE = {"x_m": "0", "y_m": "0", "z_m": "0"}
ZONE = {
    "zone": "Z1",
    **PLACE,
    "area_m2": "10",
    "depth_mm": "40",
    "orientation": "overhead",
}
TABLES: dict[str, Rows] = {
    "zones": [ZONE, ZONE | {"zone": "Z2"}],
    "positions": [{"position": "P1", **PLACE}],
    "routes": [
        {"from": "P1", "to": "Z1", "length_m": "30"},
        {"from": "P1", "to": "Z2", "length_m": "35"},
    ],
    "rigs": [{"rig": "R1", "process": "dry", "hose_max_m": "60", "rate_m3_h": "4"}],
    "crews": [{"crew": "A", "kind": "spray", "shift": "day"}],
    "shifts": [{"shift": "day", "days": "Mon;Tue;Wed;Thu;Fri", "start": "07:00", "end": "17:00"}],
}
MIX = {
    "mix": "dry",
    "process": "dry",
    "orientation": "overhead",
    "rebound": "0.35",
    "layer_max_mm": "50",
    "layer_gap_min_h": "12",
    "protect_h": "4",
}


def raw_table(rows: Rows) -> RawTable:
    """Return rows as a raw table; the columns are those that any row has."""
    columns = tuple(dict.fromkeys(name for row in rows for name in row))
    cells = tuple(tuple(row.get(name, "") for name in columns) for row in rows)
    return RawTable(columns=columns, rows=cells)


def scene(keys: Mapping[str, str] | None = None, **tables: Rows | None) -> Tables:
    """Return the small scene with other keys (empty: left out) and tables (None: left out)."""
    entries = {key: text for key, text in {**KEYS, **(keys or {})}.items() if text}
    chosen = {**TABLES, **tables}
    return Tables(
        campaign=entries,
        tables={name: raw_table(rows) for name, rows in chosen.items() if rows is not None},
        lines={key: line for line, key in enumerate(entries, start=2)},
    )


def zones(*changes: Mapping[str, str]) -> Rows:
    """Return the zones Z1, Z2 … with changed cells; a row for each change, two at least."""
    padded = [*changes, *({} for _ in range(2 - len(changes)))]
    return [ZONE | {"zone": f"Z{k}"} | dict(change) for k, change in enumerate(padded, start=1)]


def tidal(
    *changes: Mapping[str, str], keys: Mapping[str, str] | None = None, **tables: Rows | None
) -> Tables:
    """Return the scene under a tide, with changed zones."""
    wet = {"water_max_m": "0.5", "wets_at_m": "never"}
    merged = [wet | dict(change) for change in changes] or [wet]
    while len(merged) < 2:
        merged.append(dict(wet))
    return scene(
        {"water.kind": "tide", **(keys or {})},
        zones=zones(*merged),
        constituents=[{"name": "M2", "amplitude_m": "2", "phase_deg": "30"}],
        **tables,
    )


def sewer(
    *changes: Mapping[str, str], keys: Mapping[str, str] | None = None, **tables: Rows | None
) -> Tables:
    """Return the scene in a sewer, with changed zones."""
    wet = {"water_max_m": "0.3", "wets_at_m": "never", "section": "S1"}
    merged = [wet | dict(change) for change in changes] or [wet]
    while len(merged) < 2:
        merged.append(dict(wet))
    given: dict[str, Rows | None] = {
        "sewer": [SECTION],
        "sewer_pattern": pattern(),
    }
    return scene(
        {
            "water.kind": "sewer",
            "rules.get_in_min": "20",
            "rules.get_out_min": "20",
            **(keys or {}),
        },
        zones=zones(*merged),
        **{**given, **tables},
    )


SECTION = {
    "section": "S1",
    "diameter_m": "1.5",
    "slope": "0.002",
    "manning_n": "0.013",
    "mean_flow_m3_s": "0.1",
}


def pattern(**extra: str) -> Rows:
    """Return a flat pattern of 24 hours."""
    return [{"hour": str(hour), "weekday": "1", "weekend": "1", **extra} for hour in range(24)]


def read(tables: Tables) -> Campaign:
    """Return the campaign of a scene that is right."""
    campaign, _ = campaign_of(tables)
    return campaign


def problems(tables: Tables) -> list[Problem]:
    """Return every problem of a scene, refused or not."""
    try:
        _, warnings = campaign_of(tables)
    except InputRefusedError as refused:
        return list(refused.problems)
    return warnings


def marks(found: Iterable[Problem]) -> list[tuple[str, int | None, str, str]]:
    """Return file, row, column and code of problems."""
    return [(p.file, p.row, p.column, p.code) for p in found]


def only(tables: Tables) -> Problem:
    """Return the one problem of a scene; a second one is a fault of the test or the reader."""
    found = problems(tables)
    assert len(found) == 1, [problem.line() for problem in found]
    return found[0]


def is_error(problem: Problem) -> bool:
    """Return whether a problem refuses the input."""
    return problem.severity is Severity.ERROR


def write_files(folder: Path, files: Mapping[str, str | bytes]) -> Path:
    """Write files into a folder, texts as UTF-8 without changing line ends."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, content in files.items():
        data = content if isinstance(content, bytes) else content.encode("utf-8")
        (folder / name).write_bytes(data)
    return folder
