"""docs/equipment.md and docs/cautions.md say what the program does."""

from pathlib import Path

from planner.model.machines import MACHINES, RIG_COLUMNS
from planner.model.sourced import Trust
from tests.docs.equipment_page import generated, with_generated
from tests.unit.trade.sites import every_caution


def test_the_page_on_equipment_is_what_the_catalogue_says(
    repository: Path, update_golden: bool
) -> None:
    page = repository / "docs" / "equipment.md"
    text = page.read_text(encoding="utf-8")
    if update_golden:
        page.write_text(with_generated(text), encoding="utf-8")
    assert with_generated(text) == text or update_golden, "run this test with --update-golden"


def test_every_kind_and_every_column_that_it_fills_is_on_the_page(repository: Path) -> None:
    text = (repository / "docs" / "equipment.md").read_text(encoding="utf-8")
    assert [kind.type_id for kind in MACHINES if f"### `{kind.type_id}`" not in generated()] == []
    assert [column for column in RIG_COLUMNS if f"`{column}`" not in text] == []
    assert [trust for trust in Trust if f"| {trust} |" not in text] == []


def test_every_caution_is_on_its_page_in_the_order_in_which_it_is_shown(repository: Path) -> None:
    text = (repository / "docs" / "cautions.md").read_text(encoding="utf-8")
    places = [text.find(f"| `{caution.code}` |") for caution in every_caution()]
    assert -1 not in places
    assert places == sorted(places)
