"""Whatever is done to a scenario, the reader gives a campaign or a refusal, never a crash."""

from __future__ import annotations

import io
import tempfile
import zipfile
from functools import cache
from pathlib import Path

import pytest
from hypothesis import event, given, settings
from hypothesis import strategies as st

from planner.scenario.campaign_file import campaign_toml
from planner.scenario.dictionary import KEYS, TABLE_BY_NAME
from planner.scenario.raw import RawTable, Tables
from planner.scenario.reader import campaign_of, read_scenario
from planner.scenario.workbook import write_workbook
from planner.scenario.writer import csv_text
from tests.properties.refusals import outcome
from tests.unit.scenario.scenes import MIX, TABLES, raw_table, scene, sewer, tidal

pytestmark = pytest.mark.property

CLOSURES = [
    {"scope": "site", "id": "", "from": "2027-04-06", "to": "2027-04-07", "why": "holiday"},
    {"scope": "position", "id": "P1", "start": "22:00", "end": "06:00", "days": "Sat"},
]
PROGRESS = [{"zone": "Z1", "layer": "1", "done_m3": "0.1", "at": "2027-04-05T12:00", "rig": "R1"}]
WATER_KEYS = {"water.datum_m": "-2", "water.allowance_m": "0.2", "campaign.may_worsen": "0;0.1"}
LEVELS = [{"time": f"2027-04-{day:02d}", "level_m": "0.1"} for day in range(5, 13)]
TIDES = [
    {"time": "2027-04-04T22:00", "level_m": "4", "kind": "high"},
    {"time": "2027-04-05T04:00", "level_m": "1", "kind": "low"},
    {"time": "2027-04-05T10:00", "level_m": "4", "kind": "high"},
]
WET = {"water_max_m": "0.5", "wets_at_m": "never"}


def by_table(kind: str, **tables: list[dict[str, str]]) -> Tables:
    zones = [row | WET for row in TABLES["zones"]]
    return scene({"water.kind": kind}, zones=zones, **tables)


SCENES = (
    tidal(keys=WATER_KEYS, closures=CLOSURES, progress=PROGRESS, mixes=[MIX]),
    sewer(keys={"prices.rig_day.R1": "5"}, closures=CLOSURES),
    by_table("levels", levels=LEVELS),
    by_table("highlow", highlow=TIDES),
)

CELLS = st.sampled_from(
    [
        *("", "never", "0", "-1", "1e300", "nan", "inf", "1e-300", "9" * 400, "0.5", "2", "24"),
        *("yes", "no", "Z1", "Z2", "Z1;Z2", "P1", "R1", "A", "day", "dry", "wet", "site", "S1"),
        *("2027-04-06", "1900-01-01", "2199-12-31", "2027-04-06T24:00", "2027-03-28T01:30"),
        *("00:00", "24:00", "23:59", "Mon", ";", ";;", "40 mm", "1,5", "30%", "=1+1", "@x"),
        *("overhead", "high", "low", "M2", "MZ9", "break_out", "open", "tide", "none", "grid"),
        *("2027-04-06T10:00+15:59", "12:60", "\x00", "\u2028", "a\nb", "z" * 11_000, "\ud800"),
    ]
) | st.text(max_size=8)


@st.composite
def damaged_tables(draw: st.DrawFn) -> Tables:
    """Return a scenario with a few cells, keys, columns or rows changed, gone or doubled."""
    tables = draw(st.sampled_from(SCENES))
    keys, raw = dict(tables.campaign), dict(tables.tables)
    for _ in range(draw(st.integers(1, 4))):
        if draw(st.booleans()):
            key = draw(st.sampled_from([key.name for key in KEYS]))
            keys[key] = draw(CELLS)
        else:
            name = draw(st.sampled_from(sorted(raw)))
            raw[name] = draw(damaged_table(name, raw[name]))
    return Tables(campaign=keys, tables=raw, form=tables.form, lines=tables.lines)


@st.composite
def damaged_table(draw: st.DrawFn, name: str, table: RawTable) -> RawTable:
    rows = [dict(zip(table.columns, cells, strict=True)) for cells in table.rows]
    kind = draw(st.sampled_from(["cell", "cell", "cell", "drop row", "double row", "drop column"]))
    event(kind)
    if kind == "cell" and rows:
        column = draw(st.sampled_from(TABLE_BY_NAME[name].column_names))
        draw(st.sampled_from(rows))[column] = draw(CELLS)
    elif kind == "drop row" and rows:
        rows.pop(draw(st.integers(0, len(rows) - 1)))
    elif kind == "double row" and rows:
        rows.append(draw(st.sampled_from(rows)))
    elif kind == "drop column" and table.columns:
        gone = draw(st.sampled_from(table.columns))
        rows = [{key: text for key, text in row.items() if key != gone} for row in rows]
    return raw_table(rows)


@given(damaged_tables())
@settings(max_examples=400)
def test_changed_cells_columns_and_rows_give_a_campaign_or_a_refusal(tables):
    event(f"refused={outcome(lambda: campaign_of(tables))}")


@cache
def files() -> dict[str, bytes]:
    texts = {f"{name}.csv": csv_text(table) for name, table in SCENES[0].tables.items()}
    texts["campaign.toml"] = campaign_toml(SCENES[0].campaign)
    return {name: text.encode() for name, text in texts.items()}


@cache
def workbook_bytes() -> bytes:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "a.xlsx"
        write_workbook(SCENES[0], path)
        return path.read_bytes()


@cache
def workbook_parts() -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(workbook_bytes())) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


@st.composite
def damaged_bytes(draw: st.DrawFn, data: bytes) -> bytes:
    """Return bytes with a stretch cut out, doubled, overwritten or put in."""
    start = draw(st.integers(0, len(data)))
    end = min(len(data), start + draw(st.integers(0, 40)))
    middle = draw(
        st.sampled_from([b"", data[start:end] * 2, b"\x00", b"\xff\xfe", b'"', b",", b"\n", b"["])
        | st.binary(max_size=8)
    )
    return data[:start] + middle + data[end:]


@given(st.data())
@settings(max_examples=150)
def test_changed_bytes_of_a_folder_give_a_campaign_or_a_refusal(data):
    content = dict(files())
    for _ in range(data.draw(st.integers(1, 3))):
        name = data.draw(st.sampled_from(sorted(content)))
        content[name] = data.draw(damaged_bytes(content[name]))
    with tempfile.TemporaryDirectory() as folder:
        for name, part in content.items():
            (Path(folder) / name).write_bytes(part)
        event(f"refused={outcome(lambda: read_scenario(Path(folder)))}")


def read_bytes(data: bytes) -> bool:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "a.xlsx"
        path.write_bytes(data)
        return outcome(lambda: read_scenario(path))


@given(st.data())
@settings(max_examples=100)
def test_changed_bytes_of_a_workbook_give_a_campaign_or_a_refusal(data):
    event(f"refused={read_bytes(data.draw(damaged_bytes(workbook_bytes())))}")


@given(st.data())
@settings(max_examples=150)
def test_changed_parts_inside_a_workbook_give_a_campaign_or_a_refusal(data):
    parts = dict(workbook_parts())
    name = data.draw(st.sampled_from(sorted(parts)))
    parts[name] = data.draw(damaged_bytes(parts[name]))
    if data.draw(st.integers(0, 9)) == 0:
        del parts[name]
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as archive:
        for part, content in parts.items():
            archive.writestr(part, content)
    event(f"refused={read_bytes(buffer.getvalue())}")
