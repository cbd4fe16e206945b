"""A drawing or an outline to lie behind the site map, for this browser tab alone."""

from __future__ import annotations

import base64
from collections.abc import Sequence
from dataclasses import dataclass

import streamlit as st

from planner.reports.outline import Line, OutlineError, outline
from planner.screens.numbers import metres

LARGE_MB = 5
KINDS = {"png": "image/png", "jpg": "image/jpeg", "jpeg": "image/jpeg"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Background:
    """Lines, and a picture with its left, top, width and height [m], to lie behind the map."""

    lines: Sequence[Line] = ()
    picture: tuple[str, float, float, float, float] | None = None


def background() -> Background:
    """Offer to lay an outline or a picture behind the map; return what is there."""
    with st.expander("Lay a drawing behind the map"):
        st.caption(
            "GeoJSON with lines or areas in site coordinates (metres, not degrees), or a picture "
            "with the place of its corner. It stays in this browser tab and is not saved."
        )
        file = st.file_uploader(
            "Outline or picture", type=["geojson", "json", *KINDS], key="map-behind"
        )
        if file is None:
            return Background()
        if file.size > LARGE_MB * 1_000_000:
            st.error(f"The file is larger than {LARGE_MB} MB; save it smaller.")
            return Background()
        ending = file.name.rpartition(".")[2].lower()
        if ending in KINDS:
            return _picture(file.getvalue(), KINDS[ending])
        return _outline(file.getvalue())


def _outline(content: bytes) -> Background:
    try:
        return Background(lines=outline(content.decode("utf-8-sig")))
    except UnicodeDecodeError:
        st.error("This file is not UTF-8 text; save the outline as GeoJSON.")
    except OutlineError as wrong:
        st.error(f"The outline cannot be used: {wrong}.")
    return Background()


def _picture(content: bytes, kind: str) -> Background:
    numbers = []
    with st.container(horizontal=True):
        for name, first in (
            ("Left x (m)", "0"),
            ("Top y (m)", "0"),
            ("Width (m)", "100"),
            ("Height (m)", "100"),
        ):
            text = st.text_input(name, value=first, key=f"behind-{name}", width=120)
            numbers.append(metres(text))
    left, top, width, height = numbers
    if left is None or top is None or not width or not height or width < 0 or height < 0:
        st.error("Write the place and the size of the picture as plain numbers in metres.")
        return Background()
    source = f"data:{kind};base64,{base64.b64encode(content).decode('ascii')}"
    return Background(picture=(source, left, top, width, height))
