"""On site: write down what was done, on a phone; see what it says of the rest."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from tempfile import TemporaryDirectory

import streamlit as st

from planner.core.problems import InputRefusedError, Problem
from planner.model.campaign import Campaign
from planner.plan.plan import Plan
from planner.reports.record_book import record_workbook
from planner.reports.standing import standing_sentences
from planner.screens import components
from planner.screens.data_folder import now
from planner.screens.site_place import records_place
from planner.screens.state import Workspace, change_tables, workspace
from planner.screens.text import plain
from planner.site.columns import REASONS
from planner.site.entry import Stored
from planner.site.export import with_tables
from planner.workflow.site import Writer, journal_of, record, standing, take_in, withdraw
from planner.workflow.site_form import (
    entry_line,
    suggestion,
    token_of,
    with_times,
    zone_order,
)

SPRAYED, FOUND, LOST, READY = "Sprayed", "Found", "Lost time", "Ready"
ALL_LEFT, COMPLETE, TOLD = "what the plan says", "nothing, the layer is complete", "this volume"
SHOWN = 12
LABELS = {
    "placed_m3": "In place",
    "left_m3": "Left",
    "bags": "Bags emptied",
    "start": "First spraying",
    "stop": "Last spraying, or time",
    "water_m": "Water seen",
    "lost_min": "Minutes lost",
    "lost_reason": "Why",
    "found_area_m2": "Area",
    "found_depth_mm": "Mean depth",
    "item": "Item",
    "note": "Note",
    "zone": "Zone",
    "layer": "Layer",
    "crew": "Crew",
    "rig": "Rig",
    "position": "Position",
}
"""What the form calls the columns of a record."""
NONE = "none"


def render() -> None:
    work = workspace()
    st.title("On site")
    if not components.needs_scenario(work) or work.loaded is None or work.head is None:
        return
    place = records_place(work.head)
    campaign = work.loaded.campaign
    plan = work.planned.plan if work.planned is not None else None
    stored = journal_of(place).current()
    st.caption(plain(campaign.name))
    by = st.text_input("Who writes", key="site-by", autocomplete="name")
    kind = st.segmented_control(
        "What", (SPRAYED, FOUND, LOST, READY), default=SPRAYED, required=True, key="site-kind"
    )
    corrects = _corrects(campaign, stored)
    cells = _FORMS[str(kind)](campaign, plan, stored)
    if st.button("Write it down", type="primary", key="site-write", width="stretch"):
        _write(place, campaign, cells, by=by, corrects=corrects)
    _latest(place, campaign, by=by)
    _says(work, place, campaign, plan)
    with st.expander("Take in a spreadsheet, carry it into the scenario"):
        _template(campaign, plan)
        _spreadsheet(place, campaign, by=by)
        _carry(work, campaign, place)


def _corrects(campaign: Campaign, stored: tuple[Stored, ...]) -> int | None:
    if not stored:
        return None
    rows = {entry_line(campaign.clock, row): row.number for row in reversed(stored[-SHOWN:])}
    chosen = st.selectbox(
        "Takes the place of an earlier entry", [NONE, *rows], key="site-corrects"
    )
    return rows.get(str(chosen))


def _sprayed(campaign: Campaign, plan: Plan | None, stored: tuple[Stored, ...]) -> dict[str, str]:
    zone = _zone(campaign, plan, stored)
    first = suggestion(campaign, plan, zone, stored, now().date())
    cells = {"zone": zone}
    cells["layer"] = st.text_input("Layer", str(first.layer), key=f"site-layer-{zone}")
    cells["placed_m3"] = st.text_input("In place, m³", key="site-placed", placeholder="0.85")
    day = st.date_input("Day of the first spraying", first.day, key="site-day")
    left, right = st.columns(2)
    start = left.text_input("First spraying", key="site-start", placeholder="09:05")
    stop = right.text_input("Last spraying", key="site-stop", placeholder="10:20")
    cells["bags"] = st.text_input("Bags emptied", key="site-bags", placeholder="64")
    cells["water_m"] = st.text_input(
        "Water seen at the end, m", key="site-water", placeholder="0.15"
    )
    kept = st.radio("Left in this layer", (ALL_LEFT, COMPLETE, TOLD), key="site-left")
    if kept == COMPLETE:
        cells["left_m3"] = "0"
    elif kept == TOLD:
        cells["left_m3"] = st.text_input("Left, m³", key="site-left-m3", placeholder="0.1")
    cells |= _loss(inside=True)
    with st.expander("Rig, crew, position, note", expanded=not first.rig):
        cells["rig"] = _choice("Rig", [r.rig_id for r in campaign.rigs], first.rig)
        cells["crew"] = _choice("Crew", [c.crew_id for c in campaign.crews], first.crew)
        places = [row.position_id for row in campaign.positions]
        cells["position"] = _choice("Position", places, first.position)
        cells["note"] = st.text_input("Note", key="site-note")
    return with_times(cells, day, start, stop)


def _found(campaign: Campaign, plan: Plan | None, stored: tuple[Stored, ...]) -> dict[str, str]:
    zone = _zone(campaign, plan, stored)
    first = suggestion(campaign, plan, zone, stored, now().date())
    st.caption("Measured on the face after break-out; it counts instead of the survey.")
    cells = {"zone": zone}
    cells["found_depth_mm"] = st.text_input("Mean depth, mm", key="site-depth", placeholder="55")
    cells["found_area_m2"] = st.text_input("Area, m²", key="site-area", placeholder="7.1")
    day = st.date_input("Day", first.day, key="site-found-day")
    stop = st.text_input("Time", key="site-found-time", placeholder="11:00")
    cells["note"] = st.text_input("Note", key="site-note")
    return with_times(cells, day, "", stop)


def _lost(campaign: Campaign, plan: Plan | None, stored: tuple[Stored, ...]) -> dict[str, str]:
    first = suggestion(campaign, plan, "", stored, now().date())
    cells = {"crew": _choice("Crew", [c.crew_id for c in campaign.crews], first.crew)}
    cells |= _loss(inside=False)
    day = st.date_input("Day", first.day, key="site-lost-day")
    stop = st.text_input("End of it", key="site-lost-time", placeholder="13:30")
    cells["water_m"] = st.text_input("Water seen then, m", key="site-water", placeholder="0.15")
    cells["note"] = st.text_input("Note", key="site-note")
    return with_times(cells, day, "", stop)


def _ready(_campaign: Campaign, _plan: Plan | None, _stored: tuple[Stored, ...]) -> dict[str, str]:
    st.caption("An item of the look-ahead's list, as it is written there.")
    return {"item": st.text_input("Item", key="site-item", placeholder="position P03")}


_FORMS = {SPRAYED: _sprayed, FOUND: _found, LOST: _lost, READY: _ready}


def _zone(campaign: Campaign, plan: Plan | None, stored: tuple[Stored, ...]) -> str:
    return str(st.selectbox("Zone", zone_order(campaign, plan, stored), key="site-zone"))


def _choice(label: str, options: Sequence[str], first: str) -> str:
    names = ["", *(str(option) for option in options)]
    at = names.index(first) if first in names else 0
    return str(st.selectbox(label, names, index=at, key=f"site-{label}-{first}"))


def _loss(*, inside: bool) -> dict[str, str]:
    where = " between first and last" if inside else ""
    minutes = st.text_input(f"Minutes lost{where}", key="site-lost", placeholder="20")
    if not minutes.strip():
        return {}
    reason = st.selectbox("Why", REASONS, key="site-reason")
    return {"lost_min": minutes, "lost_reason": str(reason)}


def _write(
    place: Path, campaign: Campaign, cells: dict[str, str], *, by: str, corrects: int | None
) -> None:
    if not by.strip():
        st.error("Write first who you are.")
        return
    writer = Writer(by=by, at=now(), token=token_of(cells, by, corrects))
    try:
        done = record(place, campaign, cells, writer, corrects=corrects)
    except InputRefusedError as refused:
        _refused(refused.problems)
        return
    st.success(f"Entry {done.numbers[0]} is written and kept.")
    for warning in done.warnings:
        name = LABELS.get(warning.column, warning.column)
        st.warning(plain(f"{name}: {warning.message}"))


def _refused(problems: tuple[Problem, ...]) -> None:
    st.error("Nothing was written. Mend this first:")
    for problem in problems:
        name = problem.column if problem.row else LABELS.get(problem.column, problem.column)
        where = f"row {problem.row}, {name}" if problem.row else name
        st.markdown(f"- **{plain(where)}**: {plain(problem.message)}")


def _latest(place: Path, campaign: Campaign, *, by: str) -> None:
    stored = journal_of(place).current()
    if not stored:
        return
    st.subheader("Latest entries")
    for row in reversed(stored[-SHOWN:]):
        st.markdown(f"- {plain(entry_line(campaign.clock, row))}")
    with st.expander("Take an entry back"):
        numbers = [row.number for row in reversed(stored)]
        number = st.selectbox("Entry", numbers, key="site-back")
        why = st.text_input("Why", key="site-back-why")
        if st.button("Take it back", key="site-withdraw"):
            if not by.strip():
                st.error("Write first who you are.")
                return
            writer = Writer(by=by, at=now(), token=f"withdraw:{number}:{by}")
            withdraw(place, int(number), writer, why=why)
            st.rerun()


def _says(work: Workspace, place: Path, campaign: Campaign, plan: Plan | None) -> None:
    stored = journal_of(place).stored()
    if not stored or work.head is None:
        return

    def sentences() -> list[str]:
        found = standing(place, campaign, plan)
        return standing_sentences(campaign, found.stored, found.learnt, found.forecast)

    told = work.remember(f"standing-{work.head.revision}-{stored[-1].number}", sentences)
    st.subheader("What that says of the rest")
    st.markdown("\n".join(f"- {plain(sentence)}" for sentence in told))


def _template(campaign: Campaign, plan: Plan | None) -> None:
    clock = campaign.clock
    st.download_button(
        "Workbook to fill in",
        data=lambda: record_workbook(
            campaign, plan, first_day=clock.first_day, last_day=clock.last_day
        ),
        file_name="records.xlsx",
        on_click="ignore",
        key="site-template",
    )


def _spreadsheet(place: Path, campaign: Campaign, *, by: str) -> None:
    file = st.file_uploader("Records as .csv or .xlsx", type=["csv", "xlsx"], key="site-file")
    if file is None or not st.button("Take it in", key="site-import"):
        return
    if not by.strip():
        st.error("Write first who you are.")
        return
    with TemporaryDirectory() as folder:
        path = Path(folder) / Path(file.name).name
        path.write_bytes(file.getvalue())
        try:
            done = take_in(place, campaign, path, Writer(by=by, at=now(), token=""))
        except InputRefusedError as refused:
            _refused(refused.problems)
            return
    st.success(f"{len(done.numbers)} new records were taken in.")


def _carry(work: Workspace, campaign: Campaign, place: Path) -> None:
    stored = journal_of(place).current()
    st.caption(
        "The scenario gets the records as progress, and what break-out found beside its survey. "
        "The next plan starts from there."
    )
    if not st.button("Carry into the scenario", key="site-carry", disabled=not stored):
        return
    if work.tables is not None:
        change_tables(with_tables(work.tables, campaign, stored), what="records of the site")
        st.rerun()


if __name__ == "__main__":
    render()
