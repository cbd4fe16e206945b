"""Changes to a scenario's text, and what the reader says of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from planner.core.problems import InputRefusedError, Problem, Severity
from planner.scenario.dictionary import TABLE_BY_NAME
from planner.scenario.raw import RawTable, Tables, without_blank_tail
from planner.scenario.reader import campaign_of
from planner.workflow.loading import Loaded


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """What the reader makes of a scenario as it is written now.

    Attributes
    ----------
    loaded
        The scenario, or None where something in it is wrong.
    problems
        Everything that is wrong or odd.
    """

    loaded: Loaded | None
    problems: tuple[Problem, ...]

    @property
    def wrong(self) -> int:
        """Return how many things are wrong."""
        return sum(problem.severity is Severity.ERROR for problem in self.problems)


def look_at(tables: Tables) -> Look:
    """Return the campaign of a scenario's text, or what is wrong with it."""
    try:
        campaign, odd = campaign_of(tables)
    except InputRefusedError as refused:
        return Look(loaded=None, problems=refused.problems)
    loaded = Loaded(campaign=campaign, warnings=tuple(odd), tables=tables)
    return Look(loaded=loaded, problems=loaded.warnings)


def with_table(tables: Tables, name: str, table: RawTable | None) -> Tables:
    """Return a scenario with one table put in, or taken out."""
    others = {key: raw for key, raw in tables.tables.items() if key != name}
    if table is not None:
        others[name] = table
    ordered = {key: others[key] for key in TABLE_BY_NAME if key in others}
    return replace(tables, tables=ordered, lines={})


def with_keys(tables: Tables, values: Mapping[str, str]) -> Tables:
    """Return a scenario with some keys of its campaign changed; an empty one is taken out."""
    campaign = dict(tables.campaign)
    for key, text in values.items():
        if text:
            campaign[key] = text
        else:
            campaign.pop(key, None)
    return replace(tables, campaign=campaign, lines={})


def with_row(tables: Tables, name: str, cells: Mapping[str, str]) -> Tables:
    """Return a scenario with one more row at the end of a table, made where it is missing."""
    old = tables.tables.get(name) or RawTable(columns=())
    names = [column.name for column in TABLE_BY_NAME[name].columns]
    fresh = [column for column in names if cells.get(column) and column not in old.columns]
    columns = (*old.columns, *fresh)
    rows = [(*row, *("" for _ in fresh)) for row in old.rows]
    rows.append(tuple(cells.get(column, "") for column in columns))
    return with_table(tables, name, RawTable(columns=columns, rows=without_blank_tail(rows)))
