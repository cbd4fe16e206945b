"""Leafing: buttons to go back and on, with a choice between them."""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

import streamlit as st


def stepper(
    name: str,
    count: int,
    *,
    label: str,
    said: Callable[[int], str],
    first: int = 0,
    by: Literal["list", "slider"] = "list",
) -> int:
    """Show buttons and a choice of one of several steps; return the one chosen.

    Parameters
    ----------
    name
        Key of the choice; its buttons are called after it.
    count
        How many steps there are; nothing is shown for one.
    label, said
        What is chosen, and what each step is called.
    first
        The step shown at first.
    by
        Whether the choice is a list or a slider.
    """
    if count <= 1:
        return 0
    kept = st.session_state.get(name, first)
    at = kept if isinstance(kept, int) and 0 <= kept < count else min(first, count - 1)
    st.session_state[name] = at

    def turn(step: int) -> None:
        st.session_state[name] = min(count - 1, max(0, at + step))

    with st.container(horizontal=True, vertical_alignment="bottom"):
        st.button("← Back", key=f"{name}-back", on_click=turn, args=(-1,), disabled=at == 0)
        st.button("On →", key=f"{name}-on", on_click=turn, args=(1,), disabled=at == count - 1)
        if by == "list":
            st.selectbox(label, range(count), format_func=said, key=name, width=340)
        else:
            st.select_slider(label, range(count), format_func=said, key=name)
    return at
