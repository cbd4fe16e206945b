"""Charts of a plan that go tide by tide: the low-water strip, who works when, filled by tide."""

from __future__ import annotations

import streamlit as st

from planner.explain.ground import Ground
from planner.model.identifiers import RigId
from planner.reports.figures.filled import filled, progress_at
from planner.reports.figures.low_water_strip import low_water_strip
from planner.reports.figures.projection import View, project, views
from planner.reports.figures.who_when import who_when
from planner.reports.labels import count
from planner.reports.lost_minutes import Share, Shares, shares_frame
from planner.reports.scene import Scene
from planner.reports.turns import Turn, Turns, turns_of
from planner.screens import components
from planner.screens.state import Workspace
from planner.screens.stepping import stepper

PER_PAGE = 7
DAYS = (1, 2, 3, 5, 7)
DAYS_FIRST = 3
VIEW_NAMES = {View.PLAN: "From above", View.UNROLLED: "Unrolled"}


def turns(work: Workspace, scene: Scene) -> Turns:
    """Return the tides, days or nights of the plan."""
    return work.remember("turns", lambda: turns_of(scene.campaign, scene.plan))


def ground(work: Workspace, scene: Scene) -> Ground:
    """Return the plan laid out for questions."""
    return work.remember("ground", lambda: Ground(scene.campaign, scene.plan))


def pager(name: str, pages: list[list[Turn]], word: str) -> list[Turn]:
    """Let the reader leaf through pages of turns; return those of the page chosen."""
    if not pages:
        return []

    def said(k: int) -> str:
        first, last = pages[k][0], pages[k][-1]
        return f"{first.number} to {last.number}, from {first.name}"

    at = stepper(f"{name}-page", len(pages), label=f"Which {word}s", said=said)
    return pages[at]


def strip(work: Workspace, scene: Scene) -> None:
    """Show the low-water strip, and the same as a table."""
    found = turns(work, scene)
    with st.container(horizontal=True, vertical_alignment="bottom"):
        rigs = _rigs(scene)
        every = st.toggle(f"Also {found.word}s without work", key="strip-every")
    chosen = list(found.found) if every else found.busy(scene.plan)
    pages = [chosen[k : k + PER_PAGE] for k in range(0, len(chosen), PER_PAGE)]
    page = pager("strip", pages, found.word)
    if not page:
        st.info("Nothing is planned, so there is nothing to show.")
        return
    shares = [_share(work, scene, turn, rig) for turn in page for rig in rigs]
    st.caption(
        f"A row for each {found.word}. The pale shape is the window: wide at the top for the "
        "highest faces, narrow beneath for the lowest, its foot without getting in and out. In it "
        "lie the runs; beneath them the minutes with a face open and a crew on shift that were "
        "not used, each with its cause."
        if scene.has_water()
        else f"A row for each {found.word}, hours across. Beneath the runs lie the minutes with a "
        "crew on shift that were not used, each with its cause."
    )
    figure = low_water_strip(scene, shares)
    components.chart(
        figure,
        key="low-water-strip",
        alt=f"Each {found.word} as a row: the window as a shape, the runs in it, minutes lost by "
        "cause; the table beneath says the same.",
    )
    frame = shares_frame(shares)
    with st.expander("The same as a table"):
        components.table(frame, key="strip-table", alt="Minutes of each turn by what they went to")
        components.take_away(frame, name="strip")


def _rigs(scene: Scene) -> list[RigId]:
    names = {str(rig.rig_id): rig.rig_id for rig in scene.campaign.rigs}
    picked = st.multiselect("Rigs", list(names), default=list(names), key="strip-rigs", width=360)
    return [names[name] for name in picked or names]


def _share(work: Workspace, scene: Scene, turn: Turn, rig: RigId) -> Share:
    every = work.remember("shares", lambda: Shares(scene, ground(work, scene)))
    return work.remember(f"share-{turn.number}-{rig}", lambda: every.of(turn, rig))


def lanes(work: Workspace, scene: Scene) -> None:
    """Show who works when: rigs and crews, a few days at a time."""
    clock = scene.campaign.clock
    found = turns(work, scene)
    busy = found.busy(scene.plan)
    first_day = clock.day_index(max(0, busy[0].start_min)) if busy else 0
    with st.container(horizontal=True, vertical_alignment="bottom"):
        days = st.segmented_control(
            "Days shown", DAYS, default=DAYS_FIRST, required=True, key="lanes-days"
        )
        last = max(first_day, clock.days - 1)
        day = st.select_slider(
            "From",
            range(clock.days),
            value=min(first_day, last),
            format_func=lambda k: f"{clock.calendar()[k]:%a %d %b}",
            key="lanes-from",
            width=420,
        )
    start = clock.day_start(clock.calendar()[day])
    end = clock.day_start(clock.calendar()[min(day + (days or 1), clock.days) - 1])
    end = clock.day_end(clock.day(end))
    st.caption("Rigs above, crews beneath; a run stands in both, with the same marks.")
    components.chart(
        who_when(scene, ground(work, scene), start, end),
        key="who-works-when",
        alt="Runs, relocations and break-out of each rig and each crew over some days; the "
        "tables hold the same rows.",
    )


def fill(work: Workspace, scene: Scene) -> None:
    """Show the site filled tide by tide, with a stepper."""
    found = turns(work, scene)
    offered = views(scene.campaign)
    view = offered[0]
    busy = found.busy(scene.plan)
    if not busy:
        st.info("Nothing is planned, so nothing is filled.")
        return
    if len(offered) > 1:
        view = st.segmented_control(
            "View",
            offered,
            default=view,
            format_func=lambda one: VIEW_NAMES[one],
            required=True,
            key="fill-view",
        )
    step = _stepper(busy, found.word)
    state = progress_at(scene, found, step.number)
    done = sum(one.is_done for one in state.values())
    now = [str(zone) for zone, one in state.items() if one.is_now]
    said = f"{', '.join(now[:8])}{'…' if len(now) > 8 else ''}" if now else "nothing ends"
    st.markdown(
        f"After {found.word} {step.number}, {step.name}: {done} of "
        f"{count(len(scene.campaign.zones), 'zone')} done. In it: {said}."
    )
    st.caption(
        f"{project(scene.campaign, view).scale_words} Beside a zone's name stand the numbers of "
        f"the {found.word}s in which it was sprayed; dark is early, light is late; begun zones "
        "are hatched, those of this step framed."
    )
    components.chart(
        filled(scene, found, step.number, view),
        key=f"filled-{view}",
        alt=f"The site after {found.word} {step.number}; the table of zones tells each end.",
    )


def _stepper(busy: list[Turn], word: str) -> Turn:
    at = stepper(
        "fill-step",
        len(busy),
        label=f"After which {word}",
        said=lambda k: f"{busy[k].number} · {busy[k].name}",
        first=len(busy) - 1,
        by="slider",
    )
    return busy[at]
