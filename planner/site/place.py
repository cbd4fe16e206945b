"""Where the records of a site lie: in ``NAME-site`` beside the scenario.

Beside and not inside: saving a scenario replaces its folder as a whole, and nothing may ever move
the journal while somebody writes to it.
"""

from __future__ import annotations

from pathlib import Path

JOURNAL = "journal.sqlite"
HISTORY = "issued"
WORKBOOK = ".xlsx"


def site_folder(scenario: Path) -> Path:
    """Return the folder of a scenario's records; it need not be there yet."""
    place = scenario.resolve()
    name = place.stem if place.suffix.lower() == WORKBOOK else place.name
    return place.with_name(f"{name}-site")


def journal_path(scenario: Path) -> Path:
    """Return the file of the journal."""
    return site_folder(scenario) / JOURNAL


def history_folder(scenario: Path) -> Path:
    """Return the folder of the plans that were issued."""
    return site_folder(scenario) / HISTORY
