"""A plan on the page: charts, set-ups, tables, another plan beside it, and the check."""

from __future__ import annotations

import streamlit as st

from planner.checks.violation import Violation
from planner.model.campaign import Campaign
from planner.reports import tables
from planner.reports.figures.layer_board import layer_board
from planner.reports.figures.rig_strips import rig_strips
from planner.reports.figures.rig_week import first_rows, rig_week
from planner.reports.scene import Scene, scene_of
from planner.reports.weekly import weekly_frame
from planner.screens import components
from planner.screens.compare_view import compare
from planner.screens.place_views import set_ups
from planner.screens.state import Workspace
from planner.screens.turn_views import fill, lanes, strip, turns
from planner.workflow.loading import Loaded
from planner.workflow.planning import Planned

TABS = (
    "Low-water strip",
    "Who works when",
    "Filled by tide",
    "Set-ups",
    "Whole campaign",
    "Week by week",
    "Layers",
    "Tables",
    "Another plan",
    "Check",
)
VIEWS = {
    "Low-water strip": strip,
    "Who works when": lanes,
    "Filled by tide": fill,
    "Set-ups": set_ups,
}


def scene(work: Workspace, loaded: Loaded, planned: Planned) -> Scene:
    """Return the scene of the plan that is shown."""
    return work.remember("scene", lambda: scene_of(loaded.campaign, planned.plan))


def show(work: Workspace, loaded: Loaded, planned: Planned) -> None:
    """Show a plan in tabs; only the open tab is drawn."""
    drawn = scene(work, loaded, planned)
    word = turns(work, drawn).word
    chosen = st.segmented_control(
        "Look at",
        TABS,
        default=TABS[0],
        format_func=lambda tab: tab_name(tab, word),
        required=True,
        key="tab",
        label_visibility="collapsed",
    )
    if chosen in VIEWS:
        VIEWS[chosen](work, drawn)
    match chosen:
        case "Whole campaign":
            _whole(work, drawn)
        case "Week by week":
            _week(work, drawn)
        case "Layers":
            _layers(work, drawn)
        case "Tables":
            _tables(loaded.campaign, planned)
        case "Another plan":
            compare(work, loaded)
        case "Check":
            check(planned.violations)
        case _:
            pass
    components.picture_choice()


def tab_name(tab: str, word: str) -> str:
    """Return what a tab is called where turns are tides, days or nights.

    Examples
    --------
    >>> tab_name("Low-water strip", "night"), tab_name("Filled by tide", "day")
    ('Night strip', 'Filled by day')
    """
    if word == "tide":
        return tab
    return tab.replace("Low-water", word.capitalize()).replace("tide", word)


def _whole(work: Workspace, scene: Scene) -> None:
    st.caption(
        "Each row is a day, each block a run: pale from start-up to clean-up, in full where "
        "material flows; its look tells the set-up position. Bands behind show when the faces "
        "that a rig works on can be reached at all."
    )
    figure = work.remember("strips", lambda: rig_strips(scene))
    components.chart(
        figure,
        key="whole-campaign",
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
        key=f"week-{row}",
        alt="Runs, spells and relocations of each rig on each day of a week, with the water "
        "level beneath; the tables hold the same rows.",
    )


def _has_work(scene: Scene, row: int) -> bool:
    start = scene.rows.row_span(row)[0]
    end = scene.rows.row_span(min(row + 6, len(scene.rows) - 1))[1]
    return any(run.start_min < end and start < run.end_min for run in scene.plan.runs)


def _layers(work: Workspace, scene: Scene) -> None:
    st.caption(
        "Every zone with its layers, the first at the bottom, coloured and dated by the day on "
        "which each is done; early is dark, late is light. ÷2 means sprayed in two pieces; "
        "zones in brackets are left out."
    )
    board = work.remember("board", lambda: layer_board(scene))
    components.chart(board, key="layers", alt="The day on which each layer of each zone is done.")
    st.subheader("In place week by week")
    frame = weekly_frame(scene.campaign, scene.plan)
    components.table(frame, key="weekly", alt="Volume in place, one row for each week")
    components.take_away(frame, name="in-place-by-week")


def _tables(campaign: Campaign, planned: Planned) -> None:
    plan = planned.plan
    shown = [
        ("Left out", "left-out", tables.unplanned_frame(plan)),
        ("Rigs", "rigs", tables.rigs_frame(campaign, plan)),
        ("Zones", "zones", tables.zones_frame(campaign, plan)),
        ("Runs", "runs", tables.runs_frame(campaign, plan)),
        ("Spells", "spells", tables.spells_frame(campaign, plan)),
        ("Relocations", "relocations", tables.relocations_frame(campaign, plan)),
        ("Cost", "cost", tables.costs_frame(campaign, plan)),
    ]
    for title, name, frame in shown:
        if not len(frame):
            continue
        st.subheader(title)
        components.table(frame, key=f"t-{name}", alt=f"{title} of the plan, one row each")
        components.take_away(frame, name=f"plan-{name}")


def check(violations: tuple[Violation, ...]) -> None:
    """Show what the auditor found."""
    if not violations:
        st.success("Every rule was worked out once more by code of its own; none is broken.")
        return
    st.error(f"{len(violations)} broken rules")
    components.table(
        tables.violations_frame(violations), key="t-check", alt="Broken rules, one row each"
    )
