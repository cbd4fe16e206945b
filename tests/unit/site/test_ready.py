"""What must be ready, and whether it is."""

from dataclasses import replace
from datetime import date

from planner.access.windows import Access
from planner.model.card import Card
from planner.model.identifiers import CrewId, CrewKind, Process, ZoneId
from planner.model.limits import ClosureScope
from planner.plan.plan import Plan
from planner.site.entry import Entry
from planner.site.lookahead import Ahead
from planner.site.ready import ReadyRow, State, ready_rows
from tests import builders as make
from tests.unit.site.scenes import found, sprayed, stored

FIRST = date(2026, 3, 2)
DAY = 24 * 60


def rows(campaign=None, plan=None, entries=(), **more):
    campaign = campaign or make.campaign()
    plan = plan or Plan(runs=(make.run(),), spells=(make.spell(),))
    weeks = more.pop("weeks", 1)
    made = ready_rows(
        campaign,
        plan,
        Ahead.weeks(FIRST, weeks),
        stored(*entries),
        access=Access(campaign),
        **more,
    )
    return {row.item: row for row in made}


def test_position_face_card_and_material_are_asked_for():
    found_rows = rows()
    assert list(found_rows) == [
        "position P1",
        "cards of C1 for dry overhead",
        "dry for the week of 2026-03-02",
        "face Z1",
    ]
    assert {row.state for row in found_rows.values()} == {State.SHOWN}
    assert found_rows["position P1"].needed_min == 360
    assert "4.5 m³" in found_rows["dry for the week of 2026-03-02"].why  # 2.2 x 1.03 / 0.5


def test_a_record_with_the_item_confirms_it():
    row = rows(entries=[Entry(item="position P1")])["position P1"]
    assert row.state is State.READY
    assert row.why.endswith("confirmed by Ann (entry 1)")


def test_a_booking_soon_after_is_told():
    closure = make.closure(ClosureScope.POSITION, "P1", from_min=DAY, to_min=2 * DAY, why="ferry")
    row = rows(make.campaign(closures=(closure,)))["position P1"]
    assert "closed from Tue 3 Mar 00:00 (ferry)" in row.why


def test_a_face_that_was_measured_or_begun_is_ready():
    assert rows(entries=[found(depth=90.0)])["face Z1"].state is State.READY
    assert "face Z1" not in rows(entries=[sprayed(start=100, stop=160)])


def test_a_face_that_opens_too_late_is_not():
    campaign = make.campaign(zones=(make.zone(ready_from_min=500),))
    assert rows(campaign)["face Z1"].state is State.NOT


def test_planned_break_out_is_told_with_its_end():
    plan = Plan(
        runs=(make.run(start_min=DAY + 360, end_min=DAY + 471),),
        spells=(make.spell(start_min=DAY + 390, end_min=DAY + 456),),
        break_outs=(make.break_out(),),
    )
    campaign = make.campaign(
        crews=(make.crew(), make.crew("B1", kind=CrewKind.BREAK_OUT, rate_m3_h=0.5))
    )
    found_rows = rows(campaign, plan, ahead_zones=1)
    assert found_rows["face Z1"].state is State.BY_PLAN
    assert "Mon 2 Mar 10:24" in found_rows["face Z1"].why
    assert found_rows["break-out 1 zones ahead"].state is State.BY_PLAN


def test_break_out_that_is_not_far_enough_ahead_is_told_once():
    zones = tuple(make.zone(f"Z{k}") for k in (1, 2, 3))
    plan = Plan(
        runs=tuple(
            make.run(str(k), start_min=k * DAY + 360, end_min=k * DAY + 471) for k in (1, 2, 3)
        ),
        spells=tuple(
            make.spell(
                str(k), zone=ZoneId(f"Z{k}"), start_min=k * DAY + 390, end_min=k * DAY + 456
            )
            for k in (1, 2, 3)
        ),
        break_outs=tuple(
            make.break_out(
                zone=ZoneId(f"Z{k}"), start_min=(k - 1) * DAY + 360, end_min=(k - 1) * DAY + 600
            )
            for k in (1, 2, 3)
        ),
    )
    campaign = make.campaign(
        zones=zones,
        crews=(make.crew(), make.crew("B1", kind=CrewKind.BREAK_OUT, rate_m3_h=0.5)),
    )
    row = rows(campaign, plan, ahead_zones=2)["break-out 2 zones ahead"]
    assert (row.state, row.needed_min) == (State.NOT, DAY + 390)


def test_cards_decide_where_there_are_any():
    card = Card(crew_id=CrewId("C1"), person="Bo", process=Process.DRY, from_min=0, to_min=2 * DAY)
    valid = rows(make.campaign(cards=(card,)))["cards of C1 for dry overhead"]
    assert (valid.state, valid.why) == (State.READY, "valid until Tue 3 Mar by cards.csv")
    late = replace(card, from_min=DAY)
    assert rows(make.campaign(cards=(late,)))["cards of C1 for dry overhead"].state is State.NOT


def test_zones_before_are_complete_by_plan_or_by_record():
    zones = (make.zone("Z0"), make.zone("Z1", after=(ZoneId("Z0"),)))
    row = rows(make.campaign(zones=zones))["zone Z0 before Z1"]
    assert (row.state, row.why) == (State.BY_PLAN, "complete by the records")


def test_nothing_is_asked_for_outside_the_stretch():
    plan = Plan(
        runs=(make.run(start_min=9 * DAY + 360, end_min=9 * DAY + 471),),
        spells=(make.spell(start_min=9 * DAY + 390, end_min=9 * DAY + 456),),
    )
    extra = ReadyRow(item="panel", needed_min=9 * DAY, state=State.SHOWN, why="")
    assert rows(plan=plan, more=(extra,)) == {}
    assert "panel" in rows(plan=plan, more=(extra,), weeks=2)
