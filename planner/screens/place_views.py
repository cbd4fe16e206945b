"""Set-ups of a plan: the map with stays and moves, what must be ready, relocations."""

from __future__ import annotations

import streamlit as st

from planner.model.identifiers import PositionId, RigId
from planner.reports import tables
from planner.reports.before_set_up import preparations, preparations_frame
from planner.reports.figures.projection import View, project, views
from planner.reports.figures.site_map import site_map
from planner.reports.scene import Scene
from planner.reports.wording import moment
from planner.screens import components
from planner.screens.state import Workspace
from planner.screens.text import plain
from planner.screens.turn_views import VIEW_NAMES, ground

ALL_RIGS = "all rigs"
ANY = "every position"


def set_ups(work: Workspace, scene: Scene) -> None:
    """Show the map, the lists before each set-up, and the relocations."""
    _map(work, scene)
    st.subheader("Before each set-up")
    _before(work, scene)
    st.subheader("Relocations")
    moves = tables.relocations_frame(scene.campaign, scene.plan)
    if not len(moves):
        st.caption("No rig is relocated.")
        return
    components.table(moves, key="set-ups-moves", alt="Relocations in time order")
    components.take_away(moves, name="relocations")


def _map(work: Workspace, scene: Scene) -> None:
    offered = views(scene.campaign)
    view = offered[0]
    with st.container(horizontal=True):
        if len(offered) > 1:
            view = st.segmented_control(
                "View",
                offered,
                default=view,
                format_func=lambda one: VIEW_NAMES[one],
                required=True,
                key="view",
            )
        names = [ALL_RIGS, *(str(rig.rig_id) for rig in scene.campaign.rigs)]
        rig = st.segmented_control("Moves of", names, default=ALL_RIGS, required=True, key="way")
    rigs = None if rig == ALL_RIGS else [RigId(str(rig))]
    figure = work.remember(f"map-{view}-{rig}", lambda: site_map(scene, view, rigs))
    mirrored = "" if view is View.UNROLLED else " Seen from above, as on a drawing."
    st.caption(
        f"{project(scene.campaign, view).scale_words}{mirrored} Zones wear the look of the "
        "position that serves most of them. Numbers beside a position are the stays of each rig "
        "there, in order."
    )
    components.chart(
        figure,
        key=f"set-ups-{view}-{rig}",
        alt="Map of zones and set-up positions with the moves of each rig; the lists beneath hold "
        "the same stays and relocations.",
    )


def _before(work: Workspace, scene: Scene) -> None:
    laid = ground(work, scene)
    lists = work.remember("before", lambda: preparations(laid))
    places = list(dict.fromkeys(str(one.stay.position) for one in lists))
    place = st.selectbox("Position", [ANY, *places], key="before-position", width=240)
    for one in lists:
        if place not in (ANY, one.stay.position):
            continue
        title = (
            f"{one.stay.position}: {one.stay.rig}, stay {one.stay.number}, ready by "
            f"{moment(scene.campaign.clock, one.by_min)}"
        )
        with st.expander(plain(title), expanded=place != ANY):
            st.markdown("\n".join(f"- **{name}.** {plain(text)}" for name, text in one.items))
    frame = preparations_frame(laid, position=None if place == ANY else PositionId(place))
    components.take_away(frame, name="before-set-up")
