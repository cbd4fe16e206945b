"""Taking over a list whose headings are its own: match, look at the result, accept."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence

import pandas as pd
import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from planner.core.problems import InputRefusedError, Severity
from planner.reports.column_words import heading
from planner.reports.labels import count
from planner.scenario.dictionary import TABLE_BY_NAME, Column, Table
from planner.scenario.raw import RawTable, Tables
from planner.scenario.survey.headings import Match, suggested
from planner.scenario.survey.listing import Listing, read_listings, text_listing
from planner.scenario.survey.takeover import Way, cell_problems, merged, taken_over
from planner.scenario.units import units_like
from planner.screens import components, sheet_state, state
from planner.screens.editor.problem_list import problem_frame
from planner.screens.state import Workspace
from planner.screens.text import plain
from planner.workflow.editing import with_table
from planner.workflow.opening import UPLOAD_BYTES_MAX
from planner.workflow.sheet import shown_columns, what_changed

LEAVE = "leave out"
SHOWN = 30
SAMPLES = 3
TURN = "list"
"""After each list the fields are empty again."""


def show_list_import(work: Workspace, tables: Tables, name: str) -> None:
    """Show the way from a survey list, or pasted cells, to rows of a table."""
    table = TABLE_BY_NAME[name]
    with st.expander("Take over a list (survey, spreadsheet, pasted cells)", key="list-import"):
        st.markdown(
            "A list may have headings and units of its own: say which column is which, look at "
            "what comes of it, then accept. Nothing is changed before."
        )
        listings = _listings(work, name)
        if not listings:
            return
        listing = listings[0]
        if len(listings) > 1:
            titles = [one.name for one in listings]
            chosen = st.selectbox("Sheet", titles, key=f"list-sheet-{name}")
            listing = next(one for one in listings if one.name == chosen)
        _take_over(tables, table, listing)


def _listings(work: Workspace, name: str) -> Sequence[Listing]:
    turn = f"{name}-{sheet_state.turn(TURN)}"
    file = st.file_uploader(
        "A .csv or .xlsx file", type=["csv", "txt", "tsv", "xlsx"], key=f"list-file-{turn}"
    )
    pasted = st.text_area("Or paste cells here", key=f"list-text-{turn}", height=90)
    try:
        if file is not None:
            content = file.getvalue()
            if len(content) > UPLOAD_BYTES_MAX:
                st.error("This file is too big.")
                return ()
            mark = hashlib.sha256(content).hexdigest()
            return work.view(f"list-{mark}", lambda: read_listings(file.name, content))
        if pasted.strip():
            return (text_listing(pasted, name="pasted cells"),)
    except InputRefusedError as refused:
        st.error(plain(refused.problems[0].line()))
    return ()


def _take_over(tables: Tables, table: Table, listing: Listing) -> None:
    mark = hashlib.sha256(repr((table.name, listing.name, listing.rows[:3])).encode())
    stem = f"list-{mark.hexdigest()[:12]}"
    with st.container(horizontal=True, vertical_alignment="bottom"):
        row = int(
            st.number_input(
                "Heading in row (0: none)",
                0,
                len(listing.rows),
                listing.heading_row() + 1,
                key=f"{stem}-row",
                width=190,
            )
        )
        has_comma = st.checkbox(
            "Decimals with a comma", value=listing.has_comma, key=f"{stem}-comma"
        )
    raw = tables.tables.get(table.name)
    body = listing.rows[row:]
    if not body:
        st.info("There are no rows below the heading.")
        return
    headings = listing.rows[row - 1] if row else ()
    matches = _matches(table, raw, headings, body, f"{stem}-{row}", has_comma=has_comma)
    fresh = taken_over(body, matches, table, has_comma=has_comma)
    if not fresh.columns:
        st.info("Say which column is which; none is taken over yet.")
        return
    _preview(fresh, table)
    _accept(tables, table, fresh, stem)


def _matches(
    table: Table,
    raw: RawTable | None,
    headings: Sequence[str],
    body: Sequence[Sequence[str]],
    stem: str,
    *,
    has_comma: bool,
) -> list[Match]:
    """Show for each column of the list where it goes, in which unit, and what comes of it."""
    if headings:
        guessed = suggested(headings, table)
    else:
        order = shown_columns(table, raw, all_of_them=False)
        known = [name for name in order if name in table.column_names]
        guessed = tuple(
            Match(place=place, target=name, unit=table.column(name).unit)
            for place, name in enumerate(known[: len(body[0])])
        ) + tuple(Match(place=p, target="", unit="") for p in range(len(known), len(body[0])))
    words = {LEAVE: LEAVE} | {c.name: f"{heading(c)} · {c.name}" for c in table.columns}
    found = []
    for guess in guessed:
        told = headings[guess.place] if headings else f"column {guess.place + 1}"
        samples = [row[guess.place] for row in body if row[guess.place]][:SAMPLES]
        left, middle, right = st.columns([3, 3, 2], vertical_alignment="center")
        left.markdown(f"**{plain(told) or '(no heading)'}**")
        left.caption(plain(", ".join(samples)) or "empty")
        target = middle.selectbox(
            f"{plain(told)} goes to",
            list(words),
            index=list(words).index(guess.target or LEAVE),
            format_func=words.__getitem__,
            key=f"{stem}-{guess.place}",
            label_visibility="collapsed",
        )
        if target == LEAVE:
            continue
        column = table.column(str(target))
        key = f"{stem}-{guess.place}"
        unit = _unit(right, column, guess, samples, key=key, table=table, has_comma=has_comma)
        found.append(Match(place=guess.place, target=str(target), unit=unit))
    return _without_twins(found, words)


def _unit(
    place: DeltaGenerator,
    column: Column,
    guess: Match,
    samples: Sequence[str],
    *,
    key: str,
    table: Table,
    has_comma: bool,
) -> str:
    target = column.name
    units = units_like(column.unit)
    if len(units) < 2:
        return column.unit
    start = guess.unit if guess.target == target and guess.unit in units else column.unit
    unit = str(
        place.selectbox(
            "in",
            units,
            index=units.index(start),
            key=f"{key}-{target}-unit",
            format_func=lambda one: f"in {one}" if one != "1" else "as a share",
            label_visibility="collapsed",
        )
    )
    if unit != column.unit and samples:
        match = Match(place=0, target=target, unit=unit)
        one = taken_over([[samples[0]]], [match], table, has_comma=has_comma)
        result = one.rows[0][0] if one.rows else ""
        place.caption(f"{plain(samples[0])} {unit} → {plain(result)} {column.unit}")
    return unit


def _without_twins(found: list[Match], words: dict[str, str]) -> list[Match]:
    used: dict[str, Match] = {}
    for match in found:
        if match.target in used:
            st.warning(f"Two columns go to {words[match.target]}; only the first is taken over.")
        used.setdefault(match.target, match)
    return list(used.values())


def _preview(fresh: RawTable, table: Table) -> None:
    st.markdown(f"**What comes of it** ({count(len(fresh.rows), 'row')})")
    labels = [heading(table.column(name)) for name in fresh.columns]
    components.table(
        pd.DataFrame(list(fresh.rows[:SHOWN]), columns=labels, dtype="str"),
        key="list-preview",
        alt="The first rows as they would stand in the table",
    )
    if len(fresh.rows) > SHOWN:
        st.caption(f"The first {SHOWN} are shown.")
    found = cell_problems(fresh, table)
    wrong = [problem for problem in found if problem.severity is Severity.ERROR]
    if wrong:
        st.markdown(
            f"✗ {count(len(wrong), 'thing')} to mend; that can be done after accepting, too."
        )
        components.table(
            problem_frame(wrong[:SHOWN], fresh, table.name),
            key="list-problems",
            alt="What is wrong in the rows to be taken over",
        )


def _accept(tables: Tables, table: Table, fresh: RawTable, stem: str) -> None:
    old = tables.tables.get(table.name)
    with st.container(horizontal=True, vertical_alignment="bottom"):
        way: Way | None = st.selectbox(
            "And the rows that are there",
            list(Way),
            key=f"{stem}-way",
            width=360,
            format_func=lambda one: str(one)[:1].upper() + str(one)[1:],
        )
        if st.button(f"Accept {count(len(fresh.rows), 'row')}", key="list-accept", type="primary"):
            new = merged(old or RawTable(columns=()), fresh, table, way or Way.ADD)
            what = what_changed(table.name, old, new)
            state.change_tables(with_table(tables, table.name, new), what=f"list: {what}")
            state.say_once(f"{count(len(fresh.rows), 'row')} taken over into {table.name}.")
            sheet_state.next_turn(TURN)
            st.rerun()
