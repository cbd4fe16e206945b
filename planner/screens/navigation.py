"""Which pages there are, and in which order."""

from __future__ import annotations

from pathlib import Path

import streamlit as st
from streamlit.navigation.page import StreamlitPage

from planner.screens.drafts import StoreError
from planner.screens.text import plain

PAGES = Path(__file__).resolve().parent / "pages"
STYLE = """<style>
.stMainBlockContainer {padding-top: 4.5rem; padding-bottom: 3rem;}
button[data-selected="true"] {color: inherit !important; font-weight: 600;}
[data-testid="stCaptionContainer"] {color: inherit !important; opacity: 0.8;}
</style>"""
"""Less empty room around a page; chosen tab and small print in the text's own colour, since the
theme's grey has a contrast of 3.9 to 1 on white and 4.5 is asked for (WCAG 2.1, 1.4.3)."""
TITLES = {
    "start": "Start",
    "tables": "Tables",
    "equipment": "Equipment",
    "site_map": "Site map",
    "windows": "Windows",
    "plan": "Plan",
    "why": "Ask why",
    "sheets": "Sheets",
    "progress": "On site",
    "tests": "Tests",
    "quantities": "Quantities",
    "compare": "Cost",
    "risk": "Risk",
    "check": "Check",
    "reading": "How to read it",
}
"""Files of :data:`PAGES`, in the order of the work, with their titles."""


def run() -> None:
    """Set the page up and show the one that is asked for."""
    st.set_page_config(page_title="Ebbwork", page_icon="🌊", layout="wide")
    st.html(STYLE)
    chosen = st.navigation(pages(), position="top")
    try:
        chosen.run()
    except StoreError as trouble:
        st.error(f"Nothing can be kept: {plain(str(trouble))}.")


def pages() -> list[StreamlitPage]:
    """Return the pages in the order of the work."""
    return [page(name) for name in TITLES]


def page(name: str) -> StreamlitPage:
    """Return one page by the name of its file."""
    default = name == next(iter(TITLES))
    return st.Page(PAGES / f"{name}.py", title=TITLES[name], url_path=name, default=default)


def go_to(name: str, *, label: str) -> None:
    """Show a button that leads to another page."""
    if st.button(label, key=f"go-{name}"):
        st.switch_page(page(name))
