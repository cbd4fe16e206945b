"""The keys of the campaign as a form, grouped in plain words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import streamlit as st

from planner.core.problems import Problem, Severity
from planner.reports.column_words import explained, heading, short_rule
from planner.scenario.dictionary import CAMPAIGN, KEYS, PRICE_OWNERS, Column, Kind, key_column
from planner.scenario.dictionary.shapes import PROCESSES
from planner.scenario.raw import RawTable, Tables
from planner.screens import state
from planner.screens.draft_content import table_content
from planner.screens.state import Workspace
from planner.screens.text import plain
from planner.workflow.editing import with_keys
from planner.workflow.sheet import choices_for

FIELD_PX = 280
GROUPS = {
    "campaign": "What and when",
    "water": "Water",
    "rules": "Working rules",
    "reach": "Hose reach",
    "daylight": "Daylight",
    "holidays": "Public holidays",
    "waves": "Waves",
    "temperature": "Air temperature",
    "quality": "Tests and quality",
    "cure": "Curing",
    "prices": "Prices",
}
"""First word of a key, and what the group is called; new groups get their own name."""
OPEN = ("campaign", "water")
ONLY_FOR = {
    "water.mean_level_m": "tide",
    "water.high_shift_min": "highlow",
    "water.low_shift_min": "highlow",
    "water.range_factor": "highlow",
}
"""Keys that mean something for one kind of water only."""
PRICE_WORDS = {
    "prices.rig_day": "Rigs, for each day on the job",
    "prices.crew_shift": "Crews, for each shift worked",
    "prices.crew_standby_day": "Crews, for each idle day between",
    "prices.material_m3": "Mixes, for each m³ bought",
    "prices.hose_m3": "Hose wear, for each m³ through it",
    "prices.line_waste_m3": "Lost in the line at each run",
    "prices.load_min_m3": "Smallest load for a run",
    "prices.load_step_m3": "Loads in whole steps of",
}


def show_settings(work: Workspace, tables: Tables) -> None:
    """Show every key with what it means; each is kept as soon as it is left."""
    content = table_content(
        RawTable(columns=("key", "value"), rows=tuple(tables.campaign.items()))
    )
    stem = state.sheet_key(CAMPAIGN, content)
    found: dict[str, list[Problem]] = {}
    for problem in work.problems:
        if problem.file == tables.label(CAMPAIGN):
            found.setdefault(problem.column, []).append(problem)
    for group, keys in _grouped(tables).items():
        wrong = sum(
            problem.severity is Severity.ERROR for key in keys for problem in found.get(key, ())
        )
        title = GROUPS.get(group, group.capitalize()) + (f" · {wrong} to mend" if wrong else "")
        with st.expander(title, expanded=group in OPEN or bool(wrong), key=f"group-{group}"):
            if group == "prices":
                st.caption("All in one currency of your own; every price that is empty is 0.")
            _fields(keys, tables, stem, found)
    _strangers(tables, stem, found)


def _grouped(tables: Tables) -> dict[str, list[str]]:
    kind = tables.campaign.get("water.kind", "")
    groups: dict[str, list[str]] = {group: [] for group in GROUPS}
    for column in KEYS:
        group = column.name.partition(".")[0]
        for key in _names(column, tables):
            only = ONLY_FOR.get(key, kind)
            if only == kind or tables.campaign.get(key):
                groups.setdefault(group, []).append(key)
    return {group: keys for group, keys in groups.items() if keys}


def _names(column: Column, tables: Tables) -> Iterable[str]:
    """Return the keys that a description stands for: one for each rig, crew, mix or process."""
    stem = column.name.removesuffix(".*")
    if stem == column.name:
        return (column.name,)
    given = [key.removeprefix(f"{stem}.") for key in tables.campaign if key.startswith(f"{stem}.")]
    return [f"{stem}.{name}" for name in dict.fromkeys((*_owners(stem, tables), *given))]


def _owners(stem: str, tables: Tables) -> tuple[str, ...]:
    owner = PRICE_OWNERS[stem]
    if owner == "process":
        return PROCESSES
    reference = Column(name=stem, kind=Kind.IDENTIFIER, meaning="", refers=(owner,))
    return choices_for(reference, tables, ())


def _fields(
    keys: list[str], tables: Tables, stem: str, found: Mapping[str, list[Problem]]
) -> None:
    by_price: dict[str, list[str]] = {}
    for key in keys:
        by_price.setdefault(next((g for g in PRICE_OWNERS if key.startswith(f"{g}.")), ""), [])
        by_price[next((g for g in PRICE_OWNERS if key.startswith(f"{g}.")), "")].append(key)
    for price, members in by_price.items():
        if price:
            st.markdown(f"**{PRICE_WORDS.get(price, price)}**")
        with st.container(horizontal=True, vertical_alignment="top"):
            for key in members:
                with st.container(width=FIELD_PX):
                    _field(key, tables, stem, found.get(key, ()), is_short=bool(price))


def _field(
    key: str, tables: Tables, stem: str, problems: Iterable[Problem], *, is_short: bool
) -> None:
    column = key_column(key)
    if column is None:
        return
    text, widget = tables.campaign.get(key, ""), f"{stem}-{key}"
    label = plain(key.split(".", 2)[2]) + f" ({column.unit})" if is_short else heading(column, key)
    label += " *" if column.is_required else ""
    words = explained(column, key)
    if column.name == "campaign.goal":
        items = [part.strip() for part in text.split(";") if part.strip()]
        options = list(dict.fromkeys((*column.choices, *items)))
        st.multiselect(
            label,
            options,
            default=items,
            key=widget,
            help=words,
            on_change=_set,
            args=(key, widget),
        )
    elif offered := choices_for(column, tables, [text]):
        options = ["", *offered]
        st.selectbox(
            label,
            options,
            index=options.index(text),
            key=widget,
            help=words,
            on_change=_set,
            args=(key, widget),
        )
    else:
        st.text_input(
            label,
            value=text,
            key=widget,
            help=words,
            on_change=_set,
            args=(key, widget),
            placeholder=column.example if column.is_required else "",
        )
    if not is_short:
        st.caption(f"{column.meaning} ({plain(short_rule(column))})")
    for problem in problems:
        sign = "✗" if problem.severity is Severity.ERROR else "!"
        st.markdown(f"**{sign}** {plain(problem.message)}")


def _set(key: str, widget: str) -> None:
    """Keep a key as it was written."""
    shown = state.seen()
    if shown is None:
        return
    value = state.widget_value(widget)
    text = ";".join(value) if isinstance(value, list) else str(value or "").strip()
    if text == shown.tables.campaign.get(key, ""):
        return
    tables = with_keys(shown.tables, {key: text})
    if state.change_tables(tables, what=f"settings: {key}"):
        rows = tuple(tables.campaign.items())
        state.sheet_kept(CAMPAIGN, table_content(RawTable(columns=("key", "value"), rows=rows)))


def _strangers(tables: Tables, stem: str, found: Mapping[str, list[Problem]]) -> None:
    """Show keys that are not known, so that a misspelt one can be mended or taken out."""
    strangers = [key for key in tables.campaign if key_column(key) is None]
    if not strangers:
        return
    with st.expander(f"Keys that are not known ({len(strangers)})", expanded=True):
        for key in strangers:
            st.text_input(
                plain(key),
                value=tables.campaign[key],
                key=f"{stem}-{key}",
                on_change=_set,
                args=(key, f"{stem}-{key}"),
                help="Empty takes the key out",
            )
            for problem in found.get(key, ()):
                st.markdown(f"**✗** {plain(problem.message)}")
