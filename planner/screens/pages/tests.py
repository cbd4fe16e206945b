"""The quality plan: tests with due dates, results, stops, crews with their cards, work chains."""

from __future__ import annotations

from dataclasses import replace

import pandas as pd
import streamlit as st

from planner.core.problems import Problem
from planner.model.campaign import Campaign
from planner.plan.plan import Plan
from planner.screens import components, sheet_state, state
from planner.screens.navigation import go_to
from planner.screens.state import Workspace, workspace
from planner.screens.text import plain
from planner.workflow import quality_frames as frames
from planner.workflow.crews import crew_rows
from planner.workflow.quality import QualityPlan, quality_plan
from planner.workflow.quality_rows import stop_words
from planner.workflow.result_entry import entered
from planner.workflow.work_chains import WorkChains

VIEWS = ("Tests", "Stops", "Crews and cards", "Work chain")
DEFERS = (
    "Verdicts are arithmetic by the rule that the scenario gives. Whether work stands, stops or "
    "is repaired, the engineer and the contract decide."
)
TURN = "results"
ROWS_SHOWN, ROW_PX = 18, 35


def render() -> None:
    work = workspace()
    st.title("Tests")
    if not components.needs_scenario(work) or work.loaded is None:
        return
    campaign, plan = _subject(work, work.loaded.campaign)
    st.caption(plain(campaign.name))
    if plan is None:
        st.info(
            "There is no plan yet, so only the panels before the work are listed, without dates."
        )
        go_to("plan", label="Make a plan →")
    if work.plan_is_old:
        st.warning(
            "The scenario was changed after the plan was made; tests are those of the plan as it "
            "stands, with the results and rules of now."
        )
    view = st.segmented_control("Show", VIEWS, default=VIEWS[0], required=True, key="tests-view")
    if view == "Crews and cards":
        _crews(campaign, plan)
    elif view == "Work chain":
        _chain(campaign, plan)
    else:
        quality = quality_plan(campaign, plan)
        if view == "Stops":
            _stops(quality, campaign)
        else:
            _tests(work, quality, campaign)
        st.caption(DEFERS)


def _subject(work: Workspace, campaign: Campaign) -> tuple[Campaign, Plan | None]:
    """Return what is shown: the plan's own scenario, with the results entered since."""
    if work.planned is None or work.planned_for is None:
        return campaign, None
    made_for = replace(
        work.planned_for.campaign,
        results=campaign.results,
        quality=campaign.quality,
        cure=campaign.cure,
    )
    return made_for, work.planned.plan


def _tests(work: Workspace, quality: QualityPlan, campaign: Campaign) -> None:
    st.markdown(plain(frames.tally(quality)))
    words = stop_words(quality)
    if words:
        st.warning(f"{plain(words)} The view Stops lists them.")
    frame = frames.trials_frame(quality, campaign.clock)
    _table(frame, key="trials", alt="Tests and inspections, one row each")
    components.take_away(frame, name="tests")
    sentences = frames.said(quality)
    if sentences:
        with st.expander("What the rule says of each result", expanded=True):
            st.markdown("\n".join(f"- {plain(text)}" for text in sentences))
    names = [one.trial.name for one in quality.tested]
    if not names:
        return
    _enter(work, names)
    with st.expander("Where the numbers of a test come from"):
        name = st.selectbox("Test", names, key="why-test")
        figures = frames.figures_frame(quality.figures(name) or ())
        components.table(figures, key="why-figures", alt="Formula, inputs and source")


def _enter(work: Workspace, names: list[str]) -> None:
    """Let somebody type a result; it is read as strictly as a file and kept at once."""
    turn = sheet_state.turn(TURN)
    with st.form(f"result-{turn}", border=True):
        st.markdown("**Enter a result**")
        one, two = st.columns(2)
        test = one.selectbox("Test", names, key=f"result-test-{turn}")
        day = two.text_input("Tested on (YYYY-MM-DD)", key=f"result-date-{turn}")
        values = one.text_input(
            "Values in MPa, with ; between them",
            key=f"result-values-{turn}",
            help="Every core or pull, a point for decimals: 38.2; 41; 36.5. None for inspections.",
        )
        met = two.radio(
            "Inspection: was what was asked for met?",
            ("", "yes", "no"),
            format_func=lambda word: word or "no inspection",
            horizontal=True,
            key=f"result-met-{turn}",
        )
        note = one.text_input("Note", key=f"result-note-{turn}")
        sent = st.form_submit_button("Enter", key=f"result-send-{turn}")
    if sent:
        _keep(
            work,
            {"test": test or "", "date": day, "values": values, "met": met or "", "note": note},
        )


def _keep(work: Workspace, cells: dict[str, str]) -> None:
    if work.tables is None:
        return
    entry = entered(work.tables, cells)
    if entry.tables is None:
        st.error("It was not entered:")
        st.code("\n".join(_line(problem) for problem in entry.problems), language=None)
        return
    state.change_tables(entry.tables, what=f"results: {cells['test']}")
    sheet_state.next_turn(TURN)
    st.rerun()


def _line(problem: Problem) -> str:
    return f"{problem.column}: {problem.message}"


def _stops(quality: QualityPlan, campaign: Campaign) -> None:
    if not campaign.quality.holds:
        st.info("The scenario names no stop of the contract (quality.hold).")
        return
    words = stop_words(quality)
    if not words:
        st.markdown("No spell lies before a stop of the contract.")
        return
    st.markdown(plain(words))
    frame = frames.stops_frame(quality, campaign.clock)
    _table(frame, key="stops", alt="Spells before a stop is met, one row each")
    components.take_away(frame, name="stops")


def _table(frame: pd.DataFrame, *, key: str, alt: str) -> None:
    """Show a table with as many of its rows as a page takes."""
    rows = min(len(frame), ROWS_SHOWN)
    components.table(frame, key=key, alt=alt, height=ROW_PX * (rows + 1) + 3)


def _crews(campaign: Campaign, plan: Plan | None) -> None:
    if not campaign.cards:
        st.markdown(
            "The scenario has no cards, so crews spray what the table crews allows. With cards, "
            "a crew sprays only in shifts in which enough of its people hold a valid one."
        )
    rows = list(crew_rows(campaign, plan))
    flags = frames.look_at(rows)
    if flags:
        st.warning("\n".join(f"- {plain(flag)}" for flag in flags))
    frame = frames.crews_frame(rows)
    _table(frame, key="crews", alt="Crews with cards, people and hours")
    components.take_away(frame, name="crews")


def _chain(campaign: Campaign, plan: Plan | None) -> None:
    zones = [zone.zone_id for zone in campaign.zones]
    zone = st.selectbox("Zone", zones, key="chain-zone")
    steps = WorkChains(campaign, plan).of(zone)
    flags = [step for step in steps if step.flag]
    if flags:
        st.warning(
            "\n".join(f"- Step {step.number}, {step.kind}: {plain(step.flag)}" for step in flags)
        )
    frame = frames.chain_frame(steps, campaign.clock)
    _table(frame, key="chain", alt=f"Work chain of zone {zone}, one row for each step")
    components.take_away(frame, name="chain")
    st.caption("How much may be open at once, and propping, are for the structure's engineer.")
    with st.expander("The same in sentences"):
        said = frames.chain_sentences(steps, campaign.clock)
        st.markdown("\n".join(f"{k}. {plain(text)}" for k, text in enumerate(said, start=1)))
    with st.expander("Rules and numbers behind a step, with sources"):
        number = st.selectbox(
            "Step",
            [step.number for step in steps],
            format_func=lambda at: f"{at} {steps[at - 1].kind}",
            key="chain-step",
        )
        figures = frames.figures_frame(steps[number - 1].figures)
        components.table(figures, key="chain-figures", alt="Formula, inputs and source")


if __name__ == "__main__":
    render()
