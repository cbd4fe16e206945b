"""A scenario as a folder of CSV tables and campaign.toml, whole or not at all."""

from __future__ import annotations

import csv
from collections.abc import Sequence
from io import StringIO
from pathlib import Path

from planner.scenario.campaign_file import campaign_toml
from planner.scenario.dictionary import CAMPAIGN, TABLES
from planner.scenario.dictionary.price_book import PRICE_BOOK
from planner.scenario.price_book import price_book_toml
from planner.scenario.raw import Form, RawTable, Tables, label
from planner.scenario.replace import replace_folder

OWN_FILES = frozenset(
    label(name, Form.FOLDER) for name in (CAMPAIGN, PRICE_BOOK, *(t.name for t in TABLES))
)
"""Files of a scenario; whatever else lies in its folder (a plan, notes) is kept."""


def write_folder(tables: Tables, path: Path) -> None:
    """Write a scenario folder; an old one stays until the new one is whole.

    Tables that the old folder had and the new scenario has not are removed; other files and
    folders in it are kept.

    Raises
    ------
    OSError
        If the disk does not let us; the old folder stands then.
    """
    replace_folder(path, scenario_files(tables), own=OWN_FILES)


def scenario_files(tables: Tables) -> dict[str, bytes]:
    """Return the files of a scenario folder by name."""
    files = {label(CAMPAIGN, Form.FOLDER): campaign_toml(tables.campaign).encode()}
    for table in TABLES:
        raw = tables.tables.get(table.name)
        if raw is not None:
            files[label(table.name, Form.FOLDER)] = csv_text(raw).encode()
    if tables.book:
        files[label(PRICE_BOOK, Form.FOLDER)] = price_book_toml(tables.book).encode()
    return files


def csv_text(raw: RawTable) -> str:
    """Return a raw table as CSV with line feeds; reading it gives the same table."""
    buffer = StringIO(newline="")
    writer = csv.writer(buffer, lineterminator="\n")
    rows: Sequence[Sequence[str]] = (raw.columns, *raw.rows) if raw.columns else ()
    for cells in rows:
        writer.writerow(cells)
    return buffer.getvalue()
