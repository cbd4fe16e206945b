"""Machines, air and water of every rig, and what can hurt people."""

from __future__ import annotations

import pandas as pd
import streamlit as st

from planner.model.campaign import Campaign
from planner.model.identifiers import CrewId, RigId, ZoneId
from planner.reports.cautions import (
    IN_PLAN,
    cautions_frame,
    plan_cautions_frame,
    seen_frame,
    tally,
    whom,
)
from planner.screens import components
from planner.screens.navigation import go_to
from planner.screens.state import Workspace, workspace
from planner.screens.text import plain
from planner.trade.caution import Caution
from planner.trade.cautions import cautions_for
from planner.trade.cautions_in_plan import PlanCaution, cautions_in_plan
from planner.workflow import equipment_frames as frames
from planner.workflow.equipment import Equipment, equipment

VIEWS = ("Lines, air and water", "Cautions", "In the plan", "Machine catalogue")
LIMIT = (
    "The rated reach of each rig (hose_max_m, rise_max_m) is the limit that plans keep to. Air, "
    "water and pressure only advise: ask the makers, and follow your local code for pressure "
    "equipment."
)
DEFERS = (
    "This list comes from the tables and approves nothing. Whoever is in charge on site may "
    "always say no."
)
ALL = "all"
SHOWN = 40  # rows of a long table; a text below would show on the page


def render() -> None:
    work = workspace()
    st.title("Equipment and cautions")
    if not components.needs_scenario(work) or work.loaded is None:
        return
    campaign = work.loaded.campaign
    st.caption(plain(campaign.name))
    view = st.segmented_control("Show", VIEWS, default=VIEWS[0], required=True, key="gear-view")
    if view == "Cautions":
        _cautions(campaign)
    elif view == "In the plan":
        _in_plan(work)
    elif view == "Machine catalogue":
        _catalogue()
    else:
        _lines(work, campaign)


def _lines(work: Workspace, campaign: Campaign) -> None:
    rows: tuple[Equipment, ...] = work.view("equipment", lambda: equipment(campaign))
    st.markdown(
        "What each rig wants at each position, for the route that asks most of it out of all that "
        "it reaches from there."
    )
    frame = frames.equipment_frame(rows)
    components.table(frame, key="lines", alt="What each rig wants at each position")
    components.take_away(frame, name="equipment")
    st.info(LIMIT)
    st.subheader("Advice")
    _read(frames.advice_frame(rows), alt="Advice with its rows")
    st.subheader("Where the numbers come from")
    number = st.selectbox(
        "Row",
        range(len(rows)),
        format_func=lambda at: _row_name(rows[at]),
        key="gear-row",
        width=320,
    )
    _read(frames.why_frame(rows[number]), alt="Formula, inputs and source of each number")


def _row_name(row: Equipment) -> str:
    place = "nowhere" if row.position is None else str(row.position.position_id)
    return f"{row.row}: {row.rig.rig_id} at {place}"


def _cautions(campaign: Campaign) -> None:
    st.markdown(DEFERS)
    with st.container(horizontal=True):
        zone = _choice("Zone", [str(each.zone_id) for each in campaign.zones])
        rig = _choice("Rig", [str(each.rig_id) for each in campaign.rigs])
        crew = _choice("Crew", [str(each.crew_id) for each in campaign.crews])
    found = cautions_for(
        campaign,
        zones=None if zone == ALL else (ZoneId(zone),),
        rigs=None if rig == ALL else (RigId(rig),),
        crews=None if crew == ALL else (CrewId(crew),),
    )
    components.take_away(cautions_frame(campaign, found), name="cautions")
    for caution in found:
        _caution(campaign, caution)


def _choice(label: str, names: list[str]) -> str:
    return st.selectbox(label, [ALL, *names], key=f"caution-{label.lower()}", width=220)


def _caution(campaign: Campaign, caution: Caution) -> None:
    with st.container(border=True):
        st.markdown(f"**{plain(caution.title)}** · {plain(whom(campaign, caution))}")
        st.markdown(plain(caution.text))
        st.markdown(f"*{plain(caution.follow)}*")
        st.caption(plain(f"Source of figures: {caution.source} ({caution.trust})"))


def _in_plan(work: Workspace) -> None:
    st.markdown(
        "Spells that ask for a second look: the way out past fresh overhead concrete, people "
        "below it, layers sprayed on it, short rests. No rule is broken by them."
    )
    if work.planned is None or work.planned_for is None:
        st.info("There is no plan yet.")
        go_to("plan", label="Make a plan →")
        return
    campaign = work.planned_for.campaign
    found = cautions_in_plan(campaign, work.planned.plan.spells)
    st.markdown(f"**{plain(tally(found))}**")
    if campaign.rules.no_entry_h is None:
        st.warning(
            "How long nobody may be under fresh overhead concrete is not in the scenario "
            "(rules.no_entry_h): obtain it from the maker of the mix and from the engineer. Until "
            "then only concrete of the same run counts as fresh here."
        )
    if found:
        components.take_away(plan_cautions_frame(campaign, found), name="plan-cautions")
        codes = list(dict.fromkeys(row.code for row in found))
        code = st.segmented_control(
            "Kind",
            codes,
            default=codes[0],
            format_func=lambda each: IN_PLAN[each],
            required=True,
            key="plan-caution",
        )
        _seen(campaign, [row for row in found if row.code == code])


def _seen(campaign: Campaign, found: list[PlanCaution]) -> None:
    st.markdown(f"*{plain(found[0].follow)}*")
    _read(seen_frame(campaign, found[:SHOWN]), alt="Spells that ask for a second look")
    if len(found) > SHOWN:
        st.caption(f"The first {SHOWN} of {len(found)}; the files above hold them all.")


def _catalogue() -> None:
    st.markdown(
        "Generic kinds of machines, no maker's model. A rig that names its kind in the column "
        "`type` takes the usual value where its own cell is empty."
    )
    names = frames.kinds()
    kind = st.selectbox("Kind", names, format_func=lambda name: names[name], key="kind", width=320)
    st.markdown(f"`{kind}`: {plain(frames.kind_words(kind))}")
    _read(frames.kind_frame(kind), alt="Values with their sources")


def _read(frame: pd.DataFrame, *, alt: str) -> None:
    """Show a table whose long texts are read, not scrolled."""
    shown = frame.map(lambda cell: plain(cell) if isinstance(cell, str) else cell)
    st.table(shown, border="horizontal", hide_index=True, alt=alt)


if __name__ == "__main__":
    render()
