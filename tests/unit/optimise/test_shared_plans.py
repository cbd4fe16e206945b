"""Rule 16 in replay and decode: plans share one float, minute by minute."""

from __future__ import annotations

import pytest

from planner.model.crew import Crew
from planner.model.identifiers import CrewKind, ResourceId
from planner.model.resource import Need, Resource
from planner.model.rules import Rules
from planner.optimise.engine import Settings, optimise
from planner.optimise.replay import BrokenRuleError, replay
from planner.optimise.score import Scored
from planner.plan import measures
from planner.plan.plan import Plan
from tests import builders as make
from tests.unit.optimise.scenes import broken_rules, piece, problem, run, script, zones

FLOAT = (Need(resource_id=ResourceId("float")),)
ONE = (Resource(resource_id=ResourceId("float"), number=1, price_day=10.0),)
TWO_RIGS = {
    "positions": (make.position("P1"), make.position("P2", y_m=5.0)),
    "rigs": (make.rig("R1"), make.rig("R2")),
    "crews": (make.crew("C1"), make.crew("C2")),
}


def both(second: int, **changes: object) -> Plan:
    """Z1 by R1 from 06:30 to 07:36, Z2 by R2 in a run that begins at ``second``."""
    scene = problem(**({"zones": zones(2, needs=FLOAT), "resources": ONE} | TWO_RIGS | changes))
    events = script(
        run(piece(390)),
        run(piece(second + 30, zone=1, rig=1, position=1), rig=1, crew=1, position=1),
    )
    plan = Scored(replay(scene, events)).plan
    assert broken_rules(scene, plan) == []
    return plan


def test_the_second_zone_takes_the_float_when_the_first_is_done():
    # Z1 has the float from 06:20 (zone change) to 07:36; Z2's change begins 20 min into its run
    assert both(456 - 20).spells[1].start_min == 466


@pytest.mark.parametrize("second", [380, 456 - 21])
def test_a_minute_earlier_is_refused(second: int):
    with pytest.raises(BrokenRuleError, match="more of a resource than there is"):
        both(second)


def test_trimming_after_the_last_spell_keeps_the_float():
    mix = (make.mix(finish_min_m2=0.5),)  # 20 m² take 10 min
    with pytest.raises(BrokenRuleError, match="more of a resource than there is"):
        both(456 - 20 + 9, mixes=mix)
    assert both(456 - 20 + 10, mixes=mix).spells[1].start_min == 476


def test_rigs_that_share_take_turns_with_whole_runs():
    rigs = (make.rig("R1", needs=FLOAT), make.rig("R2", needs=FLOAT))
    with pytest.raises(BrokenRuleError, match="more of a resource than there is"):
        both(470, zones=zones(2), rigs=rigs)
    assert both(471, zones=zones(2), rigs=rigs).runs[1].start_min == 471


def solved(**changes: object) -> Plan:
    scene = make.campaign(**changes)
    plan, _ = optimise(scene, settings=Settings(effort=0.05))
    assert broken_rules(problem(**changes), plan) == []
    return plan


def test_two_rigs_with_one_float_spray_one_after_the_other():
    free = solved(zones=zones(2), **TWO_RIGS)
    shared = solved(zones=zones(2, needs=FLOAT), resources=ONE, **TWO_RIGS)
    assert [spell.start_min for spell in free.spells] == [390, 390]
    # the second zone change follows the first spell at once: 07:36 + 10 min
    assert [spell.start_min for spell in shared.spells] == [390, 466]


def test_a_break_out_crew_waits_for_the_float_of_the_zone_that_is_sprayed():
    breakers: tuple[Crew, ...] = (
        make.crew(),
        make.crew("B1", kind=CrewKind.BREAK_OUT, rate_m3_h=2.2),
    )
    patches = (make.zone("Z1", needs=FLOAT, broken_out=True), make.zone("Z2", needs=FLOAT))
    plan = solved(zones=patches, crews=breakers, resources=ONE)
    row = next(row for row in plan.break_outs if row.zone == "Z2")
    first = next(row for row in plan.spells if row.zone == "Z1")
    assert row.end_min <= first.start_min - 10 or row.start_min >= first.end_min


def test_a_relocation_waits_for_what_its_rig_needs():
    boat = {"needs": FLOAT, "move_min": 60.0}
    scene = {
        "zones": (make.zone("Z1"), make.zone("Z2", x_m=320.0)),
        "positions": (make.position("P1"), make.position("P2", x_m=300.0)),
        "rigs": (make.rig("R1", **boat), make.rig("R2", needs=FLOAT, hose_max_m=5.0)),
        "resources": ONE,
        "rules": Rules(),
    }
    plan = solved(**scene)
    assert {spell.zone for spell in plan.spells} == {"Z1", "Z2"}
    assert len(plan.relocations) == 1


def test_the_days_of_the_float_are_paid_for():
    scene = make.campaign(zones=zones(2, needs=FLOAT), resources=ONE)
    plan, _ = optimise(scene, settings=Settings(effort=0.05))
    assert measures.cost_lines(scene, plan)["resource"] == 10.0  # one float, one day
