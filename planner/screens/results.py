"""A plan on the page: charts, map, layers, tables and check."""

from __future__ import annotations

import streamlit as st

from planner.checks.violation import Violation
from planner.model.campaign import Campaign
from planner.model.identifiers import RigId
from planner.reports import tables
from planner.reports.figures.growth import growth
from planner.reports.figures.layer_board import layer_board
from planner.reports.figures.projection import View, project, views
from planner.reports.figures.rig_strips import rig_strips
from planner.reports.figures.rig_week import first_rows, rig_week
from planner.reports.figures.site_map import site_map
from planner.reports.scene import Scene, scene_of
from planner.screens import components
from planner.screens.state import Workspace
from planner.workflow.loading import Loaded
from planner.workflow.planning import Planned

TABS = ("Whole campaign", "Week by week", "Map", "Layers", "Tables", "Check")
ALL_RIGS = "all rigs"
VIEWS = {View.PLAN: "From above", View.UNROLLED: "Unrolled"}


def show(work: Workspace, loaded: Loaded, planned: Planned) -> None:
    """Show a plan in tabs; only the open tab is drawn."""
    chosen = st.segmented_control(
        "Look at", TABS, default=TABS[0], required=True, key="tab", label_visibility="collapsed"
    )
    scene: Scene = work.remember("scene", lambda: scene_of(loaded.campaign, planned.plan))
    match chosen:
        case "Week by week":
            _week(work, scene)
        case "Map":
            _map(work, scene)
        case "Layers":
            _layers(work, scene)
        case "Tables":
            _tables(loaded.campaign, planned)
        case "Check":
            check(planned.violations)
        case _:
            _whole(work, scene)


def _whole(work: Workspace, scene: Scene) -> None:
    st.caption(
        "Each row is a day, each block a run: pale from start-up to clean-up, in full where "
        "material flows; its look tells the set-up position. Bands behind show when the faces "
        "that a rig works on can be reached at all."
    )
    figure = work.remember("strips", lambda: rig_strips(scene))
    components.chart(
        figure,
        key="strips",
        alt="Runs of each rig, day by day over the hours, on the windows of the faces it works "
        "on; the tables hold the same runs and spells.",
    )


def _week(work: Workspace, scene: Scene) -> None:
    begin = first_rows(scene)
    busy = [row for row in begin if _has_work(scene, row)] or begin
    row = st.selectbox(
        "Week", busy, format_func=lambda at: f"from {scene.rows.name(at)}", key="week", width=240
    )
    until = next((at for at in begin if at > row), len(scene.rows))
    figure = work.remember(f"week-{row}", lambda: rig_week(scene, first_row=row, days=until - row))
    st.caption(
        "One lane for each rig. Numbers after a zone are layers; strokes with dots are "
        "relocations; hatched bars on top are closures. Levels at which faces close are drawn "
        "with the water's allowance taken off."
    )
    components.chart(
        figure,
        key=f"week-chart-{row}",
        alt="Runs, spells and relocations of each rig on each day of a week, with the water "
        "level beneath; the tables hold the same rows.",
    )


def _has_work(scene: Scene, row: int) -> bool:
    start = scene.rows.row_span(row)[0]
    end = scene.rows.row_span(min(row + 6, len(scene.rows) - 1))[1]
    return any(run.start_min < end and start < run.end_min for run in scene.plan.runs)


def _map(work: Workspace, scene: Scene) -> None:
    offered = views(scene.campaign)
    view = offered[0]
    with st.container(horizontal=True):
        if len(offered) > 1:
            view = st.segmented_control(
                "View",
                offered,
                default=view,
                format_func=lambda one: VIEWS[one],
                required=True,
                key="view",
            )
        names = [ALL_RIGS, *(str(rig.rig_id) for rig in scene.campaign.rigs)]
        rig = st.segmented_control("Moves of", names, default=ALL_RIGS, required=True, key="way")
    rigs = None if rig == ALL_RIGS else [RigId(rig)]
    figure = work.remember(f"map-{view}-{rig}", lambda: site_map(scene, view, rigs))
    st.caption(
        f"{project(scene.campaign, view).scale_words} Zones wear the look of the position that "
        "serves most of them. Numbers beside a position are the stays of each rig there, in order."
    )
    components.chart(
        figure,
        key=f"map-chart-{view}-{rig}",
        alt="Map of zones and set-up positions with the moves of each rig; the tables hold the "
        "same stays and relocations.",
    )


def _layers(work: Workspace, scene: Scene) -> None:
    st.caption(
        "Every zone with its layers, the first at the bottom, coloured and dated by the day on "
        "which each is done; early is dark, late is light. ÷2 means sprayed in two pieces; "
        "zones in brackets are left out."
    )
    board = work.remember("board", lambda: layer_board(scene))
    components.chart(board, key="board", alt="The day on which each layer of each zone is done.")
    st.caption("Volume in place over time.")
    line = work.remember("growth", lambda: growth(scene))
    components.chart(
        line, key="growth", alt="Volume in place over time, for each rig and for all."
    )


def _tables(campaign: Campaign, planned: Planned) -> None:
    plan = planned.plan
    if plan.unplanned:
        st.subheader("Left out")
        left_out = tables.unplanned_frame(plan)
        components.table(left_out, key="t-left", alt="Zones left out and why")
    st.subheader("Rigs")
    components.table(tables.rigs_frame(campaign, plan), key="t-rigs", alt="What each rig does")
    st.subheader("Zones")
    components.table(tables.zones_frame(campaign, plan), key="t-zones", alt="When zones are done")
    st.subheader("Runs")
    components.table(tables.runs_frame(campaign, plan), key="t-runs", alt="Runs in time order")
    st.subheader("Spells")
    components.table(tables.spells_frame(campaign, plan), key="t-spells", alt="Spells by time")
    st.subheader("Relocations")
    moves = tables.relocations_frame(campaign, plan)
    components.table(moves, key="t-moves", alt="Relocations in time order")
    costs = tables.costs_frame(campaign, plan)
    if len(costs):
        st.subheader("Cost")
        components.table(costs, key="t-costs", alt="Cost lines with their share")


def check(violations: tuple[Violation, ...]) -> None:
    """Show what the auditor found."""
    if not violations:
        st.success("Every rule was worked out once more by code of its own; none is broken.")
        return
    st.error(f"{len(violations)} broken rules")
    components.table(
        tables.violations_frame(violations), key="t-check", alt="Broken rules, one row each"
    )
