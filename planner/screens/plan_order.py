"""What to plan for: three choices in plain words, the ordered list under "more", and locks."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

import streamlit as st

from planner.model.campaign import Campaign
from planner.model.identifiers import Goal
from planner.reports.labels import GOALS
from planner.reports.wording import day_name
from planner.screens import state
from planner.screens.state import Workspace
from planner.screens.text import plain
from planner.workflow.loading import Loaded
from planner.workflow.locks import LockOrder, in_order, with_lock, without_lock

WRITTEN = "As the scenario says"
CHOICES: dict[str, tuple[Goal, ...]] = {
    "Earliest finish": (Goal.FINISH, Goal.RELOCATIONS, Goal.COST),
    "Fewest relocations": (Goal.RELOCATIONS, Goal.FINISH, Goal.COST),
    "Lowest cost": (Goal.COST, Goal.FINISH, Goal.RELOCATIONS),
}
SECONDS = 60
PER_CENT = 100.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """What somebody wants planned, and how long to search [s].

    Attributes
    ----------
    choice
        What it is called.
    loaded
        The scenario with its goals in that order; None: the order cannot be used as it is.
    """

    choice: str
    loaded: Loaded | None
    seconds: float
    seed: int


def order(loaded: Loaded) -> Order:
    """Show the choices and return what is chosen."""
    campaign = loaded.campaign
    choice = st.segmented_control(
        "What matters most?",
        [*CHOICES, WRITTEN],
        default=WRITTEN,
        required=True,
        key="choice",
    )
    goals = CHOICES.get(choice or WRITTEN, campaign.goals)
    if choice != WRITTEN and Goal.LATE in campaign.goals:
        goals = (Goal.LATE, *goals)
    worsen = campaign.may_worsen if choice == WRITTEN else (0.0,) * (len(goals) - 1)
    with st.expander("More: the order of goals, how much each may be worsened, the search"):
        goals, worsen, wrong = _goals(goals, worsen, choice=choice or WRITTEN)
        seconds, seed = _search()
    st.caption(_told(goals, worsen))
    chosen = choice or WRITTEN
    if wrong:
        st.error(wrong)
        return Order(choice=chosen, loaded=None, seconds=seconds, seed=seed)
    is_written = goals == campaign.goals and worsen == campaign.may_worsen
    return Order(
        choice=chosen,
        loaded=loaded if is_written else in_order(loaded, goals, worsen),
        seconds=seconds,
        seed=seed,
    )


def _told(goals: tuple[Goal, ...], worsen: tuple[float, ...]) -> str:
    words = []
    for index, goal in enumerate(goals):
        share = worsen[index] if index < len(worsen) else 0.0
        more = f" (up to {PER_CENT * share:g} % may be given up for what follows)" if share else ""
        words.append(f"{GOALS[goal].lower()}{more}")
    return f"Most volume first, then {', then '.join(words)}."


def _goals(
    goals: tuple[Goal, ...], worsen: tuple[float, ...], *, choice: str
) -> tuple[tuple[Goal, ...], tuple[float, ...], str]:
    """Let the order be changed; return goals, fractions, and what is wrong with them."""
    picked = st.multiselect(
        "Goals, the most important first",
        list(Goal),
        default=list(goals),
        format_func=lambda goal: GOALS[goal],
        key=f"goals-{choice}",
    )
    if not picked:
        return goals, worsen, "Choose at least one goal."
    found: list[float] = []
    wrong = ""
    with st.container(horizontal=True):
        for index, goal in enumerate(picked[:-1]):
            before = worsen[index] if index < len(worsen) and goals[index] == goal else 0.0
            text = st.text_input(
                f"{GOALS[goal]} may be worse by (%)",
                value=f"{PER_CENT * before:g}",
                key=f"worsen-{choice}-{goal}",
                width=200,
            )
            share = share_of(text)
            if share is None:
                wrong = f"“{text}” is no percentage; write a number from 0 up, for example 2.5."
            found.append(share or 0.0)
    return tuple(picked), tuple(found), wrong


def share_of(text: str) -> float | None:
    """Return a percentage as a fraction, or None where it is none.

    Examples
    --------
    >>> share_of("2.5"), share_of("2,5"), share_of("-1"), share_of("1.000,5")
    (0.025, 0.025, None, None)
    """
    try:
        value = float(text.strip().removesuffix("%").strip().replace(",", "."))
    except ValueError:
        return None
    return value / PER_CENT if 0.0 <= value < float("inf") else None


def _search() -> tuple[float, int]:
    with st.container(horizontal=True):
        seconds = st.number_input(
            "Seconds to search", 5, 3600, SECONDS, 5, key="seconds", width=180
        )
        seed = st.number_input(
            "Seed (another one searches another way)", 0, 2**31 - 1, 1, 1, key="seed", width=280
        )
    return float(seconds), int(seed)


def locks(work: Workspace, loaded: Loaded) -> None:
    """Show what is locked, and let more be locked; each change is saved in the scenario."""
    campaign = loaded.campaign
    tied = len(campaign.locks)
    title = f"Locks ({tied})" if tied else "Lock a zone to a rig, a week or a position"
    with st.expander(title):
        st.caption(
            "A lock is written into the scenario (table locks); the planner keeps to it and the "
            "check asks for it. Plan again after a change."
        )
        for lock in campaign.locks:
            _row(work, lock.zone_id)
        _form(work, campaign)


def _row(work: Workspace, zone: str) -> None:
    row = next((lock for lock in _locks(work) if lock.get("zone") == zone), {})
    parts = [
        f"{name}: {row[name]}" for name in ("rigs", "positions", "from", "to") if row.get(name)
    ]
    with st.container(horizontal=True, vertical_alignment="center"):
        st.markdown(f"**{plain(zone)}** — {plain('; '.join(parts))}")
        if st.button("Take off", key=f"unlock-{zone}") and work.tables is not None:
            state.change_tables(without_lock(work.tables, zone), what=f"locks: {zone} set free")
            st.rerun()


def _locks(work: Workspace) -> list[dict[str, str]]:
    table = None if work.tables is None else work.tables.tables.get("locks")
    if table is None:
        return []
    return [dict(zip(table.columns, row, strict=False)) for row in table.rows]


def _form(work: Workspace, campaign: Campaign) -> None:
    with st.form("lock", border=False):
        with st.container(horizontal=True, vertical_alignment="bottom"):
            zone = st.selectbox(
                "Zone", [str(row.zone_id) for row in campaign.zones], key="lock-zone", width=200
            )
            rigs = st.multiselect(
                "Only by", [str(row.rig_id) for row in campaign.rigs], key="lock-rigs", width=220
            )
            positions = st.multiselect(
                "Only from",
                [str(row.position_id) for row in campaign.positions],
                key="lock-positions",
                width=240,
            )
            weeks = dict(weeks_of(campaign))
            week = st.selectbox("Only in the week", ["any", *weeks], key="lock-week", width=220)
            why = st.text_input("Why (for people)", key="lock-why", width=200)
        sent = st.form_submit_button("Lock")
    if not sent or work.tables is None:
        return
    first, last = weeks.get(week, (None, None))
    made = LockOrder(
        zone=zone, rigs=tuple(rigs), positions=tuple(positions), first=first, last=last, why=why
    )
    if not made.ties:
        st.error("Choose a rig, a position or a week to lock the zone to.")
        return
    state.change_tables(with_lock(work.tables, made), what=f"locks: {zone}")
    st.rerun()


def weeks_of(campaign: Campaign) -> list[tuple[str, tuple[date, date]]]:
    """Return the weeks of a campaign, Monday to Sunday, cut to its days."""
    clock = campaign.clock
    monday = clock.first_day - timedelta(days=clock.first_day.weekday())
    found = []
    while monday <= clock.last_day:
        first = max(monday, clock.first_day)
        last = min(monday + timedelta(days=6), clock.last_day)
        found.append((f"{day_name(first)} to {day_name(last)}", (first, last)))
        monday += timedelta(days=7)
    return found
