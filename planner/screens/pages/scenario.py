"""The first page: choose a scenario, see what it is and what is wrong with it."""

from __future__ import annotations

import streamlit as st

from planner.reports.overview import heights_frame, lines
from planner.screens import components
from planner.screens.navigation import go_to
from planner.screens.sources import open_demo, open_typed, open_upload
from planner.screens.state import Workspace, workspace
from planner.workflow.demos import demos

DEMO, FOLDER, WORKBOOK = "A demo", "A folder", "A workbook"


def render() -> None:
    work = workspace()
    st.title("Ebbwork")
    st.markdown(
        "Plans sprayed-concrete repairs that must stop and start: under decks between tides, in "
        "live sewers at low flow, in silos from the bottom up."
    )
    _choose(work)
    if work.problems:
        _refused(work)
    elif work.loaded is not None:
        _opened(work)


def _choose(work: Workspace) -> None:
    with st.container(border=True):
        kind = st.segmented_control(
            "Open", (DEMO, FOLDER, WORKBOOK), default=DEMO, required=True, key="kind"
        )
        if kind == DEMO:
            _demos(work)
        elif kind == FOLDER:
            _folder(work)
        else:
            _workbook(work)


def _demos(work: Workspace) -> None:
    st.caption("Invented campaigns to try the planner with.")
    with st.container(horizontal=True):
        for name in demos():
            title = name.replace("-", " ").capitalize()
            if st.button(title, key=f"demo-{name}"):
                open_demo(work, name)


def _folder(work: Workspace) -> None:
    text = st.text_input("Path of a scenario folder or .xlsx workbook on this machine", key="path")
    if st.button("Open", key="open-path"):
        open_typed(work, text)


def _workbook(work: Workspace) -> None:
    file = st.file_uploader("A scenario as one .xlsx workbook", type="xlsx", key="upload")
    if file is not None and st.button("Open", key="open-upload"):
        open_upload(work, file.name, file.getvalue())


def _refused(work: Workspace) -> None:
    st.error(
        f"{work.source} cannot be planned yet. Each row says where to look and what would be "
        "right; they can all be mended in one go."
    )
    components.problems(work.problems)


def _opened(work: Workspace) -> None:
    loaded = work.loaded
    if loaded is None:
        return
    st.header(loaded.campaign.name)
    st.caption(f"opened from {work.source}")
    st.markdown("\n".join(f"- {line}" for line in lines(loaded.campaign)))
    if loaded.warnings:
        st.warning("Odd but possible; have a look.")
        components.problems(loaded.warnings)
    go_to("plan", label="Plan it →")
    st.subheader("When the faces can be reached")
    components.table(
        heights_frame(loaded.campaign),
        key="heights",
        alt="Kinds and heights of faces with their volume and the length of their windows",
    )


if __name__ == "__main__":
    render()
