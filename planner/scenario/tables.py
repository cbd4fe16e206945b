"""Raw tables of a scenario from a folder or a workbook."""

from __future__ import annotations

from pathlib import Path

from planner.scenario.findings import Findings
from planner.scenario.folder import load_folder
from planner.scenario.raw import Form, RawTable, Tables, labels

__all__ = ["RawTable", "Tables", "load_tables", "read_tables"]

WORKBOOK_SUFFIX = ".xlsx"


def read_tables(path: Path) -> Tables:
    """Return the raw tables of a scenario folder or workbook.

    Raises
    ------
    InputRefusedError
        If the files cannot be read as tables.
    """
    tables, findings = load_tables(path)
    findings.raise_errors()
    return tables


def load_tables(path: Path) -> tuple[Tables, Findings]:
    """Return the raw tables as far as they can be read, and what is wrong with the files."""
    if path.suffix.lower() == WORKBOOK_SUFFIX and not path.is_dir():
        from planner.scenario.sheets import load_workbook  # noqa: PLC0415 - slow to import

        findings = Findings(labels(Form.WORKBOOK))
        return load_workbook(path, findings), findings
    findings = Findings(labels(Form.FOLDER))
    if not path.is_dir():
        findings.error(
            "scenario-missing",
            "there is no such scenario; give a folder with campaign.toml, or an .xlsx workbook",
            file=str(path),
        )
        return Tables(campaign={}, tables={}), findings
    return load_folder(path, findings), findings
