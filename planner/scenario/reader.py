"""From a scenario on the disk to a campaign, with every problem in one pass."""

from __future__ import annotations

from collections.abc import Collection
from pathlib import Path

from planner.core.problems import Problem
from planner.model.campaign import Campaign
from planner.scenario.build import build_campaign
from planner.scenario.constituents import KNOWN_CONSTITUENTS
from planner.scenario.draft import draft_of
from planner.scenario.findings import Findings
from planner.scenario.price_book import check_price_book
from planner.scenario.raw import Tables
from planner.scenario.tables import load_tables
from planner.scenario.validation.calendar_days import clock_of
from planner.scenario.validation.ledger import Ledger
from planner.scenario.validation.validate import validate


def read_scenario(
    path: Path, *, known_constituents: Collection[str] = KNOWN_CONSTITUENTS
) -> tuple[Campaign, list[Problem]]:
    """Return the campaign of a scenario folder or workbook, and what is odd about it.

    Parameters
    ----------
    path
        Folder with ``campaign.toml`` and the tables, or an ``.xlsx`` workbook.
    known_constituents
        Names of the tidal constituents that can be predicted.

    Raises
    ------
    InputRefusedError
        With every problem found, warnings included.
    """
    tables, findings = load_tables(path)
    return _campaign(tables, findings, known_constituents=known_constituents)


def campaign_of(
    tables: Tables, *, known_constituents: Collection[str] = KNOWN_CONSTITUENTS
) -> tuple[Campaign, list[Problem]]:
    """Return the campaign of raw tables, and what is odd about it.

    Raises
    ------
    InputRefusedError
        With every problem found, warnings included.
    """
    findings = Findings(tables.labels())
    return _campaign(tables, findings, known_constituents=known_constituents)


def _campaign(
    tables: Tables, findings: Findings, *, known_constituents: Collection[str]
) -> tuple[Campaign, list[Problem]]:
    if not tables.campaign and not tables.tables:
        findings.raise_errors()  # nothing could be read, and why is said
    draft = draft_of(tables, findings)
    clock = clock_of(draft, findings)
    validate(
        Ledger(draft=draft, findings=findings, clock=clock, known_constituents=known_constituents)
    )
    check_price_book(draft, findings)
    findings.raise_errors()
    if clock is None:
        msg = "a scenario without errors has a calendar"
        raise AssertionError(msg)
    return build_campaign(draft, clock), findings.problems()
