"""Check a plan folder, however it was made, against the scenario that is open."""

from __future__ import annotations

from pathlib import Path

import streamlit as st

from planner.core.problems import InputRefusedError
from planner.screens import components, results
from planner.screens.navigation import go_to
from planner.screens.state import workspace
from planner.workflow.checking import check_folder
from planner.workflow.loading import Loaded


def render() -> None:
    work = workspace()
    st.title("Check a plan")
    if work.loaded is None:
        st.info("Open the scenario first that the plan belongs to.")
        go_to("start", label="Choose a scenario →")
        return
    st.markdown(
        f"Every rule and every figure of a plan folder, worked out once more for "
        f"**{work.loaded.campaign.name}**, however the plan was made or changed."
    )
    text = st.text_input("Path of a plan folder on this machine", key="plan-path")
    if st.button("Check", type="primary", key="check") and text.strip():
        _check(work.loaded, Path(text.strip()).expanduser())


def _check(loaded: Loaded, folder: Path) -> None:
    try:
        checked = check_folder(loaded, folder)
    except InputRefusedError as refused:
        st.error("This folder cannot be read as a plan.")
        components.problems(refused.problems)
        return
    if not checked.same_scenario:
        st.warning("The plan says that it was made from another scenario, or an older one.")
    results.check(checked.violations)


if __name__ == "__main__":
    render()
