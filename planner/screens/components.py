"""Pieces that several pages show."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import pandas as pd
import plotly.graph_objects as go
import streamlit as st

from planner.core.problems import Problem, errors
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
    "toImageButtonOptions": {"format": "svg", "filename": "ebbwork"},
}
CARD_PX = 236
INK, INK_ON_DARK = "#31333F", "#FAFAFA"
"""Text of charts: the page's own, since the theme's grey for charts is too pale to read well."""
WHEN = "ddd D MMM HH:mm"


def chart(figure: go.Figure, *, key: str, alt: str) -> None:
    """Show a figure across the page, with words for those who cannot see it."""
    ink = INK_ON_DARK if st.context.theme.type == "dark" else INK
    figure.update_layout(font={"color": ink})
    figure.update_xaxes(tickfont={"color": ink})
    figure.update_yaxes(tickfont={"color": ink}, title={"font": {"color": ink}})
    st.plotly_chart(figure, key=key, alt=alt, config=CHART, width="stretch")


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
