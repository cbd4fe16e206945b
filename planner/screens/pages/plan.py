"""Plan the scenario that is open, watch the search, and look at what came of it."""

from __future__ import annotations

import streamlit as st

from planner.core.progress import Progress
from planner.model.identifiers import Goal
from planner.reports.key_figures import key_figures, said
from planner.reports.labels import GOALS
from planner.reports.sentences import SAFETY, story
from planner.screens import components, results
from planner.screens.downloads import plan_zip
from planner.screens.jobs import PlanJob
from planner.screens.navigation import go_to
from planner.screens.state import Workspace, workspace
from planner.workflow.loading import Loaded
from planner.workflow.planning import Planned

SECONDS = 60
POLL_S = 1.0


def render() -> None:
    work = workspace()
    if work.loaded is None:
        st.title("Plan")
        st.info("Open a scenario first; a demo will do.")
        go_to("start", label="Choose a scenario →")
        return
    st.title(work.loaded.campaign.name)
    _order(work, work.loaded)
    if work.job is not None:
        _watch(work)
    if work.planned is not None:
        _show(work, work.loaded, work.planned)


def _order(work: Workspace, loaded: Loaded) -> None:
    busy = work.job is not None and work.job.running()
    goals = ", then ".join(GOALS[goal].lower() for goal in loaded.campaign.goals)
    st.markdown(f"Most volume first, then in this order: {goals}.")
    with st.container(horizontal=True, vertical_alignment="bottom"):
        seconds = st.number_input(
            "Seconds to search", 5, 3600, SECONDS, 5, key="seconds", width=180
        )
        if st.button("Plan", type="primary", key="plan", disabled=busy):
            work.drop_job()
            work.job = PlanJob(loaded, seconds=float(seconds))
            work.job.start()
            st.rerun()


def _watch(work: Workspace) -> None:
    """Show the running search, or why it brought nothing."""
    job = work.job
    if job is None:
        return
    if job.running():
        _progress()
        return
    if job.planned is not None:
        work.keep_plan(job.planned, job.loaded)
        work.job = None
        return
    st.error(job.failure)


@st.fragment(run_every=POLL_S)
def _progress() -> None:
    work = workspace()
    job = work.job
    if job is None or work.loaded is None:
        return
    if not job.running():
        st.rerun()
    with st.container(border=True):
        share = min(1.0, job.elapsed_s() / job.seconds)
        st.progress(share, text=f"{job.elapsed_s():.0f} s of {job.seconds:.0f} s")
        if job.latest is not None:
            st.markdown(_report(work.loaded, job.latest))
        if st.button("Stop and keep the best", key="stop", disabled=job.stopping):
            job.stop()


def _report(loaded: Loaded, latest: Progress) -> str:
    goal = next((goal for goal in Goal if goal.value == latest.goal), None)
    if goal is None:
        return f"**{latest.stage}**"
    clock = loaded.campaign.clock
    best = "none yet" if latest.best is None else said(clock, goal, latest.best)
    bound = "unknown" if latest.bound is None else said(clock, goal, latest.bound)
    return f"**{latest.stage}** · {GOALS[goal].lower()}: best {best}, no plan beats {bound}"


def _show(work: Workspace, loaded: Loaded, planned: Planned) -> None:
    campaign = loaded.campaign
    if planned.violations:
        st.error(
            "This plan breaks rules: a fault of the planner, not of the scenario. Do not work to "
            "it; the tab Check lists them."
        )
    components.figures(key_figures(campaign, planned.plan, planned.proof))
    left, right = st.columns([3, 1], vertical_alignment="top")
    with left:
        told = story(campaign, planned.plan, planned.proof)
        st.markdown("\n".join(f"- {sentence}" for sentence in told))
        st.caption(SAFETY)
    with right:
        if not planned.violations:
            st.download_button(
                "Download the plan",
                data=lambda: plan_zip(loaded, planned),
                file_name="plan.zip",
                mime="application/zip",
                on_click="ignore",
                key="download",
                width="stretch",
            )
            st.caption("A zip file with the plan's tables and figures.")
    results.show(work, loaded, planned)


if __name__ == "__main__":
    render()
