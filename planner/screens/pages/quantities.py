"""Bags, loads, water, rebound and hoses; and what is shared."""

from __future__ import annotations

import streamlit as st

from planner.model.campaign import Campaign
from planner.model.identifiers import ZoneId
from planner.plan.plan import Plan
from planner.reports.figures.call_off import call_off
from planner.reports.quantities import run_materials
from planner.reports.quantities_frames import quantity_frame, why_frame
from planner.reports.quantities_tables import By, quantity_table
from planner.reports.quantities_why import why_zone
from planner.screens import components
from planner.screens.navigation import go_to
from planner.screens.state import Workspace, workspace
from planner.screens.text import plain

VIEWS = {
    "Week by week": By.WEEK,
    "By mix": By.MIX,
    "By zone": By.ZONE,
    "By run": By.RUN,
}
SHARED = "Shared resources"
OF_PLAN = frozenset({"Week by week", "By run", SHARED})
LIMIT = (
    "Quantities are for ordering and planning. The mix's maker, the trials and the engineer "
    "decide what is sprayed; panels, washing and curing are not counted."
)


def render() -> None:
    work = workspace()
    st.title("Quantities")
    if not components.needs_scenario(work) or work.loaded is None:
        return
    campaign, plan = _counted(work, work.loaded.campaign)
    st.caption(plain(campaign.name))
    names = [*VIEWS, *([SHARED] if campaign.resources else [])]
    shown = [name for name in names if plan is not None or name not in OF_PLAN]
    view = st.segmented_control("Show", shown, default=shown[0], required=True, key="qty-view")
    if plan is None:
        st.info("There is no plan yet: whole zones are counted, with the first mix they may use.")
        go_to("plan", label="Make a plan →")
    if view == SHARED and plan is not None:
        _shared(campaign, plan)
        return
    _table(work, campaign, plan, str(view))
    st.info(LIMIT)
    _sources(campaign, plan)


def _counted(work: Workspace, campaign: Campaign) -> tuple[Campaign, Plan | None]:
    """Return the latest plan with the campaign it was made for, or the campaign alone."""
    if work.planned is None or work.planned_for is None:
        return campaign, None
    if work.plan_is_old:
        st.warning("The scenario has been changed since the plan was made; the plan is counted.")
    return work.planned_for.campaign, work.planned.plan


def _table(work: Workspace, campaign: Campaign, plan: Plan | None, view: str) -> None:
    by = VIEWS[view]
    if by is By.WEEK and plan is not None:
        figure = work.remember("call-off", lambda: call_off(run_materials(campaign, plan)))
        components.chart(
            figure, key="call-off", alt="Tonnes shot in each week by mix; the table says the same."
        )
    frame = quantity_frame(quantity_table(campaign, plan, by))
    components.table(frame, key=f"qty-{by}", alt=f"Quantities {view.lower()}")
    components.take_away(frame, name=f"quantities-{by}")


def _shared(campaign: Campaign, plan: Plan) -> None:
    st.markdown(
        "Never more of a resource is in use at a minute than there is (rule 16). Where it is all "
        "taken for many hours, one more may bring the finish forward; try it and plan again."
    )
    frame = quantity_frame(quantity_table(campaign, plan, By.RESOURCE))
    components.table(frame, key="qty-shared", alt="Shared resources and how much is in use")
    components.take_away(frame, name="shared-resources")


def _sources(campaign: Campaign, plan: Plan | None) -> None:
    st.subheader("Where the numbers come from")
    zones = [str(zone.zone_id) for zone in campaign.zones]
    zone = st.selectbox("Zone", zones, key="qty-zone", width=320)
    figures = why_zone(campaign, plan, ZoneId(zone))
    if not figures:
        st.caption("This zone is not in the plan, or no mix may be sprayed on it.")
        return
    components.table(
        why_frame(figures), key="qty-why", alt="Formula, inputs and source of each number"
    )


if __name__ == "__main__":
    render()
