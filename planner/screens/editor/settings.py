"""The keys of the campaign, or of its price book, as a form grouped in plain words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import streamlit as st

from planner.core.problems import Problem, Severity
from planner.reports.column_words import explained, heading, short_rule
from planner.scenario.dictionary import CAMPAIGN, Column
from planner.scenario.raw import Tables
from planner.screens import sheet_state, state
from planner.screens.draft_content import table_content
from planner.screens.state import Workspace
from planner.screens.text import plain
from planner.workflow.key_sheet import KEY_SHEETS, KeySheet
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
    "prices": "Prices that a plan is judged by",
    "mobilise": "Bringing plant to site",
    "demobilise": "Clearing the site",
    "break_out": "Break-out",
    "on_top": "Added on top",
    "hose": "Hose wear",
    "extra": "Further items",
}
"""First word of a key, and what the group is called; new groups get their own name."""
OPEN = ("campaign", "water")
FIRST = tuple(GROUPS)
OWNED = {
    "prices.rig_day": "Rigs, for each day on the job",
    "prices.crew_shift": "Crews, for each shift worked",
    "prices.crew_standby_day": "Crews, for each idle day between",
    "prices.material_m3": "Mixes, for each m³ bought",
    "prices.hose_m3": "Hose wear, for each m³ through it",
    "prices.line_waste_m3": "Lost in the line at each run",
    "prices.load_min_m3": "Smallest load for a run",
    "prices.load_step_m3": "Loads in whole steps of",
}
"""What stands above the keys of a group that has one for each rig, crew, mix or process."""

Found = Mapping[str, list[Problem]]


def show_settings(work: Workspace, tables: Tables, name: str = CAMPAIGN) -> None:
    """Show every key with what it means; each is kept as soon as it is left."""
    sheet = KEY_SHEETS[name]
    stem = sheet_state.sheet_key(name, table_content(sheet.content(tables)))
    found: dict[str, list[Problem]] = {}
    for problem in work.problems:
        if problem.file == tables.label(name):
            found.setdefault(problem.column, []).append(problem)
    groups = sheet.grouped(tables)
    for group in _in_order(groups, name):
        keys = groups[group]
        wrong = sum(
            problem.severity is Severity.ERROR for key in keys for problem in found.get(key, ())
        )
        words = GROUPS.get(group, group.replace("_", " ").capitalize())
        title = words + (f" · {wrong} to mend" if wrong else "")
        is_open = (group in OPEN and name == CAMPAIGN) or bool(wrong)
        with st.expander(title, expanded=is_open, key=f"group-{name}-{group}"):
            if group == "prices":
                st.caption("All in one currency of your own; every price that is empty is 0.")
            _fields(sheet, keys, tables, stem, found)
    _strangers(sheet, tables, stem, found)
    _add(sheet, tables)


def _in_order(groups: Iterable[str], name: str) -> list[str]:
    """Return the groups as people fill them in; those of the price book as it is written."""
    if name != CAMPAIGN:
        return list(groups)
    return sorted(groups, key=lambda one: FIRST.index(one) if one in FIRST else len(FIRST))


def _fields(sheet: KeySheet, keys: Iterable[str], tables: Tables, stem: str, found: Found) -> None:
    by_owner: dict[str, list[str]] = {}
    for key in keys:
        by_owner.setdefault(sheet.owner_group(key), []).append(key)
    for group, members in by_owner.items():
        if group:
            column = sheet.describe(members[0])
            words = "" if column is None else column.meaning
            st.markdown(f"**{OWNED[group]}**" if group in OWNED else f"**{words}**")
        with st.container(horizontal=True, vertical_alignment="top"):
            for key in members:
                with st.container(width=FIELD_PX):
                    _field(sheet, key, tables, stem, found.get(key, ()))


def _field(
    sheet: KeySheet, key: str, tables: Tables, stem: str, problems: Iterable[Problem]
) -> None:
    column = sheet.describe(key)
    if column is None:
        return
    owner = sheet.owner_group(key)
    if owner:
        label = f"{plain(key.removeprefix(f'{owner}.'))} ({column.unit})"
    else:
        label = heading(column, key) + (" *" if column.is_required else "")
    _widget(sheet, key, column, tables, named=(stem, label))
    if not owner:
        st.caption(f"{column.meaning} ({plain(short_rule(column))})")
    for problem in problems:
        sign = "✗" if problem.severity is Severity.ERROR else "!"
        st.markdown(f"**{sign}** {plain(problem.message)}")


def _widget(
    sheet: KeySheet, key: str, column: Column, tables: Tables, *, named: tuple[str, str]
) -> None:
    stem, label = named
    text = sheet.entries(tables).get(key, "")
    widget, words = f"{stem}-{key}", explained(column, key)
    args = (sheet.name, key, widget)
    if column.name == "campaign.goal":
        items = [part.strip() for part in text.split(";") if part.strip()]
        options = list(dict.fromkeys((*column.choices, *items)))
        st.multiselect(
            label, options, default=items, key=widget, help=words, on_change=_set, args=args
        )
    elif offered := choices_for(column, tables, [text]):
        choices = ["", *offered]
        st.selectbox(
            label,
            choices,
            index=choices.index(text),
            key=widget,
            help=words,
            on_change=_set,
            args=args,
        )
    else:
        hint = column.example if column.is_required else ""
        st.text_input(
            label,
            value=text,
            key=widget,
            help=words,
            on_change=_set,
            args=args,
            placeholder=hint,
        )


def _set(name: str, key: str, widget: str) -> None:
    """Keep a key as it was written."""
    value = sheet_state.widget_value(widget)
    text = ";".join(value) if isinstance(value, list) else str(value or "").strip()
    _keep(name, key, text, is_own=True)


def _keep(name: str, key: str, text: str, *, is_own: bool) -> None:
    shown = state.seen()
    sheet = KEY_SHEETS[name]
    if shown is None or text == sheet.entries(shown.tables).get(key, ""):
        return
    tables = sheet.changed(shown.tables, {key: text})
    old = sheet.entries(shown.tables).get(key, "")
    told = f"{key} {old[:40] or '(empty)'} → {text[:40] or '(empty)'}"
    where = "settings" if name == CAMPAIGN else "price book"
    if state.change_tables(tables, what=f"{where}: {told}") and is_own:
        sheet_state.sheet_kept(name, table_content(sheet.content(tables)))


def _strangers(sheet: KeySheet, tables: Tables, stem: str, found: Found) -> None:
    """Show keys that are not known, so that a misspelt one can be mended or taken out."""
    strangers = sheet.strangers(tables)
    if not strangers:
        return
    with st.expander(f"Keys that are not known ({len(strangers)})", expanded=True):
        for key in strangers:
            widget = f"{stem}-{key}"
            st.text_input(
                plain(key),
                value=sheet.entries(tables)[key],
                key=widget,
                on_change=_set,
                args=(sheet.name, key, widget),
                help="Empty takes the key out",
            )
            for problem in found.get(key, ()):
                st.markdown(f"**✗** {plain(problem.message)}")


def _add(sheet: KeySheet, tables: Tables) -> None:
    """Offer a further item in the groups that take any name."""
    groups = [group for group, owner in sheet.owners.items() if not owner]
    if not groups:
        return
    turn = sheet_state.turn("item")
    with st.container(horizontal=True, vertical_alignment="bottom"):
        group = st.selectbox(
            "A further item, priced",
            groups,
            format_func=lambda one: one.partition(".")[2].replace("_", " "),
            key="item-group",
            width=200,
        )
        name = st.text_input("Its name", key=f"item-name-{turn}", width=240)
        price = st.text_input("Money", key=f"item-price-{turn}", width=140)
        if st.button("Add it", key="item-add", disabled=not (name.strip() and price.strip())):
            key = f"{group}.{name.strip()}"
            if key in sheet.entries(tables):
                state.say_once(f"{key} is there already.")
            else:
                _keep(sheet.name, key, price.strip(), is_own=False)
                sheet_state.next_turn("item")
            st.rerun()
