"""When the faces can be reached: water, limits, windows, closures, usable hours, lost time."""

from __future__ import annotations

import streamlit as st

from planner.access.windows import Access
from planner.model.campaign import Campaign
from planner.model.water import WaterKind
from planner.model.zone import Zone
from planner.reports.figures.month_board import month_board
from planner.reports.figures.water_levels import grouped, water_levels
from planner.reports.overview import heights_frame
from planner.reports.usable_hours import day_hours, days_frame, lost_frame
from planner.reports.window_calendar import window_calendar
from planner.reports.window_frame import windows_frame
from planner.reports.wording import day_name
from planner.screens import components
from planner.screens.state import Workspace, workspace
from planner.screens.stepping import stepper

DAYS = 4
WATER, MONTH, LOST, LIST = "Water and windows", "Hours by day", "Lost time", "List"
FIRST_ZONES = 4


def render() -> None:
    work = workspace()
    st.title("Windows")
    if not components.needs_scenario(work) or work.loaded is None:
        return
    campaign = work.loaded.campaign
    access = work.view("access", lambda: Access(campaign))
    st.caption(
        "A window is the time in which the water keeps a zone's limits, allowance included, and "
        "nothing is closed. People work in it less the time to get in and out. Tide boards, flow "
        "alarms and people on site decide."
    )
    about = st.segmented_control(
        "Look at", (WATER, MONTH, LOST, LIST), default=WATER, required=True, key="windows-about"
    )
    zones = _zones(campaign, access)
    if about == MONTH:
        _month(work, campaign, access, zones)
    elif about == LOST:
        _lost(campaign, access, zones)
    elif about == LIST:
        _list(campaign, access, zones)
    else:
        _water(campaign, access, zones)
    components.picture_choice()


def _zones(campaign: Campaign, access: Access) -> list[Zone]:
    """Let zones be chosen; none means all of them."""
    known = {str(zone.zone_id): zone for zone in campaign.zones}
    first = [str(group[0].zone_id) for group in grouped(access, campaign.zones)[:FIRST_ZONES]]
    picked = st.multiselect("Zones (none: all)", list(known), default=first, key="windows-zones")
    return [known[name] for name in picked] or list(campaign.zones)


def _water(campaign: Campaign, access: Access, zones: list[Zone]) -> None:
    clock = campaign.clock
    calendar = clock.calendar()
    pages = list(range(0, len(calendar), DAYS))
    at = stepper(
        "windows-page",
        len(pages),
        label="Which days",
        said=lambda k: (
            f"{day_name(calendar[pages[k]])} to "
            f"{day_name(calendar[min(pages[k] + DAYS, len(calendar)) - 1])}"
        ),
    )
    first = pages[at]
    start = clock.day_start(calendar[first])
    end = clock.day_end(calendar[min(first + DAYS, len(calendar)) - 1])
    components.chart(
        water_levels(campaign, access, zones, start, end),
        key=f"windows-{first}",
        alt="Water level with the limits of the chosen zones, their windows beneath it and the "
        "closures with reasons; the list holds the same windows.",
    )
    limits = "Dashed lines are the zones' limits with the water's allowance taken off. "
    has_water = campaign.water.kind is not WaterKind.NONE
    st.caption(
        f"{limits if has_water else ''}Zones that open together share a lane; dark is the time at "
        "the face. Hatched: closed, and why."
    )
    frame = heights_frame(campaign)
    with st.expander("Windows by kind and height of face"):
        components.table(frame, key="windows-heights", alt="Kinds of faces with their windows")


def _month(work: Workspace, campaign: Campaign, access: Access, zones: list[Zone]) -> None:
    staffed = st.toggle("Only hours with a spray crew on shift", value=True, key="windows-staffed")
    names = tuple(zone.zone_id for zone in zones)
    days = work.view(f"days-{names}", lambda: day_hours(campaign, access, zones))
    best = max(days, key=lambda one: one.staffed_h)
    st.markdown(
        f"Together {sum(one.staffed_h for one in days):.0f} h with a crew, "
        f"{sum(one.open_h for one in days):.0f} h in all; the best day is "
        f"{day_name(best.day)} with {best.staffed_h:.1f} h."
    )
    components.chart(
        month_board(days, staffed=staffed),
        key="hours-by-day",
        alt="Usable hours of each day; the table beneath holds the same.",
    )
    st.caption("An hour counts when at least one of the chosen zones can be worked at.")
    frame = days_frame(days)
    with st.expander("The same as a table"):
        components.table(frame, key="windows-days", alt="Usable hours, one row for each day")
        components.take_away(frame, name="usable-hours")


def _lost(campaign: Campaign, access: Access, zones: list[Zone]) -> None:
    frame = lost_frame(access, zones, campaign.clock.horizon_min)
    whole_h = campaign.clock.horizon_min / 60.0
    st.markdown(
        f"Of {whole_h:.0f} h in the campaign, what keeps the chosen zones shut, in hours for one "
        "zone. Several causes may hold at once; the last column is what would be gained without "
        "one of them."
    )
    components.table(frame, key="windows-lost", alt="Lost time by cause, one row each")
    components.take_away(frame, name="lost-time")


def _list(campaign: Campaign, access: Access, zones: list[Zone]) -> None:
    frame = windows_frame(campaign, access, zones)
    components.table(frame, key="windows-list", alt="Windows, one row each", height=480)
    components.take_away(frame, name="windows")
    st.download_button(
        "Calendar file (.ics)",
        data=lambda: window_calendar(campaign),
        file_name="windows.ics",
        mime="text/calendar",
        on_click="ignore",
        key="windows-ics",
    )


if __name__ == "__main__":
    render()
