"""Every check of a scenario, in the order in which a reader would make them."""

from __future__ import annotations

from planner.scenario.validation.identifiers import check_identifiers
from planner.scenario.validation.ledger import Ledger
from planner.scenario.validation.references import check_references
from planner.scenario.validation.tables_needed import check_tables

_CHECKS = (
    check_tables,
    check_identifiers,
    check_references,
)


def validate(ledger: Ledger) -> None:
    """Look at a whole draft and note every problem; no check stops another."""
    for check in _CHECKS:
        check(ledger)
