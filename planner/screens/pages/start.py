"""The first page: choose a scenario, see what it is and what it still needs."""

from __future__ import annotations

import streamlit as st

from planner.core.problems import Problem
from planner.reports.labels import count
from planner.reports.overview import heights_frame, lines
from planner.reports.sentences import SAFETY
from planner.reports.still_needed import still_needed
from planner.screens import components, sources, state
from planner.screens.bar import bar
from planner.screens.drafts import Head
from planner.screens.navigation import go_to, page
from planner.screens.state import Workspace, workspace
from planner.screens.text import plain
from planner.workflow.demos import demos
from planner.workflow.loading import Loaded

DEMO, FOLDER, UPLOAD, BLANK, RECENT = (
    "A demo",
    "A folder",
    "An upload",
    "A blank one",
    "A recent one",
)
RECENT_SHOWN = 8
STEP_PX = 240
# What a newcomer does, in order.
STEPS = {
    "Open": "A demo shows what a whole scenario looks like; change it, nothing can break.",
    "Fill in": "Zones to repair, positions to set up, rigs, crews, shifts, water. What is missing "
    "or odd is told beside each row. A survey list can be taken over as it is.",
    "Look": "The site map shows what each position reaches, the windows show when each face can "
    "be worked on, and what takes the hours away.",
    "Plan": "Say what matters most. The plan comes with what no plan can beat, is checked by a "
    "second reckoning, and says what is left out and why.",
    "Take to site": "Shift sheets, calendar, workbook, tables. Write down what was really done, "
    "and plan again from there.",
}


def render() -> None:
    work = workspace()
    st.title("Ebbwork")
    st.markdown(
        "Plans sprayed-concrete repairs that must stop and start: under decks between tides, in "
        "live sewers at low flow, in silos from the bottom up."
    )
    _choose()
    refused = state.refusal()
    if refused is not None:
        _refused(*refused)
    if work.head is not None:
        _opened(work, work.head)
    elif refused is None:
        _first_steps()


def _first_steps() -> None:
    st.subheader("How a job goes")
    with st.container(horizontal=True):
        for number, (title, words) in enumerate(STEPS.items(), start=1):
            with st.container(border=True, width=STEP_PX, height="stretch"):
                st.markdown(f"**{number}. {title}**")
                st.markdown(words)
    st.caption(SAFETY)


def _choose() -> None:
    kinds = (DEMO, FOLDER, UPLOAD, BLANK, *((RECENT,) if state.store().recent() else ()))
    with st.container(border=True):
        kind = st.segmented_control("Open", kinds, default=DEMO, required=True, key="kind")
        match kind:
            case "A folder":
                _folder()
            case "An upload":
                _upload()
            case "A blank one":
                _blank()
            case "A recent one":
                _recent()
            case _:
                _demos()


def _demos() -> None:
    st.caption("Invented campaigns to try the planner with; change them as you like.")
    with st.container(horizontal=True):
        for name in demos():
            title = name.replace("-", " ").capitalize()
            if st.button(title, key=f"demo-{name}"):
                sources.open_demo(name)
                st.rerun()


def _folder() -> None:
    text = st.text_input("Path of a scenario folder or .xlsx workbook on this machine", key="path")
    for head in sources.unsaved_drafts(text):
        at = head.last.at.astimezone()
        st.info(
            f"Changes to it of {at:%d %b %H:%M} were never saved there: {plain(head.last.what)}."
        )
        if st.button(f"Go on with the changes of {at:%d %b %H:%M}", key=f"resume-{head.draft_id}"):
            state.open_draft(head.draft_id)
            st.rerun()
    if st.button("Open", key="open-path"):
        sources.open_typed(text)
        st.rerun()
    st.caption(
        "The folder is read, not changed: work goes on in a draft, and goes back to the folder "
        "when you save it there."
    )


def _upload() -> None:
    file = st.file_uploader(
        "A scenario as one .xlsx workbook, or as a .zip of its tables",
        type=["xlsx", "zip"],
        key="upload",
    )
    if file is not None and st.button("Open", key="open-upload"):
        sources.open_upload(file.name, file.getvalue())
        st.rerun()
    st.caption(
        "To take over a survey list with headings of its own, open a scenario or a blank one "
        "first; “Take over a list” is on the page Tables."
    )


def _blank() -> None:
    st.markdown(
        "Five tables and a few settings make a scenario: the **zones** to repair, the "
        "**positions** where a rig can be set up, **rigs**, **crews** and their **shifts**. The "
        "page Tables says what is still missing while you fill them in."
    )
    if st.button("Start from blank", key="open-blank"):
        sources.open_blank()
        st.switch_page(page("tables"))


def _recent() -> None:
    for head in state.store().recent()[:RECENT_SHOWN]:
        with st.container(horizontal=True, vertical_alignment="center"):
            if st.button(plain(head.name), key=f"recent-{head.draft_id}"):
                state.open_draft(head.draft_id)
                st.rerun()
            st.caption(_told(head))
            with st.popover("Forget"):
                st.markdown("Its changes are gone then, unless they were saved elsewhere.")
                if st.button("Forget this draft", key=f"forget-{head.draft_id}"):
                    state.store().remove(head.draft_id)
                    st.rerun()


def _told(head: Head) -> str:
    saved = f", saved to {plain(head.place)}" if head.is_saved else ""
    return (
        f"{head.last.at.astimezone():%d %b %H:%M}: {plain(head.last.what)}; "
        f"{plain(head.source)}{saved}"
    )


def _refused(source: str, problems: tuple[Problem, ...]) -> None:
    st.error(
        f"{plain(source)} cannot be opened. Each row says where to look and what would be right."
    )
    components.problems(problems, key="refused")
    st.button("I have seen it", key="refused-seen", on_click=state.forget_refusal)


def _opened(work: Workspace, head: Head) -> None:
    st.header(plain(head.name))
    st.caption(f"from {plain(head.source)}")
    bar(work)
    if work.loaded is None:
        _unfinished(work)
        return
    loaded = work.loaded
    st.markdown("\n".join(f"- {plain(line)}" for line in lines(loaded.campaign)))
    if loaded.warnings:
        with st.expander(f"Odd but possible: {count(len(loaded.warnings), 'thing')} to look at"):
            components.problems(loaded.warnings)
    with st.container(horizontal=True):
        go_to("plan", label="Plan it →")
        go_to("tables", label="Look at its tables →")
    _windows(work, loaded)


def _unfinished(work: Workspace) -> None:
    st.error(
        "This scenario cannot be planned yet. Each row says where to look and what would be "
        "right; they can all be mended on the page Tables."
    )
    if work.tables is not None:
        components.table(
            still_needed(work.tables, work.problems),
            key="still-needed",
            alt="Tables of the scenario with their rows and what is wrong in each",
        )
    go_to("tables", label="Mend it in the tables →")
    with st.expander("Everything that is wrong or missing", expanded=True):
        components.problems(work.problems)


def _windows(work: Workspace, loaded: Loaded) -> None:
    st.subheader("When the faces can be reached")
    components.table(
        work.view("heights", lambda: heights_frame(loaded.campaign)),
        key="heights",
        alt="Kinds and heights of faces with their volume and the length of their windows",
    )


if __name__ == "__main__":
    render()
