"""What is said to hold a spell, against the auditor, which knows nothing of it.

A spell moved to the earliest start that is said to be free must break no rule; one minute
earlier must break one.  What fills a gap adds up to it, whatever the campaign.
"""

import os
from collections import Counter
from dataclasses import replace
from itertools import pairwise

import pytest

from planner.checks.check import check_plan
from planner.explain.gap import gaps, why_gap
from planner.explain.ground import Ground
from planner.explain.hold import place_of
from planner.explain.parts import run_parts
from planner.explain.spell import SpellWhy, why_spell
from planner.optimise.engine import NoPlanInTimeError, Settings, optimise
from planner.plan.plan import Plan
from tests.properties.campaigns import drawn
from tests.properties.luck import Luck, seeded
from tests.properties.sharing import with_resources

FEW = 12
MANY = int(os.environ.get("EBBWORK_CASES", "200"))


def ground_of(seed: int) -> Ground | None:
    """Return a random campaign with a quick plan of it; None where it has none."""
    pick = seeded(seed)
    campaign = drawn(pick)
    if seed % 2:
        campaign = with_resources(Luck(pick, 1), campaign)
    try:
        plan, _ = optimise(
            campaign,
            settings=Settings(seed=1, workers=1, seconds=60.0, effort=0.002),
            listener=lambda _: None,
        )
    except NoPlanInTimeError:
        return None
    return Ground(campaign, plan)


def moved(ground: Ground, why: SpellWhy, start: int) -> Plan:
    """Return the plan with one spell moved, its run begun earlier where that is needed."""
    place = place_of(ground, why.spell)
    spell = replace(why.spell, start_min=start, end_min=start + place.length_min)
    begin = place.run.start_min
    if place.before is None:
        begin = min(begin, start - place.lead_min)
    run = replace(place.run, start_min=begin)
    return replace(
        ground.plan,
        spells=tuple(spell if row == why.spell else row for row in ground.plan.spells),
        runs=tuple(run if row == place.run else row for row in ground.plan.runs),
    )


def check_spells(ground: Ground, seen: Counter[str]) -> None:
    for spell in ground.plan.spells:
        why = why_spell(ground, spell)
        assert why.causes, spell
        seen.update(str(cause.kind) for cause in why.causes)
        seen["spells"] += 1
        seen["free to move"] += why.spare_min > 0
        free = check_plan(ground.campaign, moved(ground, why, why.free_from_min), None)
        assert not free, (spell, [row.message for row in free])
        held = check_plan(ground.campaign, moved(ground, why, why.free_from_min - 1), None)
        assert held, (spell, why.causes)


def check_time(ground: Ground, seen: Counter[str]) -> None:
    for run in ground.plan.runs:
        pieces = run_parts(ground, run)
        assert pieces[0].start_min == run.start_min
        assert pieces[-1].end_min == run.end_min
        assert all(one.end_min == two.start_min for one, two in pairwise(pieces))
    for rig in ground.rigs:
        for gap in gaps(ground, rig):
            found = why_gap(ground, rig, gap.start_min, gap.end_min)
            assert found[0].start_min == gap.start_min
            assert found[-1].end_min == gap.end_min
            assert all(one.end_min == two.start_min for one, two in pairwise(found))
            seen["gaps"] += 1
            seen.update(str(piece.kind) for piece in found)


def look(seeds: range) -> Counter[str]:
    seen: Counter[str] = Counter()
    failed: dict[int, str] = {}
    for seed in seeds:
        ground = ground_of(seed)
        if ground is None:
            continue
        try:
            check_spells(ground, seen)
            check_time(ground, seen)
        except AssertionError as error:
            failed[seed] = str(error).split("\n")[0]
    assert failed == {}
    return seen


@pytest.mark.solver
def test_a_spell_can_be_moved_as_far_as_is_said_and_no_further():
    seen = look(range(FEW))
    assert seen["spells"] >= 20
    assert seen["gaps"] >= 5


@pytest.mark.slow
def test_many_spells_can_be_moved_as_far_as_is_said_and_no_further():
    seen = look(range(1000, 1000 + MANY))
    assert seen["free to move"] >= MANY // 50
