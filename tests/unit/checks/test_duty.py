"""Rule 15; runs of the small plan last 111 min: [start - 30, start + 81) around a spell."""

import pytest

from planner.model.identifiers import CrewId, CrewKind, Orientation
from planner.plan.plan import RunKind
from tests.builders import campaign, crew, position, shift, zone
from tests.unit.checks.plans import DAY, around, broken, move, only, piece, plan, run, spell

ZONES = (zone("Z1"), zone("Z2"))
ALL_DAY = (shift(start_tod=0, end_tod=0),)


def limited(**changes):
    return campaign(zones=ZONES, shifts=ALL_DAY, crews=(crew(**changes),))


def from_six(**changes):
    """Shifts of 24 h from 06:00 on, so that a run may go past midnight."""
    return campaign(zones=ZONES, shifts=(shift(end_tod=360),), crews=(crew(**changes),))


def two_runs(second):
    return plan(spell(390), spell(second, run="2", zone="Z2"))


@pytest.mark.parametrize(("second", "amount"), [(879, None), (880, 1), (1000, 121)])
def test_a_duty_is_not_too_long(second, amount):
    # from 360 to second + 81; at most 600 min
    found = broken(limited(duty_max_min=600, rest_min_min=660), two_runs(second))
    assert [(one.rule, one.row, one.amount) for one in found] == (
        [("15", 3, amount)] if amount else []
    )


@pytest.mark.parametrize(("rest", "amount"), [(600, None), (601, 822 - 600)])
def test_a_full_rest_begins_a_new_duty(rest, amount):
    # the first run ends at 471, the second begins at 1071 and ends at 1182 = 360 + 822
    found = broken(limited(duty_max_min=600, rest_min_min=rest), two_runs(1101))
    assert [(one.rule, one.amount) for one in found] == ([("15", amount)] if amount else [])


def test_without_a_limit_no_duty_is_too_long():
    assert broken(limited(rest_min_min=660), two_runs(1101)) == []


def test_relocations_panels_and_break_out_are_work():
    scene = campaign(
        zones=ZONES[:1],
        crews=(crew(duty_max_min=200, rest_min_min=300),),
        positions=(position("P1"), position("P2")),
    )
    assert broken(scene, plan(spell())) == []
    # 360 to 561
    wrong = only(scene, plan(spell(), relocations=(move(501, 561),)))
    assert (wrong.rule, wrong.table, wrong.amount) == ("15", "relocations.csv", 1)
    panel = run(471, 566, run="p", kind=RunKind.PANEL, orientation=Orientation.OVERHEAD)
    assert only(scene, plan(spell(), runs=[run(), panel])).amount == 6
    breakers = crew("B1", kind=CrewKind.BREAK_OUT, rate_m3_h=2.2, duty_max_min=59, rest_min_min=60)
    dug = campaign(crews=(crew(), breakers))
    wrong = only(dug, plan(spell(600), break_outs=(piece(400, 460),)))
    assert (wrong.table, wrong.amount) == ("break_outs.csv", 1)


def test_the_lifting_gang_is_no_crew():
    scene = campaign(zones=ZONES[:1], crews=(crew(duty_max_min=111, rest_min_min=600),))
    positions = (position("P1"), position("P2"))
    scene = campaign(zones=scene.zones, crews=scene.crews, positions=positions)
    made = plan(spell(), relocations=(move(500, 560, crew=None),))
    assert {one.rule for one in broken(scene, made)} == {"6"}  # no gang in this campaign


@pytest.mark.parametrize(("limit", "amount"), [(222, None), (221, 1)])
def test_a_week_of_work_is_not_too_long(limit, amount):
    # Monday 111 min and Sunday 111 min
    found = broken(limited(week_max_min=limit), two_runs(6 * DAY + 390))
    assert [(one.rule, one.amount) for one in found] == ([("15", amount)] if amount else [])


def test_a_new_week_begins_on_monday():
    # Sunday 8 March and Monday 9 March are two weeks
    made = plan(spell(6 * DAY + 390), spell(7 * DAY + 390, run="2", zone="Z2"))
    assert broken(limited(week_max_min=111), made) == []


def test_work_belongs_to_the_week_in_which_it_starts():
    # a run over Sunday's midnight, 7 x 1440 = 10080, and one on Sunday morning
    over = plan(spell(6 * DAY + 390), spell(10080, run="2", zone="Z2"))
    assert only(from_six(week_max_min=221), over).amount == 1
    # starting at midnight it is Monday's
    monday = plan(spell(6 * DAY + 390), spell(10080 + 30, run="2", zone="Z2"))
    assert broken(from_six(week_max_min=111), monday) == []


def test_each_crew_has_its_own_limits():
    scene = campaign(
        zones=ZONES,
        crews=(crew("C1", week_max_min=111), crew("C2", week_max_min=111)),
    )
    second = spell(600, run="2", zone="Z2", crew=CrewId("C2"))
    assert broken(scene, plan(spell(390), second, runs=[around(spell(390)), around(second)])) == []
