"""Any two plans of a scenario beside each other: figures, and what moved."""

from __future__ import annotations

from pathlib import Path

import streamlit as st

from planner.core.problems import InputRefusedError
from planner.plan.plan import Plan
from planner.reports.two_plans import figures_frame, moved_frame, what_differs
from planner.screens import components
from planner.screens.kept_plans import kept, name_of, show_kept
from planner.screens.state import Workspace
from planner.screens.text import plain
from planner.workflow.checking import check_folder
from planner.workflow.loading import Loaded

FOLDER = "A plan folder on this machine"


def compare(work: Workspace, loaded: Loaded) -> None:
    """Let two plans be chosen and show how they differ."""
    plans = {one.name: one for one in kept(work).plans}
    here = name_of(work)
    others = [name for name in plans if name != here]
    st.caption(
        "Plans that you make are kept here while the planner runs; each is compared for the "
        "scenario of the one that is shown."
    )
    with st.container(horizontal=True, vertical_alignment="bottom"):
        chosen = st.selectbox(
            f"Beside plan {here}", [*reversed(others), FOLDER], key="beside", width=380
        )
        if chosen in plans and st.button("Show that one instead", key="show-other"):
            show_kept(work, plans[chosen])
            st.rerun()
    other: Plan | None
    if chosen in plans:
        other, name = plans[chosen].planned.plan, chosen
    else:
        other, name = _from_folder(loaded), "folder"
    if other is None or work.planned is None:
        return
    _both(loaded, (name, other), (here or "this plan", work.planned.plan))


def _from_folder(loaded: Loaded) -> Plan | None:
    text = st.text_input("Path of the plan folder", key="beside-path").strip()
    if not text:
        return None
    try:
        checked = check_folder(loaded, Path(text).expanduser())
    except InputRefusedError as refused:
        st.error("This folder cannot be read as a plan.")
        components.problems(refused.problems, key="beside-problems")
        return None
    if checked.violations:
        st.warning(f"That plan breaks {len(checked.violations)} rules of this scenario.")
    return checked.plan


def _both(loaded: Loaded, before: tuple[str, Plan], after: tuple[str, Plan]) -> None:
    campaign = loaded.campaign
    frame = figures_frame(campaign, (before, after))
    components.table(frame, key="two-figures", alt="Figures of both plans")
    told = what_differs(campaign, before[1], after[1])
    st.markdown(f"**From {plain(before[0])} to {plain(after[0])}**")
    st.markdown("\n".join(f"- {plain(text)}" for text in told[:8]))
    if len(told) > 8:
        with st.expander(f"{len(told) - 8} more"):
            st.markdown("\n".join(f"- {plain(text)}" for text in told[8:]))
    moved = moved_frame(campaign, before[1], after[1])
    if len(moved):
        st.markdown("**What moved, the most first**")
        components.table(moved, key="two-moved", alt="Zones that are done otherwise")
        components.take_away(moved, name="what-moved")
