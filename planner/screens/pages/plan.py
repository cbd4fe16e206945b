"""Plan the scenario that is open, watch the search, and look at what came of it."""

from __future__ import annotations

import streamlit as st

from planner.core.progress import Progress
from planner.model.identifiers import Goal
from planner.reports.cautions import seen_frame, tally
from planner.reports.figures.search_course import search_course
from planner.reports.headline import five_figures, headline
from planner.reports.key_figures import said
from planner.reports.labels import GOALS
from planner.reports.sentences import SAFETY
from planner.reports.tables import unplanned_frame
from planner.screens import components, results
from planner.screens.downloads import plan_zip
from planner.screens.jobs import PlanJob
from planner.screens.kept_plans import keep
from planner.screens.navigation import go_to
from planner.screens.plan_order import locks, order
from planner.screens.state import Workspace, same_workspace, workspace
from planner.screens.text import plain
from planner.trade.cautions_in_plan import cautions_in_plan
from planner.workflow.loading import Loaded
from planner.workflow.planning import Planned

POLL_S = 1.0


def render() -> None:
    work = workspace()
    st.title("Plan")
    if not components.needs_scenario(work) or work.loaded is None:
        return
    st.caption(plain(work.loaded.campaign.name))
    _order(work, work.loaded)
    if work.job is not None:
        _watch(work)
    if work.planned is not None and work.planned_for is not None:
        _show(work, work.planned_for, work.planned)
    elif work.job is None:
        st.info(
            "Choose what matters most and press Plan. The search shows how good its best plan is "
            "and what no plan can beat; you can stop it at any time and keep the best."
        )


def _order(work: Workspace, loaded: Loaded) -> None:
    busy = work.job is not None and work.job.running()
    with st.container(border=True):
        wanted = order(loaded)
        if (
            st.button("Plan", type="primary", key="plan", disabled=busy or wanted.loaded is None)
            and wanted.loaded is not None
        ):
            work.drop_job()
            job = PlanJob(wanted.loaded, seconds=wanted.seconds, seed=wanted.seed)
            job.choice = wanted.choice
            work.job = job
            job.start()
            st.rerun()
    locks(work, loaded)


def _watch(work: Workspace) -> None:
    """Show the running search, or why it brought nothing."""
    job = work.job
    if job is None:
        return
    if job.running():
        _progress()
        return
    if job.planned is not None:
        keep(work, job.planned, job.loaded, choice=job.choice)
        work.job = None
        return
    st.error(job.failure)


@st.fragment(run_every=POLL_S)
def _progress() -> None:
    job = same_workspace().job
    if job is None:
        return
    if not job.running():
        st.rerun()
    with st.container(border=True):
        share = min(1.0, job.elapsed_s() / job.seconds)
        st.progress(share, text=f"{job.elapsed_s():.0f} s of {job.seconds:.0f} s")
        if job.latest is not None:
            st.markdown(_report(job.loaded, job.latest))
        if st.button("Stop and keep the best", key="stop", disabled=job.stopping):
            job.stop()


def _report(loaded: Loaded, latest: Progress) -> str:
    goal = next((goal for goal in Goal if goal.value == latest.goal), None)
    if goal is None:
        return f"**{latest.stage}**"
    clock = loaded.campaign.clock
    best = "none yet" if latest.best is None else said(clock, goal, latest.best)
    bound = "not known yet" if latest.bound is None else said(clock, goal, latest.bound)
    return f"**{latest.stage}** · {GOALS[goal].lower()}: best {best}; no plan beats {bound}"


def _show(work: Workspace, made_for: Loaded, planned: Planned) -> None:
    if work.plan_is_old:
        st.warning(
            "The scenario was changed after this plan was made; the plan is shown for the "
            "scenario as it was. Plan again to see what the change brings."
        )
    if planned.violations:
        st.error(
            "This plan breaks rules: a fault of the planner, not of the scenario. Do not work to "
            "it; the tab Check lists them."
        )
    campaign = made_for.campaign
    head, rest = headline(campaign, planned.plan, planned.proof)
    st.markdown("\n".join(f"- {plain(sentence)}" for sentence in head))
    components.figures(five_figures(campaign, planned.plan, planned.proof))
    st.caption(SAFETY)
    with st.container(horizontal=True, vertical_alignment="center"):
        if not planned.violations:
            st.download_button(
                "Download the plan (zip)",
                data=lambda: plan_zip(made_for, planned),
                file_name="plan.zip",
                mime="application/zip",
                on_click="ignore",
                key="download",
            )
        go_to("why", label="Ask why →")
    if planned.plan.unplanned:
        with st.expander(f"Left out ({len(planned.plan.unplanned)}), and why", expanded=True):
            left_out = unplanned_frame(planned.plan)
            components.table(left_out, key="plan-left-out", alt="Zones left out and why")
            st.caption("Ask why, about a zone, says what reaches it and how long its windows are.")
    found = cautions_in_plan(campaign, planned.plan.spells)
    if found:
        with st.expander(tally(found)):
            components.table(
                seen_frame(campaign, found), key="plan-cautions", alt="Spells to look at twice"
            )
            go_to("equipment", label="All cautions →")
    if rest:
        with st.expander("More about it"):
            st.markdown("\n".join(f"- {plain(sentence)}" for sentence in rest))
    if planned.search:
        with st.expander("How the search went"):
            components.chart(
                search_course(planned.search),
                key="plan-search",
                alt="Best plan and proven bound of each goal over the seconds of the search.",
            )
            st.caption("Where plan and bound meet, no plan is better. Shaded: nobody knows yet.")
    results.show(work, made_for, planned)


if __name__ == "__main__":
    render()
