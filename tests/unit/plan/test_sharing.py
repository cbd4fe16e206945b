"""Who takes what of a shared resource, minute by minute, and what a day of it costs."""

from __future__ import annotations

from datetime import date

import pytest

from planner.checks import figures
from planner.checks.case import Case
from planner.model.identifiers import CrewId, ResourceId, RigId, ZoneId
from planner.model.resource import Need, Resource
from planner.plan.plan import Plan
from planner.plan.sharing import in_use, levels, most_by_day, resource_line
from tests import builders as make

FLOAT = ResourceId("float")
NEEDS = (Need(resource_id=FLOAT),)
DAY = 24 * 60
RUN = Plan(runs=(make.run(),), spells=(make.spell(),))


def scene(*, price: float = 10.0, number: int = 2, **changes: object):
    fields = {
        "resources": (Resource(resource_id=FLOAT, number=number, price_day=price),),
        "zones": (make.zone("Z1", needs=NEEDS), make.zone("Z2", needs=NEEDS)),
        "rigs": (make.rig(), make.rig("R2")),
        "crews": (make.crew(), make.crew("C2")),
    }
    return make.campaign(**(fields | changes))


def test_a_run_uses_rig_crew_and_position_and_its_spell_the_zone_with_its_change():
    assert in_use(scene(), RUN) == {
        ("position", "P1"): [(360, 471)],
        ("rig", "R1"): [(360, 471)],
        ("crew", "C1"): [(360, 471)],
        ("zone", "Z1"): [(380, 456)],
    }


def test_trimming_follows_the_last_spell_of_a_zone_and_no_other():
    mixes = (make.mix(finish_min_m2=0.5, layer_max_mm=50.0),)  # 20 m² take 10 min
    first, second = make.spell(end_min=420), make.spell(layer=2, start_min=430, end_min=460)
    for rows in ((first, second), (second, first)):
        plan = Plan(runs=(make.run(),), spells=rows)
        found = sorted(in_use(scene(mixes=mixes), plan)["zone", "Z1"])
        assert found == [(380, 420), (420, 470)]


def test_a_zone_without_an_area_is_not_trimmed():
    zones = (make.zone("Z1", area_m2=None, depth_mm=None, volume_m3=2.2, needs=NEEDS),)
    mixes = (make.mix(finish_min_m2=0.5),)
    assert in_use(scene(zones=zones, mixes=mixes), RUN)["zone", "Z1"] == [(380, 456)]


def test_a_relocation_uses_its_rig_and_its_crew_if_it_has_one():
    move = {"rig": RigId("R2"), "start_min": 500, "end_min": 560}
    with_crew = Plan(relocations=(make.relocation(crew=CrewId("C2"), **move),))
    assert in_use(scene(), with_crew) == {
        ("rig", "R2"): [(500, 560)],
        ("crew", "C2"): [(500, 560)],
    }
    by_gang = Plan(relocations=(make.relocation(crew=None, **move),))
    assert in_use(scene(), by_gang) == {("rig", "R2"): [(500, 560)]}


def test_break_out_uses_its_crew_and_its_zone():
    plan = Plan(break_outs=(make.break_out(),))
    assert in_use(scene(), plan) == {
        ("crew", "B1"): [(360, 624)],
        ("zone", "Z1"): [(360, 624)],
    }


def two_zones(second: int, end: int) -> Plan:
    other = make.spell("2", zone=ZoneId("Z2"), start_min=second, end_min=end)
    return Plan(runs=(*RUN.runs, make.run("2", rig=RigId("R2"))), spells=(*RUN.spells, other))


def test_levels_add_up_what_is_taken():
    found = levels(scene(), two_zones(420, 500))
    # Z1 from 380 to 456, Z2 from 410 to 500
    assert found == {FLOAT: [(380, 410, 1), (410, 456, 2), (456, 500, 1)]}


def test_a_stretch_without_any_use_has_no_level():
    assert levels(scene(), two_zones(600, 650)) == {FLOAT: [(380, 456, 1), (590, 650, 1)]}


@pytest.mark.parametrize(
    ("start", "end", "days"),
    [
        (DAY - 50, DAY, [date(2026, 3, 2)]),
        (DAY - 50, DAY + 1, [date(2026, 3, 2), date(2026, 3, 3)]),
        (DAY + 10, DAY + 50, [date(2026, 3, 3)]),
        (DAY - 50, 3 * DAY - 1, [date(2026, 3, 2), date(2026, 3, 3), date(2026, 3, 4)]),
    ],
)
def test_every_day_that_is_touched_counts_and_an_end_at_midnight_belongs_to_the_day_before(
    start: int, end: int, days: list[date]
):
    plan = Plan(break_outs=(make.break_out(start_min=start, end_min=end),))
    crews = (make.crew("B1", kind="break_out", rate_m3_h=1.0),)
    campaign = scene(crews=crews)
    assert most_by_day(campaign, plan) == {FLOAT: dict.fromkeys(days, 1)}
    assert resource_line(campaign, plan) == {"resource": 10.0 * len(days)}
    assert figures.cost_lines(Case(campaign, plan))["resource"] == 10.0 * len(days)


def test_the_most_at_once_of_a_day_is_paid_for():
    assert resource_line(scene(), two_zones(420, 500)) == {"resource": 20.0}
    assert resource_line(scene(), two_zones(500, 550)) == {"resource": 10.0}


def test_without_prices_the_line_is_nought_and_without_resources_it_is_not_there():
    assert resource_line(scene(price=0.0), RUN) == {"resource": 0.0}
    assert resource_line(make.campaign(), RUN) == {}
