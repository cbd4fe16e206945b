"""Cards against the exact method, which knows only closures.

Cards that cover every process and orientation bar whole shifts of a crew.  Where rigs cannot be
relocated (one position), that is the same as closing the crew for those shifts, and of that the
exact method finds the best plan.
"""

from collections import Counter
from dataclasses import replace

import pytest

from planner.access.windows import Access
from planner.checks.check import check_plan
from planner.model.campaign import Campaign
from planner.model.card import Card
from planner.model.crew import Crew
from planner.model.identifiers import CrewKind, Process
from planner.model.limits import Closure, ClosureScope
from planner.options.cards import covered
from tests.exact.programme import NotProvenError
from tests.exact.solve import Exact, solve_exactly
from tests.exact.water import NotCoveredError
from tests.properties.campaigns import GRID_MIN, drawn_on_grid
from tests.properties.luck import Luck, seeded
from tests.properties.test_optimiser import ARCS_MAX, NEAR, compare_goals, plan_of, volumes

pytestmark = pytest.mark.solver


def with_cards(campaign: Campaign, luck: Luck) -> Campaign:
    """One position; each spray crew holds a card for everything, on some of the days."""
    days = [*(campaign.clock.day_start(day) for day in campaign.clock.calendar())]
    edges = [*days, campaign.clock.horizon_min]
    cards = []
    for crew in campaign.crews:
        first = luck.whole(0, len(days) - 1)
        last = luck.whole(first + 1, len(days))
        begin = None if luck.chance(40) else edges[first]
        cards += [
            Card(
                crew_id=crew.crew_id,
                person="N1",
                process=process,
                from_min=begin,
                to_min=edges[last],
            )
            for process in Process
        ]
    here = campaign.positions[:1]
    rigs = tuple(replace(rig, at=None) for rig in campaign.rigs)
    return replace(campaign, positions=here, rigs=rigs, cards=tuple(cards), done=())


def as_closures(campaign: Campaign) -> Campaign:
    """The same without cards: a crew is closed in every shift that a card does not cover whole."""
    access = Access(campaign)
    shut = [
        Closure(scope=ClosureScope.CREW, target=crew.crew_id, from_min=start, to_min=end)
        for crew in campaign.crews
        if crew.kind is CrewKind.SPRAY
        for start, end in access.shifts(crew.shift_id)
        if not lasting(campaign, crew, start, end)
    ]
    return replace(campaign, cards=(), closures=(*campaign.closures, *shut))


def lasting(campaign: Campaign, crew: Crew, start: int, end: int) -> bool:
    """Whether the crew's cards hold from the start of a shift to its end, by plain comparison."""
    return all(
        (card.from_min is None or card.from_min <= start)
        and (card.to_min is None or card.to_min >= end)
        for card in campaign.cards
        if card.crew_id == crew.crew_id
    )


def exact_of(campaign: Campaign) -> Exact | None:
    try:
        return solve_exactly(campaign, grid_min=GRID_MIN, seconds=60.0, arcs_max=ARCS_MAX)
    except (NotCoveredError, NotProvenError):
        return None


def test_cards_bar_what_closures_would_and_bounds_hold():
    seen: Counter[str] = Counter()
    for seed in range(36):
        campaign = with_cards(drawn_on_grid(seeded(seed)), Luck(seeded(seed + 500), 1))
        closed = as_closures(campaign)
        exact = exact_of(closed)
        if exact is None:
            continue
        plan, proof, reports = plan_of(campaign)
        assert check_plan(campaign, plan, None) == [], f"seed {seed}"
        assert check_plan(closed, plan, None) == [], f"seed {seed}"
        assert check_plan(campaign, exact.plan, None) == [], f"seed {seed}"
        assert proof.planned_m3_bound >= exact.planned_m3 - NEAR, f"seed {seed}"
        seen["covered"] += 1
        seen["barred"] += len(closed.closures) > len(campaign.closures)
        seen["planned"] += exact.planned_m3 > NEAR
        mine, best = volumes(campaign, plan), exact.volume_m3
        if list(mine.values()) == pytest.approx(list(best.values()), abs=NEAR):
            seen["volume reached"] += 1
            compare_goals(
                campaign, exact, plan, proof, reports, note=lambda what: seen.update([what])
            )
        else:
            assert exact.gaps or list(mine.values()) < list(best.values()), f"seed {seed}"
    assert seen["covered"] >= 15
    assert seen["barred"] >= 8
    assert seen["planned"] >= 8
    assert seen["volume reached"] >= seen["covered"] - 3


def test_days_of_cards_are_those_of_plain_counting():
    for seed in range(40):
        campaign = with_cards(drawn_on_grid(seeded(seed)), Luck(seeded(seed + 500), 1))
        for crew in campaign.crews:
            days = covered(campaign, crew, Process.DRY, campaign.zones[0].orientation)
            for minute in range(0, campaign.clock.horizon_min, 360):
                held = lasting(campaign, crew, minute, minute + 1)
                assert (minute in days) is held
