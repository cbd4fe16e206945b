"""A new position: where it would stand, what it would reach, and saving it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import streamlit as st

from planner.model.campaign import Campaign
from planner.model.identifiers import PositionId, ZoneId
from planner.model.position import Position
from planner.model.rules import ReachBy
from planner.reach.hoses import Reach
from planner.reports.labels import count
from planner.reports.reach_tables import (
    Trial,
    gained,
    names,
    nearest_places,
    reached_from,
    try_position,
)
from planner.scenario.raw import Tables
from planner.screens import state
from planner.screens.numbers import metres
from planner.screens.state import Workspace
from planner.screens.text import plain
from planner.workflow.editing import with_row

LINKS = 2
"""Hose legs that are proposed at first; more can be added."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Placing:
    """What is tried: its name, the trial, and the hose to each zone that it reaches [m]."""

    name: str
    trial: Trial | None = None
    values: Mapping[ZoneId, float] = field(default_factory=dict)


def placing(work: Workspace, campaign: Campaign, reach: Reach) -> Placing:
    """Ask for a place, show what would be reached, and offer to save it."""
    name, at = _place(campaign)
    if at is None:
        st.error("Write x, y and z as plain numbers in metres.")
        return Placing(name=name)
    if name in {str(row.position_id) for row in campaign.positions} or not name:
        st.error("Give it a name that no other position has.")
        return Placing(name=name)
    links = _links(campaign, at)
    position = Position(position_id=PositionId(name), x_m=at[0], y_m=at[1], z_m=at[2])
    trial = try_position(campaign, position, links)
    _told(campaign, reach, trial)
    after = Reach(trial.campaign)
    best: dict[ZoneId, float] = {}
    for rig in campaign.rigs:
        for row in reached_from(after, position, rig):
            best[row.zone] = min(row.hose_m, best.get(row.zone, row.hose_m))
    if st.button("Save it in the scenario", type="primary", key="new-save"):
        _save(work, trial)
    return Placing(name=name, trial=trial, values=best)


def _place(campaign: Campaign) -> tuple[str, tuple[float, float, float] | None]:
    """Ask for name and place; a click on the map gives fields of its own with its place."""
    clicked: tuple[float, float] | None = st.session_state.get("new-place-last")
    first = campaign.positions[0]
    x, y = clicked or (first.x_m + 5.0, first.y_m)
    turn = "" if clicked is None else f"-{x:g}-{y:g}"
    taken = {str(row.position_id) for row in campaign.positions}
    free = next(f"N{k}" for k in range(1, len(taken) + 2) if f"N{k}" not in taken)
    with st.container(horizontal=True, vertical_alignment="bottom"):
        name = st.text_input("Name", value=free, key="new-name", width=120).strip()
        found = [
            metres(st.text_input(f"{axis} (m)", value=f"{value:g}", key=key, width=110))
            for axis, value, key in (
                ("x", x, f"new-x{turn}"),
                ("y", y, f"new-y{turn}"),
                ("z", first.z_m, "new-z"),
            )
        ]
    if found[0] is None or found[1] is None or found[2] is None:
        return name, None
    return name, (found[0], found[1], found[2])


def _links(campaign: Campaign, at: tuple[float, float, float]) -> list[tuple[str, float]]:
    """Ask to which places a hose goes on from here; nothing to ask where lengths are by grid."""
    if campaign.reach_by is not ReachBy.ROUTES:
        st.caption("Hose lengths come from coordinates (reach.by = grid): no routes are needed.")
        return []
    near = dict(nearest_places(campaign, at))
    chosen = st.multiselect(
        "Hose goes on to",
        list(near),
        default=list(near)[:LINKS],
        format_func=lambda name: f"{name}, {near[name]:g} m along the axes",
        key="new-links",
    )
    found: list[tuple[str, float]] = []
    with st.container(horizontal=True):
        for name in chosen:
            text = st.text_input(
                f"Leg to {name} (m)",
                value=f"{near[name]:g}",
                key=f"new-leg-{name}-{near[name]:g}",
                width=130,
            )
            length = metres(text)
            if length is None or length <= 0:
                st.error(f"Write the length of the leg to {name} as a number above 0.")
                continue
            found.append((name, length))
    return found


def _told(campaign: Campaign, reach: Reach, trial: Trial) -> None:
    lines = []
    for rig, (here, fresh) in gained(reach, trial).items():
        text = f"Rig {rig} would reach {len(here)} of {count(len(campaign.zones), 'zone')}"
        if fresh:
            text += f"; {len(fresh)} that nothing reaches now: {names(fresh)}"
        lines.append(f"- {plain(text)}.")
    st.markdown("\n".join(lines))


def _save(work: Workspace, trial: Trial) -> None:
    if work.tables is None:
        return
    place = trial.position
    cells = {
        "position": str(place.position_id),
        "x_m": f"{place.x_m:g}",
        "y_m": f"{place.y_m:g}",
        "z_m": f"{place.z_m:g}",
    }
    tables: Tables = with_row(work.tables, "positions", cells)
    for route in trial.routes:
        leg = {
            "from": route.start,
            "to": route.end,
            "length_m": f"{route.length_m:g}",
            "rise_m": f"{route.rise_m:.6g}",
        }
        tables = with_row(tables, "routes", leg)
    state.change_tables(tables, what=f"positions: {place.position_id} placed on the map")
    st.rerun()
