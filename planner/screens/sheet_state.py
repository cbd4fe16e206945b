"""What a browser tab remembers of its sheets and fields while somebody types."""

from __future__ import annotations

import math
from typing import cast

import streamlit as st

from planner.screens.data_folder import now
from planner.screens.state import PARAMETER


def sheet_key(name: str, content: str) -> str:
    """Return the key of a sheet's widgets: another one when its content came from elsewhere.

    While only the sheet itself changes its content the key stays, so that no keystroke is lost.
    """
    sheets = st.session_state.setdefault("sheets", {})
    owner = str(st.session_state.get(PARAMETER, ""))
    known_owner, known, number = sheets.get(name, ("", "", 0))
    if (known_owner, known) != (owner, content):
        number += 1
        sheets[name] = (owner, content, number)
    return f"sheet-{name}-{number}"


def sheet_kept(name: str, content: str) -> None:
    """Remember that a sheet's present content is its own doing."""
    sheets = st.session_state.setdefault("sheets", {})
    owner, _, number = sheets.get(name, ("", "", 0))
    sheets[name] = (owner, content, number)


def sheet_base(name: str, key: str, cells: dict[str, list[str]]) -> dict[str, list[str]]:
    """Return the cells that a sheet was drawn with first under its key.

    It keeps them while somebody types: its own memory holds the edits since, and cells that come
    in between could disturb what is just being typed.
    """
    bases = st.session_state.setdefault("bases", {})
    if bases.get(name, ("", None))[0] != key:
        bases[name] = (key, cells)
    return cast("dict[str, list[str]]", bases[name][1])


def renew_sheet(name: str) -> None:
    """Let a sheet be drawn with its present cells, under the same key."""
    st.session_state.setdefault("bases", {}).pop(name, None)


def note_edit() -> None:
    """Remember that somebody types just now."""
    st.session_state["edited-at"] = now()


def rest_s() -> float:
    """Return how long nothing has been typed [s]."""
    last = st.session_state.get("edited-at")
    return math.inf if last is None else float((now() - last).total_seconds())


def turn(name: str) -> int:
    """Return how often something has been done in this tab; fields named by it empty then."""
    return int(st.session_state.get(f"turn-{name}", 0))


def next_turn(name: str) -> None:
    """Count that something has been done."""
    st.session_state[f"turn-{name}"] = turn(name) + 1


def widget_value(key: str) -> object:
    """Return what a widget holds; None where it is not on the page."""
    return st.session_state.get(key)
