"""Paper and calendars of the latest plan, and the plans that were issued."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory
from zipfile import ZIP_DEFLATED, ZipFile

import pandas as pd
import streamlit as st

from planner import __version__
from planner.core.problems import InputRefusedError
from planner.plan.summary import summary
from planner.reports.figures.told_finish import told_finish
from planner.screens import components
from planner.screens.data_folder import now
from planner.screens.navigation import go_to
from planner.screens.site_place import records_place
from planner.screens.state import Workspace, workspace
from planner.screens.text import plain
from planner.site.issued import Issue
from planner.workflow.issuing import issue_differences, issue_plan, issued_plans
from planner.workflow.loading import Loaded
from planner.workflow.papers import Order, Papers
from planner.workflow.planning import Planned, write_result
from planner.workflow.site import Writer

EVERYBODY = "everybody"
SHIFTS, WEEKS, CALENDARS, BOOK, REPORT = (
    "Shift sheets",
    "Sheets of the weeks",
    "Calendars of the crews",
    "Plan as a workbook",
    "Report of the campaign",
)


def render() -> None:
    work = workspace()
    st.title("Sheets")
    if not components.needs_scenario(work) or work.head is None:
        return
    place = records_place(work.head)
    if work.planned is None or work.planned_for is None:
        st.info("Make a plan first; then it can be printed here and issued.")
        go_to("plan", label="Plan it →")
        _issues(place)
        return
    if work.planned.violations:
        st.error("This plan breaks rules and is not printed.")
        return
    if work.plan_is_old:
        st.warning("The scenario has been changed since this plan was made.")
    _papers(work, place, work.planned_for, work.planned)
    _issue(place, work.planned_for, work.planned)
    _issues(place)


def _papers(work: Workspace, place: Path, loaded: Loaded, planned: Planned) -> None:
    clock = loaded.campaign.clock
    crews = [str(crew.crew_id) for crew in loaded.campaign.crews]
    with st.container(border=True):
        wanted = st.pills(
            "Print",
            (SHIFTS, WEEKS, CALENDARS, BOOK, REPORT),
            selection_mode="multi",
            default=(SHIFTS, WEEKS),
            key="sheets-what",
        )
        with st.container(horizontal=True, vertical_alignment="bottom"):
            crew = st.selectbox("Crew", [EVERYBODY, *crews], key="sheets-crew", width=200)
            first = st.date_input(
                "From",
                clock.first_day,
                min_value=clock.first_day,
                max_value=clock.last_day,
                key="sheets-from",
                width=170,
            )
            last = st.date_input(
                "To",
                clock.last_day,
                min_value=clock.first_day,
                max_value=clock.last_day,
                key="sheets-to",
                width=170,
            )
        order = Order(
            crew=None if crew == EVERYBODY else str(crew),
            first_day=first,
            last_day=last,
            shifts=SHIFTS in wanted,
            weeks=WEEKS in wanted,
            calendars=CALENDARS in wanted,
            workbook=BOOK in wanted,
            report=REPORT in wanted,
        )
        st.download_button(
            "Download as one zip file",
            data=lambda: _zip(_of(work, place, loaded, planned), order),
            file_name="sheets.zip",
            mime="application/zip",
            on_click="ignore",
            type="primary",
            key="sheets-zip",
        )
        st.caption(
            "A4, black and grey. Shift sheets hold the three stops and the level that stops work "
            "whatever the clock says; board, gauge, permits and local codes decide on site."
        )


def _of(work: Workspace, place: Path, loaded: Loaded, planned: Planned) -> Papers:
    del work
    figures = summary(loaded.campaign, planned.plan, planned.proof, version=__version__)
    return Papers(place, loaded.campaign, planned.plan, figures)


def _zip(papers: Papers, order: Order) -> bytes:
    packed = BytesIO()
    with ZipFile(packed, "w", ZIP_DEFLATED) as archive:
        for name, data in papers.files(order):
            archive.writestr(name, data)
    return packed.getvalue()


def _issue(place: Path, loaded: Loaded, planned: Planned) -> None:
    st.subheader("Issue this plan")
    st.caption("An issued plan is kept with its scenario; sheets and calendars bear its number.")
    with st.container(horizontal=True, vertical_alignment="bottom"):
        by = st.text_input("Who issues it", key="issue-by", width=200)
        note = st.text_input("Why", key="issue-note", width=320)
        pressed = st.button("Issue", key="issue", disabled=not by.strip())
    if not pressed:
        return
    with TemporaryDirectory() as name:
        folder = Path(name) / "plan"
        write_result(loaded, planned, folder, version=__version__)
        writer = Writer(by=by, at=now(), token="")
        try:
            done = issue_plan(place, loaded, folder, writer, note=note)
        except InputRefusedError as refused:
            components.problems(refused.problems)
            return
    if done.is_new:
        st.success(f"Kept as issue {done.issue.number}.")
    else:
        st.info(f"This very plan is issue {done.issue.number} already.")


def _issues(place: Path) -> None:
    found = issued_plans(place)
    if not found:
        return
    st.subheader("Plans issued")
    components.table(_frame(found), key="issues", alt="Plans issued, one row each")
    components.chart(
        told_finish(found),
        key="told",
        alt="Finish of each plan issued and the forecast at that time; the table has the dates.",
    )
    if len(found) > 1:
        _differences(place, found)


def _frame(found: tuple[Issue, ...]) -> pd.DataFrame:
    return pd.DataFrame(
        {
            "Issue": row.number,
            "Issued": row.issued_at.replace(tzinfo=None),
            "By": row.by,
            "Why": row.note,
            "Finish": None if row.finish is None else row.finish.replace(tzinfo=None),
            "Forecast": None if row.forecast is None else row.forecast.replace(tzinfo=None),
            "m³": round(row.planned_m3, 1),
        }
        for row in found
    )


def _differences(place: Path, found: tuple[Issue, ...]) -> None:
    numbers = [row.number for row in found]
    with st.container(horizontal=True, vertical_alignment="bottom"):
        before = st.selectbox(
            "From issue", numbers, index=len(numbers) - 2, key="diff-a", width=150
        )
        after = st.selectbox("to issue", numbers, index=len(numbers) - 1, key="diff-b", width=150)
    words = issue_differences(place, int(before), int(after))
    if not words:
        st.info("The two plans are the same.")
    st.markdown("\n".join(f"- {plain(sentence)}" for sentence in words))


if __name__ == "__main__":
    render()
