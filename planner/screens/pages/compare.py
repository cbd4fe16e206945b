"""What the plan costs, stagings of the job side by side, and where the cheaper one changes."""

from __future__ import annotations

from collections.abc import Sequence

import pandas as pd
import streamlit as st

from planner import __version__
from planner.core.problems import errors
from planner.estimate.line import Estimate
from planner.estimate.staging import Staging
from planner.plan.plan import Plan
from planner.reports.comparison import crossing_words, verdict
from planner.reports.comparison_tables import (
    bill_sums,
    hours_frame,
    items_frame,
    lines_frame,
    stagings_frame,
)
from planner.reports.estimate_rows import headline, notes
from planner.reports.figures.stagings import bill_bar, break_even_curve, money_bars
from planner.reports.labels import GOALS, count
from planner.reports.sentences import SAFETY
from planner.screens import components, stagings
from planner.screens.navigation import go_to
from planner.screens.state import Workspace, same_workspace, workspace
from planner.screens.sweep_job import SweepJob
from planner.screens.text import plain
from planner.workflow import comparing
from planner.workflow.comparing import Curve, How
from planner.workflow.comparison_files import comparison_file
from planner.workflow.estimating import Files, priced_plan
from planner.workflow.loading import Loaded
from planner.workflow.scaling import Axis, scale_of
from planner.workflow.sweep_task import Row, Task
from planner.workflow.variants import Variant

ESTIMATE, BESIDE, BREAK_EVEN = "Estimate of the plan", "Stagings side by side", "Break-even"
AXES = {
    Axis.VOLUME: "volume of the job",
    Axis.DISTANCE: "distance from the set-up to the faces",
    Axis.WINDOW: "length of the windows",
}
CHEAPEST = "Lowest cost, then earliest finish"
WRITTEN = "As the scenario says"
POLL_S = 1.0
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


def render() -> None:
    work = workspace()
    st.title("Cost")
    if not components.needs_scenario(work) or work.loaded is None:
        return
    st.caption(plain(work.loaded.campaign.name))
    views = (ESTIMATE, BESIDE, BREAK_EVEN)
    default = ESTIMATE if work.planned is not None else BESIDE
    view = st.segmented_control("Show", views, default=default, required=True, key="cost-view")
    if view == ESTIMATE:
        _estimate(work)
    else:
        _setting_up(work, work.loaded, is_curve=view == BREAK_EVEN)


def _estimate(work: Workspace) -> None:
    if work.planned is None or work.planned_for is None:
        st.info("There is no plan yet; an estimate prices a plan.")
        go_to("plan", label="Make a plan →")
        return
    if work.plan_is_old:
        st.warning("The scenario has been changed since the plan was made; the plan is priced.")
    made_for, plan = work.planned_for, work.planned.plan
    book = tuple(made_for.tables.book.items())
    priced = work.remember(f"priced-{hash(book)}", lambda: priced_plan(made_for, plan))
    st.markdown(f"#### {headline(priced)}")
    if not book:
        st.info(
            "Only the prices of campaign.toml are counted. A price book (prices.toml) adds "
            "mobilisation, access, break-out, curing, tests and more."
        )
    components.chart(
        bill_bar(bill_sums(priced)),
        key="bill-bar",
        alt="Share of each item of the bill; the table below holds the same sums.",
    )
    components.table(items_frame(priced), key="items", alt="Items of the bill")
    st.markdown("\n".join(f"- {plain(text)}" for text in notes(made_for.campaign, plan, priced)))
    _files(made_for, plan, priced)
    st.subheader("What paid crew-hours go into")
    components.table(hours_frame(priced.crew_time), key="hours", alt="Paid hours of each crew")
    st.subheader("Every line, and where it comes from")
    components.table(lines_frame(priced), key="lines", alt="Lines of the bill with their sources")
    st.caption(SAFETY)


def _files(loaded: Loaded, plan: Plan, priced: Estimate) -> None:
    files = Files(loaded, plan, priced, version=__version__)
    with st.container(horizontal=True):
        st.download_button(
            "Estimate as PDF",
            data=files.pdf,
            file_name="estimate.pdf",
            mime="application/pdf",
            on_click="ignore",
            key="estimate-pdf",
            type="primary",
        )
        st.download_button(
            "Estimate as XLSX",
            data=files.xlsx,
            file_name="estimate.xlsx",
            mime=XLSX,
            on_click="ignore",
            key="estimate-xlsx",
        )


def _setting_up(work: Workspace, loaded: Loaded, *, is_curve: bool) -> None:
    st.markdown(
        "Each staging is the scenario with some changes: other rigs, crews, shifts, mixes, hoses. "
        "Every one is planned anew, with all rules and with proven bounds."
    )
    bench = stagings.bench_of(work)
    with st.expander("Stagings", expanded="asked" not in work.benches):
        stagings.edit(bench, loaded.campaign)
    base = st.checkbox(
        "The scenario as it stands, too", value=not is_curve, key=f"with-base-{is_curve}"
    )
    variants, problems = stagings.variants_of(bench, loaded, with_base=base)
    if problems:
        st.error("Some changes do not fit; each line says where and what would be right.")
        components.problems(problems, key="staging-problems")
    ready = not errors(problems)
    how = _how(loaded)
    if is_curve:
        _curve(work, variants, how, ready=ready)
    else:
        _side_by_side(work, loaded, variants, how, ready=ready)


def _how(loaded: Loaded) -> How:
    written = ", then ".join(GOALS[goal].lower() for goal in loaded.campaign.goals)
    with st.container(horizontal=True, vertical_alignment="bottom"):
        goals = st.selectbox(
            "Goals", [CHEAPEST, WRITTEN], key="cost-goals", width=290, help=f"Written: {written}."
        )
        effort = st.number_input(
            "Effort for each plan", 0.1, 200.0, 2.0, 0.5, key="cost-effort", width=170
        )
        seeds = st.number_input("Seeds for each", 1, 20, 1, 1, key="cost-seeds", width=130)
    chosen = ("cost", "finish") if goals == CHEAPEST else ()
    return How(seeds=int(seeds), effort=float(effort), goals=chosen)


def _goals(loaded: Loaded, how: How) -> tuple[str, ...]:
    return how.goals or tuple(goal.value for goal in loaded.campaign.goals)


def _side_by_side(
    work: Workspace, loaded: Loaded, variants: Sequence[Variant], how: How, *, ready: bool
) -> None:
    tasks = comparing.compare_tasks(variants, how)
    if _start("compare", "Compare", ready=ready and bool(variants)):
        _begin(work, "compare", SweepJob(tasks))
    rows = _watched(work, "compare", tasks)
    if rows is None:
        return
    found = comparing.stagings(rows, _goals(loaded, how))
    for sentence in verdict(found):
        st.markdown(f"**{plain(sentence)}**")
    if not found:
        return
    components.chart(
        money_bars(found, loaded.campaign.clock),
        key="money-bars",
        alt="Estimate of each staging in groups of money; the table below holds the figures.",
    )
    frame = stagings_frame(found)
    components.table(frame, key="stagings", alt="Figures of each staging")
    st.caption(
        "Cost gap: how far the planner's cost may be from the best possible, as far as is proven. "
        "Close races need more effort. " + SAFETY
    )
    _take_away(loaded, rows, [], _goals(loaded, how), frame)


def _curve(work: Workspace, variants: Sequence[Variant], how: How, *, ready: bool) -> None:
    if len(variants) < 2:
        st.info("Break-even needs two stagings.")
        return
    names = {variant.variant: variant.name for variant in variants}
    with st.container(horizontal=True, vertical_alignment="bottom"):
        keys = list(names)
        first = st.selectbox(
            "One", keys, 0, format_func=lambda k: names[k], key="be-one", width=240
        )
        second = st.selectbox(
            "Other", keys, 1, format_func=lambda k: names[k], key="be-other", width=240
        )
        axis = st.selectbox(
            "Scaled", list(AXES), format_func=lambda a: AXES[a], key="be-axis", width=300
        )
    one = next(variant for variant in variants if variant.variant == first)
    other = next(variant for variant in variants if variant.variant == second)
    scale = scale_of(one.loaded.campaign, axis)
    values = st.multiselect(
        f"Values ({scale.unit}): {scale.meaning}",
        list(scale.values),
        list(scale.values),
        key=f"be-values-{axis}",
        accept_new_options=False,
    )
    is_pair = one is not other
    if not is_pair:
        st.warning("Choose two different stagings.")
    name = f"curve-{axis}"
    tasks = comparing.curve_tasks(one, other, axis, sorted(values), how)
    if _start(name, "Find the break-even", ready=ready and is_pair and len(values) > 1):
        _begin(work, name, SweepJob(tasks))
    rows = _watched(work, name, tasks)
    if rows is None:
        return
    made = comparing.curve(rows, one, other, axis, _goals(one.loaded, how))
    _show_curve(one.loaded, rows, made)


def _show_curve(loaded: Loaded, rows: Sequence[Row], made: Curve) -> None:
    scale = made.scale
    words = crossing_words(made.one, made.other, made.crossings, scale.unit)
    st.markdown(f"**{plain(words)}**")
    if not made.one or not made.other:
        return
    title = f"{scale.meaning} ({scale.unit})"
    components.chart(
        break_even_curve(made.one, made.other, made.crossings, axis_title=title),
        key=f"curve-chart-{scale.axis}",
        alt="Estimate per m³ of two stagings over what is scaled; the table holds the figures.",
    )
    st.caption("A ring marks a plan that leaves zones out: its m³ are another job's.")
    frame = pd.concat(
        [
            _along(stagings_frame(points), f"Value ({scale.unit})", points)
            for points in (made.one, made.other)
        ]
    )
    components.table(frame, key=f"curve-table-{scale.axis}", alt="Figures of each point")
    _take_away(loaded, rows, [made], (), frame)


def _along(frame: pd.DataFrame, name: str, points: Sequence[Staging]) -> pd.DataFrame:
    frame.insert(1, name, [point.at for point in points])
    return frame


def _start(name: str, label: str, *, ready: bool) -> bool:
    busy = any(job.running() for job in same_workspace().sweeps.values())
    return st.button(label, type="primary", key=f"start-{name}", disabled=busy or not ready)


def _begin(work: Workspace, name: str, job: SweepJob) -> None:
    work.sweeps[name] = job
    work.benches["asked"] = True
    job.start()
    st.rerun()


def _watched(work: Workspace, name: str, tasks: Sequence[Task]) -> Sequence[Row] | None:
    """Show a comparison that runs; return the rows of one that has ended.

    Where ``tasks`` are others by now, the reader is told.
    """
    job = work.sweeps.get(name)
    if job is None:
        return None
    if job.running():
        _progress(name)
        return None
    if job.swept is None:
        st.error(job.failure)
        return None
    if not job.is_of(tasks):
        st.warning("Scenario or set-up has been changed since; these are the earlier figures.")
    if job.swept.stopped:
        st.warning(f"Stopped with {count(len(job.swept.rows), 'plan')}.")
    return job.swept.rows


@st.fragment(run_every=POLL_S)
def _progress(name: str) -> None:
    job = same_workspace().sweeps.get(name)
    if job is None:
        return
    if not job.running():
        st.rerun()
    latest = job.latest
    with st.container(border=True):
        share = latest.done / latest.total if latest.total else 1.0
        st.progress(share, text=f"{latest.done} of {count(latest.total, 'plan')}")
        if latest.latest is not None:
            st.caption(f"Latest: {plain(str(latest.latest['name']))}")
        if st.button("Stop with what is there", key=f"stop-{name}", disabled=job.stopping):
            job.stop()


def _take_away(
    loaded: Loaded,
    rows: Sequence[Row],
    curves: Sequence[Curve],
    goals: Sequence[str],
    frame: pd.DataFrame,
) -> None:
    st.download_button(
        "Report as PDF",
        data=lambda: comparison_file(loaded, rows, curves, goals, version=__version__),
        file_name="stagings.pdf",
        mime="application/pdf",
        on_click="ignore",
        key=f"stagings-pdf-{len(curves)}",
        type="primary",
    )
    components.take_away(frame, name="break-even" if curves else "stagings")


if __name__ == "__main__":
    render()
