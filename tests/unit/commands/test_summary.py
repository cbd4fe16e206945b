"""The words at the end of planning."""

from dataclasses import replace

import pytest

from planner.commands.summary import gap_text, goal_line, unplanned_lines, volume_line
from planner.model.identifiers import Goal, ZoneId
from planner.plan.plan import Plan, Proof, Spell, Status, Unplanned
from tests import builders

PROOF = Proof(
    status=Status.FEASIBLE,
    planned_m3_bound=2.2,
    bound={Goal.FINISH: 10.0, Goal.RELOCATIONS: 3.0, Goal.COST: 1000.0},
    seed=1,
    workers=1,
    seconds=1.0,
)
CLOCK = builders.clock()


def _left_out(*rows: tuple[str, str]) -> tuple[Unplanned, ...]:
    return tuple(Unplanned(zone=ZoneId(zone), reason=reason) for zone, reason in rows)


def _sprayed() -> Plan:
    campaign = builders.campaign()
    spell = Spell(
        run="R001",
        rig=campaign.rigs[0].rig_id,
        crew=campaign.crews[0].crew_id,
        position=campaign.positions[0].position_id,
        zone=campaign.zones[0].zone_id,
        layer=1,
        start_min=600,
        end_min=750,
        volume_m3=2.2,
        hose_m=11.5,
        hose_laid_m=11.5,
    )
    return Plan(spells=(spell,))


@pytest.mark.parametrize(
    ("goal", "value", "words"),
    [
        (Goal.FINISH, 10.0 + 0.9 / 60, "proven: no valid plan does better"),
        (Goal.FINISH, 12.5, "better than Mon 02 Mar 2026 10:00 (gap 20.0%)"),
        (Goal.RELOCATIONS, 4.0, "better than 3 (gap 25.0%)"),
        (Goal.COST, 1000.0, "proven: no valid plan does better"),
        (Goal.COST, 1000.5, "better than 1 000 (gap under 0.1%)"),
        (Goal.LATE, 1.0, "no bound is proven"),
    ],
)
def test_the_gap_is_told_in_words(goal: Goal, value: float, words: str) -> None:
    assert gap_text(CLOCK, goal, value, PROOF).endswith(words)


def test_a_goal_is_one_line_with_its_value_for_people() -> None:
    line = goal_line(builders.campaign(), _sprayed(), PROOF, Goal.FINISH)
    assert line.split("   ")[0].strip() == "finish"
    assert "Mon 02 Mar 2026 12:30" in line  # minute 750


def test_the_volume_is_told_with_what_is_proven_where_zones_are_left_out() -> None:
    campaign = builders.campaign(zones=(builders.zone("Z1"), builders.zone("Z2")))
    plan = replace(_sprayed(), unplanned=_left_out(("Z2", "no hose")))
    line = volume_line(campaign, plan, PROOF)
    assert line == "1 of 2 zones planned, 2.20 m³; it is proven that no plan holds more."
    more = replace(PROOF, planned_m3_bound=4.4)
    assert volume_line(campaign, plan, more).endswith("that no plan holds more than 4.40 m³.")


def test_zones_that_are_complete_already_are_not_counted_as_planned() -> None:
    campaign = builders.campaign(zones=(builders.zone("Z1"), builders.zone("Z2")))
    line = volume_line(campaign, _sprayed(), PROOF)
    assert line == "1 of 2 zones planned, 2.20 m³ (1 more complete already)."


def test_zones_with_the_same_reason_stand_together() -> None:
    rows = [(f"Z{k}", "No hose.") for k in range(8)] + [("Q", "No window.")]
    assert list(unplanned_lines(_left_out(*rows))) == [
        "Not planned:",
        "  Z0, Z1, Z2, Z3, Z4, Z5 and 2 more: No hose.",
        "  Q: No window.",
    ]


def test_many_reasons_are_cut_short_and_the_file_is_named() -> None:
    rows = [(f"Z{k}", f"It waits for Y{k}.") for k in range(15)]
    lines = list(unplanned_lines(_left_out(*rows)))
    assert len(lines) == 1 + 12 + 1
    assert lines[-1] == "  3 more reasons in unplanned.csv."


def test_nothing_is_said_of_zones_left_out_where_there_are_none() -> None:
    assert list(unplanned_lines(())) == []
