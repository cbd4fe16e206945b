"""Rows of a sweep on the disk: a journal while it runs, one Parquet file when it is done.

A row bears the hash of its task, so a sweep that was stopped, or is asked for again with more
variants or seeds, takes what is there and plans the rest.  Only the process that leads the sweep
writes.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from io import BytesIO
from pathlib import Path

from planner.scenario.replace import replace_file
from planner.workflow.sweep_task import BOOK_MONEY, PLANNER_MONEY, Row

GOALS = ("finish", "relocations", "cost", "late", "night_runs", "joints")
_TEXT = ("key", "variant", "name", "axis", "goals", "status", "finish", "processes")
_WHOLE = (
    *("seed", "broken_rules", "left_out", "relocations", "windows_used", "crew_shifts"),
    *("site_days", "night_runs", "joints"),
)
_FLAG = ("stopped_early",)
COLUMNS = (
    *("variant", "name", "axis", "at", "seed", "effort", "goals", "status", "stopped_early"),
    "processes",
    *("broken_rules", "planned_m3", "planned_m3_bound", "left_out", "finish", "finish_day"),
    *("relocations", "windows_used", "rebound_m3", "bought_m3", "crew_shifts", "paid_h"),
    *("shut_h", "site_days", "night_runs", "late_days", "joints", "cost", "net", "total"),
    "total_m3",
    *(f"{what}_{goal}" for goal in GOALS for what in ("value", "bound", "gap")),
    *(f"money_{name}" for name in (*PLANNER_MONEY, *BOOK_MONEY)),
    "key",
)
"""Columns of the Parquet file, in order."""


class NotASweepError(Exception):
    """The file that stands there is no sweep, or cannot be read as one."""


class Store:
    """The rows of a sweep at a place on the disk.

    Parameters
    ----------
    path
        The Parquet file; the journal lies beside it until the sweep is done.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        self._journal = path.with_name(f"{path.name}.part")

    def known(self) -> dict[str, Row]:
        """Return the rows that are there, by the hash of their task.

        Raises
        ------
        NotASweepError
            If a file stands there that is no sweep.
        """
        found = (
            {str(row["key"]): row for row in read_rows(self.path)} if self.path.exists() else {}
        )
        if self._journal.exists():
            for line in self._journal.read_text(encoding="utf-8").splitlines():
                row = _row(line)
                if row is not None:
                    found[str(row["key"])] = row
        return found

    def add(self, row: Row) -> None:
        """Keep one more row."""
        self.path.parent.mkdir(parents=True, exist_ok=True)
        with self._journal.open("a", encoding="utf-8") as file:
            file.write(json.dumps(row, ensure_ascii=True) + "\n")

    def close(self, rows: Iterable[Row]) -> None:
        """Write the Parquet file and take the journal away; an old file stays until then."""
        write_rows(self.path, list(rows))
        self._journal.unlink(missing_ok=True)


def _row(line: str) -> Row | None:
    """Return a row of the journal, or None for a line that was not finished."""
    try:
        row = json.loads(line)
    except ValueError:
        return None
    return row if isinstance(row, dict) and "key" in row else None


def write_rows(path: Path, rows: Sequence[Row]) -> None:
    """Write rows as a Parquet file with fixed columns and types."""
    import pyarrow as pa  # noqa: PLC0415 - slow to import
    import pyarrow.parquet as pq  # noqa: PLC0415 - slow to import

    kinds = {name: pa.string() for name in _TEXT}
    kinds |= {name: pa.int64() for name in _WHOLE}
    kinds |= {name: pa.bool_() for name in _FLAG}
    schema = pa.schema([(name, kinds.get(name, pa.float64())) for name in COLUMNS])
    columns = [{name: row.get(name) for name in COLUMNS} for row in rows]
    buffer = BytesIO()
    pq.write_table(pa.Table.from_pylist(columns, schema=schema), buffer)
    replace_file(path, buffer.getvalue())


def read_rows(path: Path) -> list[Row]:
    """Return the rows of a Parquet file.

    Raises
    ------
    NotASweepError
        If it is no Parquet file, or lacks the columns of a sweep.
    """
    import pyarrow as pa  # noqa: PLC0415 - slow to import
    import pyarrow.parquet as pq  # noqa: PLC0415 - slow to import

    try:
        table = pq.read_table(path)
    except (pa.ArrowException, OSError) as error:
        raise NotASweepError(str(error)) from error
    if not set(COLUMNS) <= set(table.column_names):
        raise NotASweepError("it lacks the columns of a sweep")
    rows: list[Row] = table.to_pylist()
    return rows
