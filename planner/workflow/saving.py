"""A scenario that was edited goes back to its folder or workbook, or away as one file."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from planner.core.problems import InputRefusedError
from planner.scenario.campaign_file import campaign_toml
from planner.scenario.dictionary import CAMPAIGN
from planner.scenario.dictionary.price_book import PRICE_BOOK
from planner.scenario.price_book import price_book_toml
from planner.scenario.raw import Form, Tables, label
from planner.scenario.replace import replace_folder
from planner.scenario.tables import WORKBOOK_SUFFIX, load_tables
from planner.scenario.toml_patch import patched
from planner.scenario.workbook import refuse_lossy, write_workbook
from planner.scenario.writer import OWN_FILES, scenario_files

_Writer = Callable[[Mapping[str, str]], str]
_STAMP = (2000, 1, 1, 0, 0, 0)
"""Time of every file in a zip, so that the same tables give the same bytes."""


def write_back(tables: Tables, path: Path) -> None:
    """Write a scenario to its folder or workbook, whole or not at all.

    Files of a folder that say the same already stay as they are; comments of the files of keys
    are kept beside changed values, too, where their lines allow it.

    Raises
    ------
    planner.core.problems.InputRefusedError
        If a text cannot be kept by a workbook.
    OSError
        If the disk does not let us; what lay there stands then.
    """
    if path.suffix.lower() == WORKBOOK_SUFFIX and not path.is_dir():
        write_workbook(tables, path)
        return
    files = scenario_files(tables)
    if path.is_dir():
        _keep_own_words(files, tables, path)
    replace_folder(path, files, own=OWN_FILES)


def _keep_own_words(files: dict[str, bytes], tables: Tables, folder: Path) -> None:
    """Leave files that say the same as they are, and the comments of those of keys."""
    there, _ = load_tables(folder)
    for name in (CAMPAIGN, PRICE_BOOK, *tables.tables):
        old = folder / label(name, Form.FOLDER)
        if old.name not in files or not old.is_file():
            continue
        if _same(tables, there, name):
            files[old.name] = old.read_bytes()
        elif name in _KEYS:
            entries, write = _KEYS[name](tables)
            text = patched(old.read_text(encoding="utf-8-sig"), entries, write)
            files[old.name] = files[old.name] if text is None else text.encode()


_KEYS: dict[str, Callable[[Tables], tuple[Mapping[str, str], _Writer]]] = {
    CAMPAIGN: lambda tables: (tables.campaign, campaign_toml),
    PRICE_BOOK: lambda tables: (tables.book, price_book_toml),
}


def _same(one: Tables, other: Tables, name: str) -> bool:
    if name == CAMPAIGN:
        return dict(one.campaign) == dict(other.campaign)
    if name == PRICE_BOOK:
        return dict(one.book) == dict(other.book)
    return name in one.tables and one.tables[name] == other.tables.get(name)


def scenario_zip(tables: Tables, folder: str) -> bytes:
    """Return a scenario folder as a zip file."""
    packed = BytesIO()
    with ZipFile(packed, "w", ZIP_DEFLATED) as archive:
        for name, data in scenario_files(tables).items():
            entry = ZipInfo(f"{folder}/{name}", _STAMP)
            entry.compress_type = ZIP_DEFLATED
            entry.external_attr = 0o644 << 16
            archive.writestr(entry, data)
    return packed.getvalue()


def scenario_workbook(tables: Tables) -> bytes:
    """Return a scenario as one workbook.

    Raises
    ------
    planner.core.problems.InputRefusedError
        If a text cannot be kept by a workbook.
    """
    with TemporaryDirectory() as folder:
        path = Path(folder) / f"scenario{WORKBOOK_SUFFIX}"
        write_workbook(tables, path)
        return path.read_bytes()


def workbook_problem(tables: Tables) -> str:
    """Return the first text that a workbook cannot keep, as a line; empty: there is none."""
    try:
        refuse_lossy(tables)
    except InputRefusedError as refused:
        return refused.problems[0].line()
    return ""
