"""Where the records of a site lie: in ``site`` inside a scenario folder, beside a workbook."""

from __future__ import annotations

from pathlib import Path

JOURNAL = "journal.sqlite"
HISTORY = "issued"


def site_folder(scenario: Path) -> Path:
    """Return the folder of a scenario's records; it need not be there yet."""
    if scenario.is_dir():
        return scenario / "site"
    return scenario.with_name(f"{scenario.stem}-site")


def journal_path(scenario: Path) -> Path:
    """Return the file of the journal."""
    return site_folder(scenario) / JOURNAL


def history_folder(scenario: Path) -> Path:
    """Return the folder of the plans that were issued."""
    return site_folder(scenario) / HISTORY
