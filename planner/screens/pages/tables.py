"""Every table of the scenario, to be read and changed."""

from __future__ import annotations

import streamlit as st

from planner.screens.state import workspace


def render() -> None:
    workspace()
    st.title("Tables")


if __name__ == "__main__":
    render()
