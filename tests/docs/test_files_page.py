"""docs/files.md says what the data dictionary and the plan folder say."""

from pathlib import Path

from planner.plan.rows import COLUMNS
from planner.scenario.dictionary import KEYS, TABLES
from planner.scenario.dictionary.price_book import BOOK_KEYS
from tests.docs.files_page import generated, with_generated


def test_the_page_on_files_is_what_the_data_dictionary_says(
    repository: Path, update_golden: bool
) -> None:
    page = repository / "docs" / "files.md"
    text = page.read_text(encoding="utf-8")
    if update_golden:
        page.write_text(with_generated(text), encoding="utf-8")
    assert with_generated(text) == text or update_golden, "run this test with --update-golden"


def test_every_table_column_and_key_of_the_dictionary_is_on_the_page() -> None:
    text = generated()
    named = [key.name for key in (*KEYS, *BOOK_KEYS)]
    named += [column.name for table in TABLES for column in table.columns]
    assert [name for name in named if f"| `{name}` |" not in text] == []
    assert [table.name for table in TABLES if f"## {table.name}.csv" not in text] == []


def test_the_page_names_every_column_of_a_plan_folder_in_order(repository: Path) -> None:
    text = (repository / "docs" / "files.md").read_text(encoding="utf-8")
    for name, columns in COLUMNS.items():
        row = next(line for line in text.splitlines() if line.startswith(f"| `{name}` |"))
        places = [row.find(f"`{column}`", row.index("|", 3)) for column in columns]
        assert -1 not in places, (name, columns)
        assert places == sorted(places), name
