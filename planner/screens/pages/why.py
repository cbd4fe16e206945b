"""Ask why: what set a spell, what fills a gap, why a zone is left out."""

from __future__ import annotations

import streamlit as st

from planner.explain.gap import Gap, gaps, why_gap
from planner.explain.ground import Ground
from planner.model.identifiers import RigId, ZoneId
from planner.plan.plan import Spell
from planner.reports.figures.run_marks import SPELL_OF
from planner.reports.figures.who_when import who_when
from planner.reports.why import (
    causes_frame,
    gap_sentence,
    gap_title,
    pieces_frame,
    spell_sentences,
    spell_title,
    zone_sentences,
)
from planner.screens import components, results
from planner.screens.navigation import go_to
from planner.screens.state import Workspace, workspace
from planner.screens.text import plain
from planner.screens.turn_views import ground

SPELL, GAP, ZONE = "A spell", "A gap of a rig", "A zone"
LEAST_MIN = 15
BEFORE_MIN, AFTER_MIN = 16 * 60, 8 * 60


def render() -> None:
    work = workspace()
    st.title("Ask why")
    if not components.needs_scenario(work):
        return
    if work.planned is None or work.planned_for is None:
        st.info(
            "Make a plan first. Then choose a spell, a gap or a zone here and read what set it: "
            "window, crew, layer gap, panel, relocation or closure, with times."
        )
        go_to("plan", label="Plan it →")
        return
    scene = results.scene(work, work.planned_for, work.planned)
    laid = ground(work, scene)
    if work.planned.violations:
        st.warning("This plan breaks rules, so what is said of it may be wrong.")
    about = st.segmented_control(
        "About", (SPELL, GAP, ZONE), default=SPELL, required=True, key="about"
    )
    if about == GAP:
        _gap(laid)
    elif about == ZONE:
        _zone(laid)
    else:
        _spell(work, laid)


def _spell(work: Workspace, laid: Ground) -> None:
    spells = sorted(laid.plan.spells, key=lambda row: (row.start_min, row.rig))
    if not spells:
        st.info("This plan has no spell.")
        return
    with st.container(horizontal=True, vertical_alignment="bottom"):
        zones = ["every zone", *dict.fromkeys(str(row.zone) for row in spells)]
        zone = st.selectbox("Zone", zones, key="why-zone", width=200)
        shown = [row for row in spells if zone in ("every zone", row.zone)]
        spell = st.selectbox(
            "Spell (or click one in the chart)",
            shown,
            format_func=lambda row: spell_title(laid, row),
            key="why-spell",
            width=480,
        )
    answer = st.container(border=True)
    asked = _chart(work, laid, spell) or spell
    with answer:
        st.markdown(f"#### {plain(spell_title(laid, asked))}")
        told = spell_sentences(laid, asked)
        st.markdown(plain(told[0]))
        st.markdown("\n".join(f"- {plain(sentence)}" for sentence in told[1:]))


def _chart(work: Workspace, laid: Ground, spell: Spell) -> Spell | None:
    """Show who works around a time; return the spell that was clicked."""
    if work.planned is None or work.planned_for is None:
        return None
    scene = results.scene(work, work.planned_for, work.planned)
    start = max(0, spell.start_min - BEFORE_MIN)
    end = min(laid.clock.horizon_min, spell.end_min + AFTER_MIN)
    figure = who_when(scene, laid, start, end, asked=spell)
    event = components.chart(
        figure,
        key=f"why-{start}",
        alt="Who works when around the spell; choose spells from the list above.",
        select=True,
    )
    points = [] if event is None else event["selection"]["points"]
    for point in points:
        meta = str(figure.data[point["curve_number"]].meta or "")
        if meta.startswith(SPELL_OF):
            spells = laid.spells_of_run[meta.removeprefix(SPELL_OF)]
            return spells[int(point["point_index"]) % len(spells)]  # rig's lane, then crew's
    return None


def _gap(laid: Ground) -> None:
    with st.container(horizontal=True, vertical_alignment="bottom"):
        rig = st.selectbox("Rig", [str(rig) for rig in laid.rigs], key="why-rig", width=160)
        found = [gap for gap in gaps(laid, RigId(rig)) if gap.minutes >= LEAST_MIN]
        if not found:
            st.info(f"Rig {plain(rig)} has no gap of {LEAST_MIN} min or more in this plan.")
            return
        gap: Gap = st.selectbox(
            "Gap",
            found,
            format_func=lambda one: gap_title(laid, one),
            key=f"why-gap-{rig}",
            width=560,
        )
    pieces = why_gap(laid, gap.rig, gap.start_min, gap.end_min)
    st.markdown(plain(gap_sentence(laid, gap, pieces)))
    left, right = st.columns([1, 3])
    with left:
        components.table(
            causes_frame(pieces), key="why-causes", alt="Minutes of the gap by sort of cause"
        )
    with right:
        frame = pieces_frame(laid, pieces)
        components.table(frame, key="why-pieces", alt="What fills the gap, one row each")
        components.take_away(frame, name="gap")
    st.caption(
        "Every minute has one cause, so the rows add up to the gap. Spare means that a run could "
        "be made there; the plan's goals gained nothing by it."
    )


def _zone(laid: Ground) -> None:
    left_out = [str(row.zone) for row in laid.plan.unplanned]
    others = [str(zone) for zone in laid.zones if str(zone) not in left_out]
    zone = st.selectbox(
        "Zone, those left out first",
        [*left_out, *others],
        format_func=lambda name: f"{name} (left out)" if name in left_out else name,
        key="why-one-zone",
        width=280,
    )
    for sentence in zone_sentences(laid, ZoneId(zone)):
        st.markdown(f"- {plain(sentence)}")


if __name__ == "__main__":
    render()
