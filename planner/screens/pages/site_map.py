"""The site to scale from any side; what reaches what; a new position tried before it is saved."""

from __future__ import annotations

import streamlit as st

from planner.model.campaign import Campaign
from planner.model.identifiers import PositionId, ZoneId
from planner.reach.hoses import Reach
from planner.reports.figures.site_sheet import Interest, site_sheet
from planner.reports.figures.site_views import Side, best_side, sheet_of, sides, stretches
from planner.reports.labels import count
from planner.reports.reach_tables import (
    names,
    position_frame,
    reached_from,
    reaching,
    zone_frame,
)
from planner.screens import components
from planner.screens.bar import bar
from planner.screens.new_position import Placing, placing
from planner.screens.site_background import Background, background
from planner.screens.state import Workspace, workspace
from planner.screens.stepping import stepper
from planner.screens.text import plain

LOOK, POSITION, ZONE, NEW = "The site", "A position", "A zone", "A new position"
HOSE, RATE = "Hose length", "Rate in place"


def render() -> None:
    work = workspace()
    st.title("Site map")
    if not components.needs_scenario(work) or work.loaded is None:
        return
    bar(work)
    campaign = work.loaded.campaign
    reach = work.view("reach", lambda: Reach(campaign))
    with st.container(horizontal=True, vertical_alignment="bottom"):
        about = st.segmented_control(
            "Look at", (LOOK, POSITION, ZONE, NEW), default=LOOK, required=True, key="map-about"
        )
        offered = sides(campaign)
        side = st.segmented_control(
            "From where",
            offered,
            default=best_side(campaign),
            format_func=lambda one: one.value.capitalize(),
            required=True,
            key="map-side",
        )
    side = side or best_side(campaign)
    behind = background() if side in (Side.DOWN, Side.UP) else Background()
    if about == POSITION:
        _position(campaign, reach, side, behind)
    elif about == ZONE:
        _zone(campaign, reach, side, behind)
    elif about == NEW:
        _new(work, campaign, reach, side, behind)
    else:
        _draw(campaign, side, Interest(lines=behind.lines, picture=behind.picture))
        st.caption("Choose a position or a zone above, or click one, to see what reaches what.")
    components.picture_choice()


def _draw(campaign: Campaign, side: Side, picked: Interest) -> tuple[str, float, float] | None:
    """Show the map; return what was clicked: kind and name, and where."""
    sheet = sheet_of(campaign, side)
    cuts = stretches(sheet)
    at = stepper(
        f"map-cut-{side.name}",
        len(cuts) + 1 if len(cuts) > 1 else 1,
        label="Which stretch",
        said=lambda k: "the whole" if not k else f"{cuts[k - 1][0]:.0f} to {cuts[k - 1][1]:.0f} m",
    )
    st.caption(sheet.words)
    event = components.chart(
        site_sheet(campaign, sheet, picked, cuts[at - 1] if at else None),
        key=f"site-{side.name}-{picked.position}-{picked.zone}-{picked.trial}-{at}",
        alt=f"Map of zones, positions and hose routes, {side.value}; the tables beneath hold what "
        "reaches what.",
        select=True,
    )
    points = [] if event is None else event["selection"]["points"]
    for point in points:
        data = point.get("customdata") or ["", ""]
        if len(data) > 1:
            return str(data[1]), float(point["x"]), float(point["y"])
    return None


def _clicked(found: tuple[str, float, float] | None, kind: str, key: str) -> None:
    """Take a click on the map as the choice of a list above it."""
    if found is not None and found[0].startswith(f"{kind}:"):
        name = found[0].partition(":")[2]
        if st.session_state.get(f"{key}-clicked") != name:
            st.session_state[f"{key}-clicked"] = name
            st.rerun()


def _choice(label: str, offered: list[str], key: str) -> str:
    """Show a list whose choice may also come from a click on the map."""
    clicked = st.session_state.pop(f"{key}-clicked", None)
    if clicked in offered:
        st.session_state[key] = clicked
    return st.selectbox(label, offered, key=key, width=240)


def _position(campaign: Campaign, reach: Reach, side: Side, behind: Background) -> None:
    places = {str(row.position_id): row for row in campaign.positions}
    with st.container(horizontal=True, vertical_alignment="bottom"):
        name = _choice("Position", list(places), "map-position")
        rigs = {str(row.rig_id): row for row in campaign.rigs}
        rig = st.segmented_control(
            "With rig", list(rigs), default=next(iter(rigs)), required=True, key="map-rig"
        )
        shade = st.segmented_control(
            "Shade by", (HOSE, RATE), default=HOSE, required=True, key="map-shade"
        )
    position, chosen = places[name], rigs[str(rig)]
    rows = reached_from(reach, position, chosen)
    by_hose = shade == HOSE
    values = {row.zone: row.hose_m if by_hose else row.rate_m3_h for row in rows}
    st.markdown(
        f"From **{plain(name)}**, rig **{plain(str(rig))}** reaches "
        f"{len(rows)} of {count(len(campaign.zones), 'zone')}"
        + (f", the farthest with {max(r.hose_m for r in rows):.0f} m of hose." if rows else ".")
    )
    picked = Interest(
        position=position.position_id,
        values=values,
        unit="m of hose" if by_hose else "m³/h",
        decimals=0 if by_hose else 2,
        lines=behind.lines,
        picture=behind.picture,
    )
    _clicked(_draw(campaign, side, picked), "position", "map-position")
    frame = position_frame(reach, position)
    components.table(frame, key="map-reached", alt=f"What each rig reaches from {name}")
    components.take_away(frame, name="reached")


def _zone(campaign: Campaign, reach: Reach, side: Side, behind: Background) -> None:
    zones = {str(row.zone_id): row for row in campaign.zones}
    name = _choice("Zone", list(zones), "map-zone")
    zone = zones[name]
    found = reaching(reach, zone)
    said = f"is reached from {names(map(ZoneId, map(str, found)))}" if found else "is out of reach"
    st.markdown(f"**{plain(name)}** {plain(said)}.")
    picked = Interest(
        zone=ZoneId(name),
        reaching=frozenset(found),
        lines=behind.lines,
        picture=behind.picture,
    )
    _clicked(_draw(campaign, side, picked), "zone", "map-zone")
    frame = zone_frame(reach, zone)
    components.table(frame, key="map-reaching", alt=f"What reaches {name}, and why the rest not")
    components.take_away(frame, name="reaching")


def _new(
    work: Workspace, campaign: Campaign, reach: Reach, side: Side, behind: Background
) -> None:
    tried: Placing = placing(work, campaign, reach)
    shown = campaign if tried.trial is None else tried.trial.campaign
    picked = Interest(
        trial=None if tried.trial is None else PositionId(tried.name),
        values=tried.values,
        unit="m of hose",
        is_placing=True,
        lines=behind.lines,
        picture=behind.picture,
    )
    if side is Side.DOWN:
        st.caption("Click anywhere on the map to place it there, or type the coordinates above.")
    found = _draw(shown, side, picked)
    if found is not None and found[0] == "place" and side is Side.DOWN:
        place = (found[1], found[2])
        if st.session_state.get("new-place-last") != place:
            st.session_state["new-place-last"] = place
            st.rerun()


if __name__ == "__main__":
    render()
