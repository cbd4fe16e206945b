"""A plan made with the usual values of a kind also keeps the plain defaults."""

from dataclasses import replace

import pytest

from planner.checks.check import check_plan
from planner.optimise.engine import Settings, optimise
from planner.plan.summary import summary
from planner.scenario.reader import campaign_of
from tests.unit.scenario.scenes import MIX, scene, zones


@pytest.mark.solver
def test_a_plan_made_with_a_kind_keeps_the_plain_defaults_of_what_it_filled():
    typed = {"rig": "R1", "process": "dry", "type": "dry-rotary-barrel"}
    tables = scene(rigs=[typed], mixes=[MIX], zones=zones({"depth_mm": "90"}))
    campaign, warnings = campaign_of(tables)
    assert warnings == []
    (rig,) = campaign.rigs
    assert (rig.start_up_min, rig.clean_up_min, rig.idle_max_min) == (20, 20, 60)
    plan, proof = optimise(campaign, settings=Settings(workers=1, seconds=20.0, effort=2.0))
    assert len(plan.spells) == 3
    plain = replace(
        rig, start_up_min=0, clean_up_min=0, idle_max_min=None, move_min=0.0, rise_max_m=None
    )
    for rigs in ((rig,), (plain,)):
        same = replace(campaign, rigs=rigs)
        assert list(check_plan(same, plan, summary(same, plan, proof, version=""))) == []
