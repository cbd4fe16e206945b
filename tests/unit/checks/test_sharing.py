"""Rule 16: how many of a shared resource are in use, minute by minute."""

from __future__ import annotations

from dataclasses import replace

import pytest

from planner.checks import figures
from planner.checks.case import Case
from planner.checks.check import check_plan
from planner.model.identifiers import CrewId, CrewKind, PositionId, ResourceId, RigId, ZoneId
from planner.model.resource import Need, Resource
from planner.plan.costs import cost_lines
from planner.plan.plan import Plan
from tests import builders as make

FLOAT = (Need(resource_id=ResourceId("float")),)
ONE = (Resource(resource_id=ResourceId("float"), number=1, price_day=10.0),)
DAY = 24 * 60
C2 = CrewId("C2")


def scene(**changes: object):
    fields = {
        "zones": (make.zone("Z1", needs=FLOAT), make.zone("Z2", needs=FLOAT)),
        "positions": (make.position("P1"), make.position("P2", y_m=5.0)),
        "rigs": (make.rig("R1"), make.rig("R2")),
        "crews": (make.crew("C1"), make.crew("C2")),
        "resources": ONE,
    }
    return make.campaign(**(fields | changes))


def plan(second: int) -> Plan:
    """Z1 in [390, 456) by the first rig; Z2 so long by the second from ``second`` on."""
    other = {"rig": RigId("R2"), "crew": CrewId("C2"), "position": PositionId("P2")}
    return Plan(
        runs=(make.run("1"), make.run("2", start_min=second - 30, end_min=second + 81, **other)),
        spells=(
            make.spell("1"),
            make.spell(
                "2",
                zone=ZoneId("Z2"),
                start_min=second,
                end_min=second + 66,
                hose_m=15.0,
                hose_laid_m=15.0,
                **other,
            ),
        ),
    )


def broken(campaign, rows: Plan) -> list[str]:
    return [one.message for one in check_plan(campaign, rows, None) if one.rule == "16"]


def test_one_after_the_other_is_fine():
    assert check_plan(scene(), plan(466), None) == []


def test_a_minute_of_two_floats_is_told_with_who_takes_them():
    found = check_plan(scene(), plan(465), None)
    assert [(one.rule, one.table, one.row, one.amount) for one in found] == [
        ("16", "spells.csv", 3, 1.0)
    ]
    assert found[0].message == (
        "From 2026-03-02 07:35+00:00 to 2026-03-02 07:36+00:00 up to 2 of resource float are in "
        "use (zone Z1, zone Z2); there is 1, 1 too few."
    )


def test_two_floats_are_enough_for_two():
    two = (Resource(resource_id=ResourceId("float"), number=2),)
    assert broken(scene(resources=two), plan(400)) == []


def test_trimming_after_a_zones_last_spell_still_takes_the_float():
    trimmed = scene(mixes=(make.mix(finish_min_m2=0.5),))  # 20 m² x 0.5 min = 10 min
    assert len(broken(trimmed, plan(475))) == 1
    assert broken(trimmed, plan(476)) == []


@pytest.mark.parametrize(
    "owners",
    [
        {"rigs": (make.rig("R1", needs=FLOAT), make.rig("R2", needs=FLOAT))},
        {"crews": (make.crew("C1", needs=FLOAT), make.crew("C2", needs=FLOAT))},
        {
            "positions": (
                make.position("P1", needs=FLOAT),
                make.position("P2", y_m=5.0, needs=FLOAT),
            )
        },
    ],
)
def test_rigs_crews_and_positions_take_theirs_in_whole_runs(owners):
    bare = scene(zones=(make.zone("Z1"), make.zone("Z2")), **owners)
    assert broken(bare, plan(471 + 30)) == []  # the second run begins when the first has ended
    assert len(broken(bare, plan(470 + 30))) == 1


def test_one_position_takes_its_needs_once_for_two_rigs():
    place = make.position("P1", needs=FLOAT, rigs_max=2)
    other = make.position("P2", y_m=5.0, needs=FLOAT)
    shared = scene(zones=(make.zone("Z1"), make.zone("Z2")), positions=(place, other))
    rows = plan(400)
    at_one = Plan(
        runs=(
            rows.runs[0],
            make.run("2", rig=RigId("R2"), crew=CrewId("C2"), start_min=370, end_min=481),
        ),
    )
    assert broken(shared, at_one) == []
    assert len(broken(shared, Plan(runs=rows.runs))) == 1


def test_a_relocation_takes_what_its_crew_needs():
    crews = (make.crew("C1", needs=FLOAT), make.crew("C2", needs=FLOAT))
    bare = scene(zones=(make.zone("Z1"), make.zone("Z2")), crews=crews)
    assert len(broken(bare, moved_at(470))) == 1
    assert broken(bare, moved_at(471)) == []


def test_a_relocation_takes_what_its_rig_needs_also_with_the_lifting_gang():
    rigs = (make.rig("R1", needs=FLOAT), make.rig("R2", needs=FLOAT))
    bare = scene(zones=(make.zone("Z1"), make.zone("Z2")), rigs=rigs)
    for crew in (CrewId("C2"), None):
        assert len(broken(bare, moved_at(470, crew=crew))) == 1
        assert broken(bare, moved_at(471, crew=crew)) == []


def test_a_relocation_is_no_use_of_its_positions():
    places = (make.position("P1", needs=FLOAT), make.position("P2", y_m=5.0, needs=FLOAT))
    bare = scene(zones=(make.zone("Z1"), make.zone("Z2")), positions=places)
    assert broken(bare, moved_at(400)) == []


def moved_at(start: int, crew: CrewId | None = C2) -> Plan:
    """Run 1 of R1 by C1 in [360, 471), and a relocation of R2 for an hour."""
    move = make.relocation(rig=RigId("R2"), crew=crew, start_min=start, end_min=start + 60)
    return Plan(runs=(make.run("1"),), relocations=(move,))


@pytest.mark.parametrize("taker", ["zone", "crew"])
def test_break_out_takes_what_its_zone_and_its_crew_need(taker: str):
    needs = FLOAT if taker == "crew" else ()
    breaker = make.crew("B1", kind=CrewKind.BREAK_OUT, rate_m3_h=2.2, needs=needs)
    second = make.zone("Z2", needs=FLOAT if taker == "zone" else ())
    here = scene(zones=(make.zone("Z1", needs=FLOAT), second), crews=(*scene().crews, breaker))
    for start, expected in ((456 - 1, 1), (456, 0)):
        rows = Plan(
            runs=(make.run("1"),),
            spells=(make.spell("1"),),
            break_outs=(make.break_out(zone=ZoneId("Z2"), start_min=start, end_min=start + 60),),
        )
        assert len(broken(here, rows)) == expected


def test_the_worst_of_a_stretch_is_told_once_with_everybody_in_it():
    three = (
        make.zone("Z1", needs=FLOAT),
        make.zone("Z2", needs=FLOAT),
        make.zone("Z3", needs=FLOAT),
    )
    rows = plan(400)
    third = make.spell("2", zone=ZoneId("Z3"), start_min=420, end_min=430, hose_m=15.0)
    both = Plan(runs=rows.runs, spells=(*rows.spells, third))
    (found,) = [one for one in check_plan(scene(zones=three), both, None) if one.rule == "16"]
    assert found.amount == 2.0
    assert "up to 3 of resource float" in found.message
    assert "(zone Z1, zone Z2, zone Z3)" in found.message


def test_the_cost_is_the_most_in_use_on_each_day():
    two = (Resource(resource_id=ResourceId("float"), number=2, price_day=10.0),)
    both_days = plan(DAY + 390)
    same_day = plan(400)
    for rows, money in ((both_days, 20.0), (same_day, 20.0), (plan(466), 10.0)):
        here = scene(resources=two)
        assert figures.cost_lines(Case(here, rows))["resource"] == money
        assert cost_lines(here, rows)["resource"] == money


def test_without_resources_there_is_no_such_line():
    bare = make.campaign()
    rows = Plan(runs=(make.run(),), spells=(make.spell(),))
    assert "resource" not in figures.cost_lines(Case(bare, rows))
    assert "resource" not in cost_lines(bare, rows)


def test_two_stretches_with_nothing_between_are_told_apart():
    # both rigs on the first day, and both again on the third
    first, third = plan(400), plan(2 * DAY + 400)
    runs = (make.run("3", start_min=2 * DAY + 360, end_min=2 * DAY + 471), *third.runs[1:])
    spells = (make.spell("3", start_min=2 * DAY + 390, end_min=2 * DAY + 456), *third.spells[1:])
    again = Plan(
        runs=(*first.runs, runs[0], replace(runs[1], run="4")),
        spells=(*first.spells, spells[0], replace(spells[1], run="4")),
    )
    one, other = broken(scene(), again)
    assert "2026-03-02" in one
    assert "2026-03-04" in other
