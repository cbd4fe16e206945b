"""Which table is on the page: groups in plain words, with what is wrong in each."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

import streamlit as st

from planner.core.problems import Severity
from planner.scenario.dictionary import CAMPAIGN, TABLES, WATER_EXTRAS, WATER_TABLES
from planner.scenario.dictionary.price_book import PRICE_BOOK
from planner.scenario.raw import Tables
from planner.screens.state import Workspace

SETTINGS = "Settings"
MORE = "More"
GROUPS: dict[str, tuple[str, ...]] = {
    SETTINGS: (CAMPAIGN, PRICE_BOOK),
    "Work": ("zones", "apart", "open_limits"),
    "Places and hoses": ("positions", "routes", "waypoints"),
    "Rigs and people": ("rigs", "crews", "shifts", "cards", "resources"),
    "Closures": ("closures", "locks"),
    "Materials": ("mixes", "materials"),
    "Water": (
        *dict.fromkeys(name for names in WATER_TABLES.values() for name in names),
        *(name for names in WATER_EXTRAS.values() for name in names),
        "wet_weather",
    ),
    "Weather": ("waves", "temperature", "temperature_normals", "weather_allowance"),
    "Done so far": ("progress", "results"),
}
"""Tables by what people look for; whatever the dictionary has besides stands under More."""
WORDS = {CAMPAIGN: "campaign", PRICE_BOOK: "price book"}
"""What the forms of keys are called."""


def pick(work: Workspace, tables: Tables) -> str:
    """Show the groups and their tables; return the table chosen (``campaign``: the settings)."""
    wrong = Counter(
        problem.file for problem in work.problems if problem.severity is Severity.ERROR
    )
    every = (CAMPAIGN, PRICE_BOOK, *(table.name for table in TABLES))
    marks = {name: wrong[tables.label(name)] for name in every}
    groups = _groups(tables)
    first = next((group for group, names in groups.items() if any(map(marks.get, names))), None)
    group = st.segmented_control(
        "What to look at",
        list(groups),
        default=first or "Work",
        required=True,
        format_func=lambda name: name + _mark(sum(marks[table] for table in groups[name])),
        key="table-group",
        persist_state="session",
    )
    names = groups.get(str(group), groups[SETTINGS])
    if len(names) == 1:
        return names[0]
    chosen = st.segmented_control(
        "Table",
        names,
        default=next(filter(marks.get, names), names[0]),
        required=True,
        format_func=lambda name: _told(name, tables, marks),
        key=f"table-of-{group}",
        label_visibility="collapsed",
        persist_state="session",
    )
    return str(chosen)


def _groups(tables: Tables) -> dict[str, list[str]]:
    kind = tables.campaign.get("water.kind", "")
    fitting = {*WATER_TABLES.get(kind, ()), *WATER_EXTRAS.get(kind, ()), "wet_weather"}
    listed = {name for names in GROUPS.values() for name in names}
    known = {table.name for table in TABLES} | {CAMPAIGN, PRICE_BOOK}
    groups = {group: [name for name in names if name in known] for group, names in GROUPS.items()}
    if kind:
        groups["Water"] = [
            name for name in groups["Water"] if name in fitting or name in tables.tables
        ]
    more = [table.name for table in TABLES if table.name not in listed]
    return {group: names for group, names in (groups | {MORE: more}).items() if names}


def _told(name: str, tables: Tables, marks: Mapping[str, int]) -> str:
    if name in WORDS:
        return WORDS[name] + _mark(marks[name])
    raw = tables.tables.get(name)
    rows = "" if raw is None else f" ({len(raw.rows)})"
    return f"{name.replace('_', ' ')}{rows}{_mark(marks[name])}"


def _mark(wrong: int) -> str:
    return f" · {wrong} to mend" if wrong else ""
