"""A scenario folder as raw tables."""

from __future__ import annotations

import csv
from collections.abc import Iterator, Sequence
from io import StringIO
from pathlib import Path

from planner.scenario.campaign_file import TOML_BYTES_MAX, read_campaign_toml, toml_lines
from planner.scenario.dictionary import CAMPAIGN, TABLE_BY_NAME, TABLES, Table
from planner.scenario.dictionary.price_book import PRICE_BOOK
from planner.scenario.files import read_text
from planner.scenario.findings import Findings
from planner.scenario.grid import table_from
from planner.scenario.raw import BYTES_MAX, Form, RawTable, Tables, label
from planner.scenario.suggest import did_you_mean

_HIDDEN = (".", "~", "_")


def load_folder(folder: Path, findings: Findings) -> Tables:
    """Return the raw tables of a folder; what is wrong with its files goes to the findings.

    Only the files of the contract are read; a folder inside (such as ``plan``) is not looked
    into.
    """
    campaign = folder / label(CAMPAIGN, Form.FOLDER)
    entries, lines = _keys(campaign, findings)
    if not campaign.exists():
        findings.error(
            "missing-file",
            "the file is missing; it holds the campaign's keys",
            file=campaign.name,
        )
    book, book_lines = _keys(folder / label(PRICE_BOOK, Form.FOLDER), findings)
    tables: dict[str, RawTable] = {}
    for table in TABLES:
        path = folder / label(table.name, Form.FOLDER)
        if path.exists():
            tables[table.name] = read_csv(path, table, findings)
    _warn_of_strangers(folder, findings)
    return Tables(
        campaign=entries,
        tables=tables,
        form=Form.FOLDER,
        lines=lines,
        book=book,
        book_lines=book_lines,
    )


def _keys(path: Path, findings: Findings) -> tuple[dict[str, str], dict[str, int]]:
    """Return the dotted keys of a TOML file and their lines; nothing where it is not there."""
    if not path.exists():
        return {}, {}
    text = read_text(path, file=path.name, most=TOML_BYTES_MAX, findings=findings)
    if text is None:
        return {}, {}
    return read_campaign_toml(text, file=path.name, findings=findings), toml_lines(text)


def read_csv(path: Path, table: Table, findings: Findings) -> RawTable:
    """Return a file as a raw table; what is wrong with its form goes to the findings."""
    text = read_text(path, file=path.name, most=BYTES_MAX, findings=findings)
    if text is None:
        return RawTable(columns=())
    heading = text.partition("\n")[0]
    for separator, name in ((";", "semicolons"), ("\t", "tabs")):
        known = set(table.column_names) & {part.strip() for part in heading.split(separator)}
        if len(known) > 1:
            findings.error(
                "wrong-separator",
                f"the columns are separated by {name}; save the table with commas",
                file=path.name,
                row=1,
            )
            return RawTable(columns=())
    records = _records(text, file=path.name, findings=findings)
    return table_from(records, file=path.name, findings=findings)


def _records(text: str, *, file: str, findings: Findings) -> Iterator[Sequence[str]]:
    reader = csv.reader(StringIO(text, newline=""), strict=True)
    number = 0
    while True:
        try:
            record = next(reader, None)
        except csv.Error as error:
            findings.error(
                "csv-broken",
                f"{error}, at line {reader.line_num} of the file; a text with a comma, a line"
                " break or a double quote stands in double quotes, and a quote in it is doubled",
                file=file,
                row=number + 1,
            )
            return
        if record is None:
            return
        number += 1
        yield record


RISK = "risk.toml"
"""Read by the study of risk alone: no plan depends on it."""


def _warn_of_strangers(folder: Path, findings: Findings) -> None:
    known = {label(name, Form.FOLDER) for name in (CAMPAIGN, PRICE_BOOK, *TABLE_BY_NAME)}
    known.add(RISK)
    for path in sorted(folder.iterdir()):
        name = path.name
        if (
            name in known
            or name.startswith(_HIDDEN)
            or path.suffix.lower() not in {".csv", ".toml"}
        ):
            continue
        findings.warn(
            "unknown-file",
            f"not a table of a scenario, and not read{did_you_mean(name, known)}",
            file=name,
        )
