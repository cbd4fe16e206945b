"""The plan, lived many times: a ladder of dates, what drives them, windows that hold."""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory

import pandas as pd
import streamlit as st

from planner.core.problems import InputRefusedError
from planner.plan.plan import Plan
from planner.reports import risk_words as words
from planner.reports.figures.odds_calendar import odds_calendar
from planner.reports.sentences import SAFETY
from planner.risk.files import drives_frame, dues_frame, runs_frame, windows_frame
from planner.risk.inputs import RULES, RiskInputs, Rule
from planner.risk.inputs_file import FILE
from planner.risk.outcome import dues
from planner.risk.study import Settings, Study
from planner.screens import components
from planner.screens.navigation import go_to
from planner.screens.risk_job import RiskJob
from planner.screens.state import Workspace, same_workspace, workspace
from planner.screens.text import plain
from planner.workflow.loading import Loaded
from planner.workflow.risking import risk_inputs

JOB = "risk"
RUNS = {"1 000": 1_000, "10 000": 10_000}
SURE = {"50 in 100": 0.5, "80 in 100": 0.8, "90 in 100": 0.9, "95 in 100": 0.95}
NAMES = {
    Rule.SEQUENCE: "carries on in the plan's order",
    Rule.NEXT: "takes the next zone within reach",
    Rule.WEEKLY: "shares work out anew on Mondays",
}
HELD, DONE = "Windows that water and weather leave", "Shifts whose work is done in them"
STRONG, WEAK = 0.4, 0.1
"""From which rank correlation on words say so (our choice) [1]."""
POLL_S = 1.0


def render() -> None:
    work = workspace()
    st.title("Risk")
    if not components.needs_scenario(work) or work.loaded is None:
        return
    st.caption(plain(work.loaded.campaign.name))
    if work.planned is None or work.planned_for is None:
        st.info("There is no plan yet; risk is about what may come of one.")
        go_to("plan", label="Make a plan →")
        return
    if work.plan_is_old:
        st.warning("The scenario has been changed since the plan was made; the plan is lived.")
    _order(work, work.planned_for, work.planned.plan)
    job = work.benches.get(JOB)
    if not isinstance(job, RiskJob) or job.plan is not work.planned.plan:
        st.markdown(
            "The plan is lived thousands of times, each time with other luck. The site reacts as "
            "sites do and never knows what comes."
        )
    elif job.running():
        _progress()
    elif job.study is None:
        st.error(job.failure)
    else:
        _show(job.study)


def _order(work: Workspace, made_for: Loaded, plan: Plan) -> None:
    with st.container(border=True):
        with st.container(horizontal=True, vertical_alignment="bottom"):
            runs = st.segmented_control(
                "Runs of luck", list(RUNS), default="1 000", required=True, key="risk-runs"
            )
            name = st.selectbox(
                "When the plan cannot be kept, the site",
                list(NAMES.values()),
                index=list(NAMES).index(Rule.NEXT),
                key="risk-rule",
                width=320,
            )
            rule = next((one for one in Rule if NAMES[one] == name), Rule.NEXT)
            begin = st.button("Try the plan", type="primary", key="risk-go")
        st.caption(f"{RULES[rule][0].upper()}{RULES[rule][1:]}.")
        with st.expander("What is drawn"):
            st.markdown(
                "Without files: growth, rates, rebound, breakdowns, late starts and failed panels "
                "with defaults that are mostly from memory. Your own figures in a "
                "`risk.toml`, and the residual of a gauge for tides, make it your site."
            )
            files = st.file_uploader(
                "risk.toml, and the residual file that it names",
                type=["toml", "json"],
                accept_multiple_files=True,
                key="risk-files",
            )
    if begin:
        given = {file.name: file.getvalue() for file in files or ()}
        _begin(work, made_for, plan, given, Settings(runs=RUNS[runs or "1 000"], rule=rule))


def _begin(
    work: Workspace, made_for: Loaded, plan: Plan, given: dict[str, bytes], settings: Settings
) -> None:
    try:
        inputs = _inputs(made_for, given)
    except InputRefusedError as refused:
        st.error("These risk inputs cannot be used.")
        components.problems(refused.problems, key="risk-problems")
        return
    old = work.benches.get(JOB)
    if isinstance(old, RiskJob):
        old.stop()
    job = RiskJob(made_for.campaign, plan, inputs, settings)
    work.benches[JOB] = job
    job.start()
    st.rerun()


def _inputs(made_for: Loaded, given: dict[str, bytes]) -> RiskInputs:
    """Return the inputs of uploaded files; none: the defaults."""
    with TemporaryDirectory() as place:
        folder = Path(place)
        for name, content in given.items():
            target = FILE if name.lower().endswith(".toml") else Path(name).name
            (folder / target).write_bytes(content)
        return risk_inputs(made_for.campaign, folder)


@st.fragment(run_every=POLL_S)
def _progress() -> None:
    job = same_workspace().benches.get(JOB)
    if not isinstance(job, RiskJob):
        return
    if not job.running():
        st.rerun()
    with st.container(border=True):
        st.progress(min(1.0, job.share), text="Living the plan, shift by shift …")
        if st.button("Stop", key="risk-stop"):
            job.stop()


def _show(study: Study) -> None:
    sure = st.segmented_control(
        "How sure", list(SURE), default="80 in 100", required=True, key="risk-sure"
    )
    confidence = SURE[sure or "80 in 100"]
    left, right = st.columns([3, 2], gap="large")
    with left:
        _ladder(study)
    with right:
        st.subheader("What to allow for")
        st.markdown(f"#### {words.reserve_sentence(study, confidence)}")
        st.markdown("\n".join(f"- {plain(text)}" for text in words.what_was_drawn(study)))
    _dues(study)
    _drivers(study, confidence)
    _calendar(study)
    _take_away(study)
    st.caption(f"Odds are as good as what was given. {SAFETY}")


def _ladder(study: Study) -> None:
    st.subheader("Ladder of dates")
    st.markdown(words.headline(study))
    for sentence in reversed(words.rungs(study)):
        odds, _, rest = sentence.partition(": ")
        with st.container(border=True, horizontal=True, vertical_alignment="center"):
            st.markdown(f"#### {odds}", width=150)
            st.markdown(f"{rest[0].upper()}{rest[1:]}")


def _dues(study: Study) -> None:
    sentence = words.due_sentence(study)
    if sentence is None:
        return
    st.subheader("Due dates")
    st.markdown(sentence)
    clock = study.longer.clock
    frame = pd.DataFrame(
        [
            {
                "Zone": row.zone,
                "Due": f"{clock.day(row.due_min - 1):%a %d %b}",
                "Planned": words.day(study, row.planned_min - 1),
                "Chance": words.in_hundred(row.chance),
                "With 80 in 100 by": words.day(study, row.likely_min),
            }
            for row in dues(study)
        ]
    )
    components.table(frame, key="risk-dues", alt="Due dates with their odds")


def _drivers(study: Study, confidence: float) -> None:
    st.subheader("What drives the finish")
    frame = drives_frame(study, confidence=confidence)
    if not len(frame):
        st.markdown("Nothing was drawn.")
        return
    shown = pd.DataFrame(
        {
            "Place": range(1, len(frame) + 1),
            "What happens": [f"{text[0].upper()}{text[1:]}" for text in frame["meaning"]],
            "Without it, days earlier": frame["days_earlier_without"].astype(float).round(1),
            "Goes along with the finish": [
                "" if pd.isna(value) else _along(float(value))
                for value in frame["rank_correlation"]
            ],
        }
    )
    components.table(shown, key="risk-drivers", alt="Drivers of the finish, the strongest first")
    st.caption(
        f"Days by which the date that is kept in {words.in_hundred(confidence)} would come "
        "earlier if this one thing went as planned. Days do not add up: a day lost twice is lost "
        "once. The last column is Spearman's rank correlation over all lives."
    )


def _along(value: float) -> str:
    strong = "strongly" if abs(value) >= STRONG else "somewhat"
    if abs(value) < WEAK:
        strong = "hardly"
    return f"{strong} ({value:+.2f})"


def _calendar(study: Study) -> None:
    st.subheader("Calendar of windows")
    chosen = st.segmented_control(
        "Show", (HELD, DONE), default=HELD, required=True, key="risk-calendar-of"
    )
    st.caption(
        "Each tile is a day with planned shifts; the number says in how many of 100 lives the "
        "window held, or the work was done, as the mean of that day's shifts."
    )
    components.chart(
        odds_calendar(study, done=chosen == DONE),
        key=f"risk-calendar-{chosen}",
        alt="Weeks and days with the odds that the planned windows hold; the table has them all.",
    )
    with st.expander("Every planned shift, and what took its window"):
        components.table(
            windows_frame(study), key="risk-windows", alt="Planned shifts in their windows"
        )


def _take_away(study: Study) -> None:
    st.subheader("Take away")
    st.caption("Every planned shift in its window")
    components.take_away(windows_frame(study), name="risk-windows")
    if len(dues(study)):
        st.caption("Due dates")
        components.take_away(dues_frame(study), name="risk-due-dates")
    st.download_button(
        "Every life (Parquet)",
        data=lambda: runs_frame(study).to_parquet(index=False),
        file_name="runs.parquet",
        mime="application/vnd.apache.parquet",
        on_click="ignore",
        key="risk-runs-file",
    )


if __name__ == "__main__":
    render()
