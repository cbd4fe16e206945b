"""Tables that must be there, and have rows."""

from __future__ import annotations

from collections.abc import Mapping

from planner.scenario.dictionary import CAMPAIGN, TABLES, WATER_TABLES, Need
from planner.scenario.raw import Form
from planner.scenario.validation.ledger import Ledger


def check_tables(ledger: Ledger) -> None:
    """Note tables that the contract, the kind of water or the kind of reach needs."""
    needed = _needed(ledger)
    for name, why in needed.items():
        _check_needed(ledger, name, why)
    if ledger.draft.keys.value("reach.by") == "grid":
        _warn_of_idle(ledger, "routes", 'reach.by is "grid"')
    _warn_of_idle_water(ledger, needed)


def _needed(ledger: Ledger) -> dict[str, str]:
    """Return the tables that must be there, each with the reason."""
    needed = {
        table.name: "every scenario needs it" for table in TABLES if table.need is Need.ALWAYS
    }
    if ledger.draft.keys.value("reach.by") == "routes" and CAMPAIGN not in ledger.draft.damaged:
        needed["routes"] = 'reach.by is "routes"'
    if ledger.draft.has("mixes"):
        needed["mixes"] = "it replaces the built-in mixes, so fill it or leave it out"
    for name in WATER_TABLES.get(ledger.water_kind, ()):
        if name != "sewer_pattern" or _asks_for_pattern(ledger):
            needed[name] = f'water.kind is "{ledger.water_kind}"'
    return needed


def _check_needed(ledger: Ledger, name: str, why: str) -> None:
    what = "sheet" if ledger.draft.raw.form is Form.WORKBOOK else "file"
    if not ledger.draft.has(name):
        ledger.table_error("missing-table", f"the {what} is missing; {why}", table=name)
    elif not ledger.draft.rows(name) and name not in ledger.draft.damaged:
        ledger.table_error(
            "empty-table", f"the {what} has no rows below its heading; {why}", table=name
        )


def _asks_for_pattern(ledger: Ledger) -> bool:
    """Return whether a section of the sewer has no flow series of its own."""
    if "sewer_flow" in ledger.draft.damaged:
        return False
    measured = {row.text("section") for row in ledger.draft.rows("sewer_flow")}
    sections = {row.text("section") for row in ledger.draft.rows("sewer")}
    return not sections or not sections <= measured


def _warn_of_idle_water(ledger: Ledger, needed: Mapping[str, str]) -> None:
    own = WATER_TABLES.get(ledger.water_kind, ())
    for name in dict.fromkeys(name for names in WATER_TABLES.values() for name in names):
        if ledger.water_kind and name not in needed and name not in own:
            _warn_of_idle(ledger, name, f'water.kind is "{ledger.water_kind}"')


def _warn_of_idle(ledger: Ledger, name: str, why: str) -> None:
    if ledger.draft.rows(name):
        ledger.table_warn(
            "table-not-used",
            f"the table is not used, because {ledger.draft.label(CAMPAIGN)} says {why}",
            table=name,
        )
