"""How to read the charts, and what the planner does not do."""

from __future__ import annotations

import streamlit as st

from planner.reports.sentences import SAFETY

TEXT = """
**Words.** A *zone* is one patch to repair. A *position* is a place where a rig can be set up. A
*spell* is one stretch of spraying one layer, or a piece of it. A *run* is one rig with one crew at
one position, from start-up to clean-up. A *relocation* moves a rig from one position to another.

**Bound and gap.** Beside each goal stands what no valid plan can beat, as far as it is proven. The
true best lies between the two. Where they meet, the plan is proven best. Goals are taken in order:
the bound of a later goal holds for plans that keep the earlier ones.

**Windows.** A face can be reached while the water, with its allowance, keeps the zone's limits and
nothing is closed. Time to get in and out is taken off both ends. Fresh concrete must also have its
hours before the water reaches it.

**Colours.** Each set-up position has a hue and a pattern, the same on every chart and on the map.
"""


def render() -> None:
    st.title("How to read it")
    st.markdown(TEXT)
    st.subheader("What the planner does not do")
    st.markdown(
        f"{SAFETY} It gives no advice on mixes, structures, diving, confined spaces or permits, "
        "and it knows no weather but what the scenario says."
    )


if __name__ == "__main__":
    render()
