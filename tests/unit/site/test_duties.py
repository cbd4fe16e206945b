"""What each crew does in each of its shifts."""

from dataclasses import replace

import pytest

from planner.access.windows import Access
from planner.model.identifiers import ShiftId
from planner.model.rules import Rules
from planner.plan.plan import Plan
from planner.site.duties import GANG, crew_of, duties, moved
from tests import builders as make

DAY = 24 * 60


def scene(**changes):
    night = make.shift("night", start_tod=22 * 60, end_tod=6 * 60)
    return make.campaign(
        shifts=(make.shift(), night, make.shift("lift", start_tod=6 * 60, end_tod=20 * 60)),
        crews=(make.crew(), make.crew("N", shift_id=ShiftId("night"))),
        positions=(make.position(), make.position("P2")),
        rules=Rules(relocation_shift=ShiftId("lift")),
        **changes,
    )


def of(plan):
    campaign = scene()
    return campaign, duties(campaign, plan, Access(campaign))


def test_a_night_shift_is_one_duty_of_the_day_on_which_it_starts():
    plan = Plan(
        runs=(make.run("1", crew="N", start_min=23 * 60, end_min=DAY + 5 * 60),),
        spells=(
            make.spell("1", crew="N", start_min=23 * 60 + 30, end_min=DAY),
            make.spell("1", crew="N", start_min=DAY + 60, end_min=DAY + 120),
        ),
    )
    campaign, (duty,) = of(plan)
    assert (duty.day, duty.start_min, duty.end_min) == (
        campaign.clock.first_day,
        22 * 60,
        DAY + 6 * 60,
    )
    assert len(duty.spells) == 2
    assert duty.volume_m3 == pytest.approx(4.4)
    assert crew_of(campaign, duty) == campaign.crews[1]


def test_moves_without_a_crew_are_the_gangs():
    campaign, found = of(Plan(relocations=(make.relocation(crew=None),)))
    (duty,) = found
    assert (duty.name, duty.crew, duty.shift_id) == (GANG, None, "lift")
    assert crew_of(campaign, duty) is None


def test_duties_come_in_order_of_time_then_name():
    plan = Plan(
        runs=(
            make.run("2", start_min=DAY + 400, end_min=DAY + 500),
            make.run("1", start_min=400, end_min=500),
        ),
        relocations=(make.relocation(crew=None, start_min=1000, end_min=1060),),
    )
    _, found = of(plan)
    assert [duty.name for duty in found] == ["C1", GANG, "C1"]


def test_work_outside_every_shift_says_that_the_plan_is_wrong():
    with pytest.raises(ValueError, match="check the plan first"):
        of(Plan(runs=(make.run("1", start_min=19 * 60, end_min=20 * 60),)))


def test_a_duty_moves_with_all_it_holds():
    _, (duty,) = of(Plan(runs=(make.run(),), spells=(make.spell(),)))
    later = moved(duty, 60)
    assert later.start_min == duty.start_min + 60
    assert later.spells[0] == replace(duty.spells[0], start_min=450, end_min=516)
