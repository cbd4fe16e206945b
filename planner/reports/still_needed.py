"""What a scenario that is not whole yet still needs, table by table."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

import pandas as pd

from planner.core.problems import Problem, Severity
from planner.scenario.dictionary import CAMPAIGN, TABLES, Need
from planner.scenario.raw import Tables


def still_needed(tables: Tables, problems: Iterable[Problem]) -> pd.DataFrame:
    """Return every table that is there, is needed, or has something wrong in it."""
    wrong = Counter(problem.file for problem in problems if problem.severity is Severity.ERROR)
    rows: list[dict[str, object]] = [
        {
            "Table": "settings",
            "Lists": "dates, water, rules and prices of the campaign",
            "Rows": len(tables.campaign),
            "To mend": wrong[tables.label(CAMPAIGN)],
        }
    ]
    for table in TABLES:
        bad = wrong[tables.label(table.name)]
        raw = tables.tables.get(table.name)
        if raw is None and table.need is not Need.ALWAYS and not bad:
            continue
        rows.append(
            {
                "Table": table.name,
                "Lists": table.title,
                "Rows": 0 if raw is None else len(raw.rows),
                "To mend": bad,
            }
        )
    return pd.DataFrame(rows)
