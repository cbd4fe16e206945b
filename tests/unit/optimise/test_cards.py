"""The search keeps to the shifts in which a crew's cards are valid."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from planner.checks.check import check_plan
from planner.model.campaign import Campaign
from planner.model.card import Card
from planner.model.identifiers import CrewId, Orientation, Process
from planner.model.rules import Rules
from planner.optimise.engine import Settings, optimise
from planner.optimise.problem import build_problem
from planner.options.build import Options
from planner.plan.plan import Plan, Status
from tests import builders as make
from tests.properties.campaigns import drawn
from tests.properties.luck import Luck, seeded
from tests.unit.optimise.scenes import problem

DAY = 24 * 60


def card(crew: str = "C1", **changes: Any) -> Card:
    """Dry on every orientation, without an end."""
    fields: dict[str, Any] = {"crew_id": CrewId(crew), "person": "N1", "process": Process.DRY}
    return Card(**(fields | changes))


def best(effort: float = 0.3, **changes: Any) -> tuple[Plan, Status]:
    """The plan of the small campaign, after the auditor found nothing wrong."""
    scene = make.campaign(**changes)
    plan, proof = optimise(scene, settings=Settings(effort=effort, workers=1))
    assert check_plan(scene, plan, None) == []
    return plan, proof.status


def test_a_crew_may_spray_only_in_shifts_with_a_card():
    of = problem(cards=(card(from_min=2 * DAY),))
    kind = (0, Orientation.OVERHEAD)
    assert [of.crews[0].may(kind, day * DAY + 400) for day in range(4)] == [
        False,
        False,
        True,
        True,
    ]


def test_a_kind_without_any_card_is_no_kind_of_the_crew():
    of = problem(cards=(card(orientation=Orientation.FLOOR),))
    assert of.crews[0].can == frozenset()


@pytest.mark.solver
def test_a_plan_waits_for_the_card():
    plan, status = best(cards=(card(from_min=3 * DAY),))
    # Thursday: start-up 20 and change 10 from 06:00 on
    assert [one.start_min for one in plan.spells] == [3 * DAY + 390]
    assert status is Status.FEASIBLE or plan.unplanned == ()


@pytest.mark.solver
def test_a_crew_whose_card_has_lapsed_leaves_the_work_to_another():
    cards = (card("C1", to_min=0), card("C2"))
    plan, _ = best(crews=(make.crew("C1"), make.crew("C2")), cards=cards)
    assert {one.crew for one in plan.spells} == {"C2"}


@pytest.mark.solver
def test_a_panel_is_made_while_the_card_is_valid():
    plan, _ = best(cards=(card(from_min=DAY),), rules=Rules(panel_days=1))
    assert [one.start_min // DAY for one in plan.runs if one.kind == "panel"] == [1]
    assert plan.unplanned == ()


def random_cards(luck: Luck, crews: tuple[str, ...]) -> tuple[Card, ...]:
    """Cards of two people in each crew, with days that begin or end inside the campaign."""
    found = []
    for crew in crews:
        for person in ("N1", "N2"):
            first, last = luck.whole(0, 2), luck.whole(1, 4)
            found.append(
                Card(
                    crew_id=CrewId(crew),
                    person=person,
                    process=luck.one_of(tuple(Process)),
                    orientation=luck.one_of((None, None, *Orientation)),
                    from_min=first * DAY if luck.chance(50) else None,
                    to_min=(first + last) * DAY if luck.chance(50) else None,
                )
            )
    return tuple(found)


def on_whole_days(one: Card, scene: Campaign) -> Card:
    """The card with its days at midnights of the scene, also where the clock is changed."""
    edges = [scene.clock.day_start(day) for day in scene.clock.calendar()]
    edges.append(scene.clock.horizon_min)

    def midnight(minute: int | None) -> int | None:
        return None if minute is None else edges[min(minute // DAY, len(edges) - 1)]

    return replace(one, from_min=midnight(one.from_min), to_min=midnight(one.to_min))


@pytest.mark.solver
@pytest.mark.property
def test_plans_of_random_campaigns_with_random_cards_break_no_rule():
    planned = limited = 0
    for seed in range(60):
        scene = drawn(seeded(seed))
        names = tuple(crew.crew_id for crew in scene.crews)
        cards = random_cards(Luck(seeded(seed + 1000), 1), names)
        scene = replace(scene, cards=tuple(on_whole_days(one, scene) for one in cards))
        plan, _ = optimise(scene, settings=Settings(effort=0.002, workers=1))
        assert check_plan(scene, plan, None) == [], f"seed {seed}"
        without, _ = optimise(replace(scene, cards=()), settings=Settings(effort=0.002, workers=1))
        planned += bool(plan.spells)
        limited += len(plan.unplanned) > len(without.unplanned)
    assert planned > 15
    assert limited > 10


def test_building_the_problem_keeps_the_other_kinds():
    wall = make.mix(orientation=Orientation.VERTICAL)
    of = problem(mixes=(make.mix(), wall), cards=(card(orientation=Orientation.VERTICAL),))
    assert of.crews[0].can == {(0, Orientation.VERTICAL)}
    assert isinstance(of.options, Options)
    assert build_problem(of.options).crews[0].barred.keys() == {(0, Orientation.OVERHEAD)}
