"""Read, write, read: nothing is lost between folder, tables and workbook."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import event, example, given, settings
from hypothesis import strategies as st

from planner.scenario.dictionary import KEYS, TABLES
from planner.scenario.dictionary.price_book import BOOK_KEYS
from planner.scenario.raw import RawTable, Tables
from planner.scenario.reader import campaign_of
from planner.scenario.tables import read_tables
from planner.scenario.workbook import write_workbook
from planner.scenario.writer import write_folder
from tests.properties.refusals import outcome

pytestmark = pytest.mark.property

LOST = "x005F_"  # letters that a workbook cannot keep; the writer refuses them

# Line breaks, quotes, separators, formulas, escapes of spreadsheets and letters of the world.
LETTERS = st.sampled_from(
    "aZ09.,;:\"'=+-@#\n\t\\/_ x{}[]()&<>é€ß漢🌊\u00a0\u2028"
) | st.characters(exclude_categories=("Cs", "Cc"), exclude_characters="\ufeff\ufffe\uffff")
CELLS = (
    st.sampled_from(["", "", "Z1", "0.10", "1e3", "yes", "2027-04-05", "_x000D_", "=1+1", "'7"])
    | st.text(LETTERS, max_size=12)
).map(lambda text: text.replace("\r", "").strip())
NAMES = CELLS.filter(bool)


@st.composite
def raw_tables(draw: st.DrawFn, columns: tuple[str, ...]) -> RawTable:
    names = draw(st.lists(st.sampled_from(columns) | NAMES, unique=True, max_size=6))
    row = st.tuples(*(CELLS for _ in names))
    rows = draw(st.lists(row, max_size=5))
    while rows and not any(rows[-1]):
        rows.pop()
    return RawTable(columns=tuple(names), rows=tuple(rows) if names else ())


@st.composite
def scenarios(draw: st.DrawFn) -> Tables:
    keys = st.sampled_from([key.name for key in KEYS]) | NAMES
    entries = draw(st.dictionaries(keys, CELLS, max_size=8))
    chosen = draw(st.lists(st.sampled_from(TABLES), unique_by=lambda t: t.name, max_size=4))
    tables = {table.name: draw(raw_tables(table.column_names)) for table in chosen}
    rates = st.sampled_from([key.name for key in BOOK_KEYS]) | NAMES
    return Tables(
        campaign=entries, tables=tables, book=draw(st.dictionaries(rates, CELLS, max_size=4))
    )


def is_kept(tables: Tables) -> bool:
    texts = [*tables.campaign, *tables.campaign.values(), *tables.book, *tables.book.values()]
    for table in tables.tables.values():
        texts += [*table.columns, *(cell for row in table.rows for cell in row)]
    return not any(LOST in text for text in texts)


def through(tables: Tables, *ways: Callable[[Tables, Path], Path]) -> Tables:
    with tempfile.TemporaryDirectory() as name:
        for step, way in enumerate(ways):
            tables = read_tables(way(tables, Path(name) / str(step)))
    return tables


def folder(tables: Tables, path: Path) -> Path:
    write_folder(tables, path)
    return path


def workbook(tables: Tables, path: Path) -> Path:
    write_workbook(tables, path.with_suffix(".xlsx"))
    return path.with_suffix(".xlsx")


@given(scenarios())
@settings(max_examples=150)
@example(Tables(campaign={"campaign.name": '"\\u0041"', "campaign": "x"}, tables={}))
@example(Tables(campaign={}, tables={"zones": RawTable(columns=("a",), rows=(("",), ("1",)))}))
def test_a_folder_gives_back_what_was_written(tables):
    event(f"tables={len(tables.tables)}")
    assert through(tables, folder) == tables


@given(scenarios().filter(is_kept))
@settings(max_examples=60)
@example(Tables(campaign={"x": "_x000D_"}, tables={"zones": RawTable(columns=("a\nb",))}))
def test_a_workbook_gives_back_what_was_written(tables):
    event(f"cells={sum(len(t.rows) * len(t.columns) for t in tables.tables.values()) > 0}")
    assert through(tables, workbook) == tables


@given(scenarios().filter(is_kept))
@settings(max_examples=25)
def test_folder_and_workbook_may_follow_each_other_in_any_order(tables):
    assert through(tables, folder, workbook, folder, workbook) == tables


@given(scenarios())
@settings(max_examples=150)
def test_tables_of_any_content_give_a_campaign_or_a_refusal(tables):
    event(f"refused={outcome(lambda: campaign_of(tables))}")
