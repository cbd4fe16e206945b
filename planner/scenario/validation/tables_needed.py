"""Tables that must be there, and have rows."""

from __future__ import annotations

from planner.scenario.dictionary import CAMPAIGN, TABLES, WATER_TABLES, Need
from planner.scenario.raw import Form
from planner.scenario.validation.ledger import Ledger


def check_tables(ledger: Ledger) -> None:
    """Note tables that the contract, the kind of water or the kind of reach needs."""
    needed = {
        table.name: "every scenario needs it" for table in TABLES if table.need is Need.ALWAYS
    }
    if ledger.draft.keys.value("reach.by") == "routes":
        needed["routes"] = 'reach.by is "routes"'
    for name in WATER_TABLES.get(ledger.water_kind, ()):
        needed[name] = f'water.kind is "{ledger.water_kind}"'
    for name, why in needed.items():
        _check_needed(ledger, name, why)
    _warn_of_idle_water(ledger, needed)


def _check_needed(ledger: Ledger, name: str, why: str) -> None:
    what = "sheet" if ledger.draft.raw.form is Form.WORKBOOK else "file"
    if not ledger.draft.has(name):
        ledger.table_error("missing-table", f"the {what} is missing; {why}", table=name)
    elif not ledger.draft.rows(name) and name not in ledger.draft.damaged:
        ledger.table_error(
            "empty-table", f"the {what} has no rows below its heading; {why}", table=name
        )


def _warn_of_idle_water(ledger: Ledger, needed: dict[str, str]) -> None:
    if not ledger.water_kind:
        return
    key = f"{ledger.draft.label(CAMPAIGN)} says water.kind is"
    for names in WATER_TABLES.values():
        for name in names:
            if name not in needed and ledger.draft.rows(name):
                ledger.table_warn(
                    "table-not-used",
                    f'the table is not used, because {key} "{ledger.water_kind}"',
                    table=name,
                )
