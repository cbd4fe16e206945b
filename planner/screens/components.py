"""Pieces that several pages show."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import pandas as pd
import plotly.graph_objects as go
import streamlit as st
from streamlit.elements.plotly_chart import PlotlyState

from planner.core.problems import Problem, errors
from planner.reports.frame_files import csv_bytes, xlsx_bytes
from planner.reports.key_figures import KeyFigure
from planner.reports.labels import count
from planner.reports.tables import problems_frame
from planner.screens.navigation import go_to
from planner.screens.state import Workspace
from planner.screens.text import plain

CHART = {
    "displaylogo": False,
    "scrollZoom": False,
    "modeBarButtonsToRemove": ["select2d", "lasso2d", "autoScale2d"],
}
CARD_PX = 236
INK, INK_ON_DARK = "#31333F", "#FAFAFA"
"""Text of charts: the page's own, since the theme's grey for charts is too pale to read well."""
WHEN = "ddd D MMM HH:mm"


PICTURES = {"svg": "SVG", "png": "PNG"}
"""Kinds of picture that the button at a chart's corner can save."""


def chart(figure: go.Figure, *, key: str, alt: str, select: bool = False) -> PlotlyState | None:
    """Show a figure across the page, with words for those who cannot see it.

    With ``select``, a click on a point runs the page again, and what was clicked is returned.
    """
    ink = INK_ON_DARK if st.context.theme.type == "dark" else INK
    figure.update_layout(font={"color": ink})
    figure.update_xaxes(tickfont={"color": ink})
    figure.update_yaxes(tickfont={"color": ink}, title={"font": {"color": ink}})
    kind = picture_kind()
    config = {**CHART, "toImageButtonOptions": {"format": kind, "filename": key, "scale": 2}}
    if not select:
        st.plotly_chart(figure, key=key, alt=alt, config=config, width="stretch")
        return None
    return st.plotly_chart(
        figure,
        key=key,
        alt=alt,
        config=config,
        width="stretch",
        on_select="rerun",
        selection_mode="points",
    )


def picture_kind() -> str:
    """Return the kind of picture that charts are saved as, as chosen at the foot of a page."""
    return str(st.session_state.get("picture") or next(iter(PICTURES)))


def picture_choice() -> None:
    """Let the reader choose the kind of picture that charts are saved as."""
    st.segmented_control(
        "Save charts as (camera at a chart's corner)",
        list(PICTURES),
        default=picture_kind(),
        format_func=lambda kind: PICTURES[kind],
        required=True,
        key="picture",
        persist_state="session",
    )


def take_away(frame: pd.DataFrame, *, name: str) -> None:
    """Offer a table as CSV and as a workbook; they are made when they are asked for."""
    with st.container(horizontal=True):
        st.download_button(
            "CSV",
            data=lambda: csv_bytes(frame),
            file_name=f"{name}.csv",
            mime="text/csv",
            on_click="ignore",
            key=f"csv-{name}",
        )
        st.download_button(
            "XLSX",
            data=lambda: xlsx_bytes(frame, sheet=name),
            file_name=f"{name}.xlsx",
            mime="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
            on_click="ignore",
            key=f"xlsx-{name}",
        )


def table(frame: pd.DataFrame, *, key: str, alt: str, height: int | None = None) -> None:
    """Show a frame; columns of times are written as the site's wall clock."""
    times = {
        str(name): st.column_config.DatetimeColumn(format=WHEN)
        for name in frame.columns
        if str(frame[name].dtype).startswith("datetime")
    }
    st.dataframe(
        frame,
        key=key,
        alt=alt,
        hide_index=True,
        column_config=times,
        height=height if height is not None else "auto",
    )


def needs_scenario(work: Workspace) -> bool:
    """Return whether there is a campaign to show; where not, say what to do and lead there."""
    if work.loaded is not None:
        return True
    if work.head is None:
        st.info("Open a scenario first; a demo will do.")
        go_to("start", label="Choose a scenario →")
        return False
    wrong = len(errors(work.problems))
    st.warning(
        f"**{plain(work.head.name)}** cannot be planned yet: {count(wrong, 'thing')} to mend or "
        "fill in. They are listed beside the tables."
    )
    go_to("tables", label="Go to the tables →")
    return False


def problems(found: Sequence[Problem], *, key: str = "problems") -> None:
    """Show what is wrong with an input, and the same lines to copy."""
    frame = problems_frame(found)
    table(frame, key=key, alt="Problems of the input, one row each")
    with st.expander("The same as lines to copy"):
        st.code("\n".join(problem.line() for problem in found), language=None)


def figures(found: Iterable[KeyFigure]) -> None:
    """Show key figures as cards: value, what is proven, and what that means."""
    with st.container(horizontal=True):
        for figure in found:
            with st.container(border=True, width=CARD_PX, height="stretch"):
                st.caption(figure.name)
                st.markdown(f"#### {figure.value}")
                st.markdown(f"✓ {figure.verdict}" if figure.proven else figure.verdict)
                if figure.bound and not figure.proven:
                    st.caption(f"proven bound: {figure.bound}")
