"""Every way to spray every zone, and when."""

from __future__ import annotations

import pytest

from planner.access.windows import Access
from planner.core.spans import Spans
from planner.model.campaign import Campaign
from planner.model.identifiers import CrewKind, MixId, Orientation, Process, RigId, ZoneId
from planner.model.limits import ClosureScope
from planner.model.water import LevelPoint, Water, WaterKind
from planner.options.build import Option, Options, may_spray, rig_takes
from planner.reach.hoses import Reach
from tests import builders as make

DAY = 24 * 60
Z1 = ZoneId("Z1")


def options(**changes: object) -> Options:
    """The options of the small campaign with some fields changed."""
    scene: Campaign = make.campaign(**changes)
    return Options(campaign=scene, access=Access(scene), reach=Reach(scene))


def found(**changes: object) -> list[Option]:
    """The options of zone Z1."""
    return list(options(**changes).by_zone[Z1])


def test_a_zone_has_an_option_with_hose_rate_and_minutes():
    (one,) = found()
    assert (one.rig, one.position, one.mix) == ("R1", "P1", "dry")
    assert (one.hose_m, one.laid_m) == (10.0, 10.0)
    assert one.rate_m3_h == pytest.approx(2.0)  # 5 x 0.8 x (1 - 0.5)
    assert one.minutes == (66,)  # 60 x 2.2 / 2


def test_there_is_one_for_each_mix_rig_and_position_in_table_order():
    rows = found(
        mixes=(make.mix("dry"), make.mix("fine")),
        rigs=(make.rig("R1"), make.rig("R2")),
        positions=(make.position("P1"), make.position("P2")),
    )
    names = [(row.mix, row.rig, row.position) for row in rows]
    assert names == [
        (m, r, p) for m in ("dry", "fine") for r in ("R1", "R2") for p in ("P1", "P2")
    ]


def test_layers_have_minutes_of_their_own_and_only_those_that_are_left():
    (one,) = found(mixes=(make.mix(layer_max_mm=50.0),))
    assert one.minutes == (33, 33)
    (one,) = found(mixes=(make.mix(layer_max_mm=50.0),), done=(make.done(done_m3=1.1),))
    assert one.minutes == (33,)
    (one,) = found(mixes=(make.mix(layer_max_mm=50.0),), done=(make.done(done_m3=0.6),))
    assert one.minutes == (15, 33)  # 0.5 m³ left of the first


def test_a_complete_zone_has_none():
    assert found(done=(make.done(done_m3=2.2),)) == []


def test_a_longer_hose_slows_the_work_down():
    rigs = (make.rig(rate_loss_per_100m=0.5, rate_free_m=0.0),)
    (one,) = found(zones=(make.zone(x_m=40.0),), rigs=rigs)
    assert one.rate_m3_h == pytest.approx(1.6)  # 2 x (1 - 0.5 x 40 / 100)


@pytest.mark.parametrize(
    "changes",
    [
        {"zones": (make.zone(x_m=101.0),)},
        {"rigs": (make.rig(process=Process.WET),)},
        {"rigs": (make.rig(mixes=(MixId("fine"),)),)},
        {"positions": (make.position(processes=(Process.WET,)),)},
        {"zones": (make.zone(mixes=(MixId("fine"),)),)},
        {"zones": (make.zone(orientation=Orientation.FLOOR),)},
        {"crews": (make.crew(kind=CrewKind.BREAK_OUT),)},
        {"crews": (make.crew(processes=(Process.WET,)),)},
        {"crews": (make.crew(orientations=(Orientation.FLOOR,)),)},
        {"crews": (make.crew(available_from_min=0, available_to_min=0),)},
    ],
    ids=lambda changes: next(iter(changes)),
)
def test_hose_rig_position_zone_and_crew_must_all_allow_it(changes):
    assert found(**changes) == []


def test_a_layer_that_may_not_be_split_must_fit_into_a_stretch():
    # 30 min before the spell and 15 after it: 66 min need 111
    assert found(shifts=(make.shift(end_tod=360 + 111),))
    assert not found(shifts=(make.shift(end_tod=360 + 110),))


def test_a_layer_that_may_be_split_needs_only_the_shortest_spell():
    zone = make.zone(joint_allowed=True)
    assert found(zones=(zone,), shifts=(make.shift(end_tod=360 + 60),))
    assert not found(zones=(zone,), shifts=(make.shift(end_tod=360 + 59),))


def test_trimming_after_the_last_spell_must_fit_into_the_window():
    shut = (
        make.closure(ClosureScope.ZONE, "Z1", from_min=0, to_min=400),
        make.closure(ClosureScope.ZONE, "Z1", from_min=600, to_min=14 * DAY),
    )
    # 410 to 590 for people; the spell from 420 to 486 leaves 104 min: 5.2 min for each of 20 m²
    assert found(closures=shut, mixes=(make.mix(finish_min_m2=5.2),))
    assert not found(closures=shut, mixes=(make.mix(finish_min_m2=5.25),))  # 105


# -- when -------------------------------------------------------------------------------------


def spans_of(scene: Options, *, last: bool = False) -> Spans:
    """The spray spans of the first zone."""
    zone = scene.campaign.zones[0]
    return scene.spray_spans(zone, scene.campaign.mixes[0], last=last)


def test_a_spell_lies_in_the_shortened_window_after_its_zone_change():
    shut = (make.closure(ClosureScope.ZONE, "Z1", from_min=500, to_min=600),)
    spans = spans_of(options(closures=shut))
    # 10 min in, 10 min out, 10 min zone change
    assert list(spans.clip(0, DAY)) == [(20, 490), (620, DAY)]
    trimmed = spans_of(options(closures=shut, mixes=(make.mix(finish_min_m2=1.0),)), last=True)
    assert list(trimmed.clip(0, 620)) == [(20, 470)]


def test_nothing_is_sprayed_before_the_zone_is_ready_or_the_latest_progress():
    assert spans_of(options(zones=(make.zone(ready_from_min=700),))).starts[0] == 700
    assert spans_of(options(done=(make.done(at_min=800),))).starts[0] == 800


def test_a_fresh_surface_stays_dry_until_it_is_protected():
    # the water stands at 0 m, rises from 12:00 to 13:00 to 2 m and stays: it reaches 1 m at 12:30
    rows = [(minute, 0.0) for minute in range(0, 720 + 1, 60)] + [(780, 2.0), (900, 2.0)]
    points = tuple(LevelPoint(minute=minute, level_m=level) for minute, level in rows)
    water = Water(kind=WaterKind.LEVELS, levels=((None, points),))
    zone = make.zone(water_max_m=1.5, wets_at_m=1.0)
    spans = spans_of(options(zones=(zone,), water=water, mixes=(make.mix(protect_h=3.0),)))
    # dry until 750, protected 180 min after the spell ends
    assert list(spans) == [(20, 750 - 180)]


def test_working_time_joins_the_crews_that_may_work():
    crews = (make.crew("C1"), make.crew("C2", shift_id="late"), make.crew("W", processes=("wet",)))
    shifts = (make.shift(), make.shift("late", start_tod=1080, end_tod=1320))
    scene = options(crews=crews, shifts=shifts)
    rig, position = scene.campaign.rigs[0], scene.campaign.positions[0]
    free = scene.working_time(Orientation.OVERHEAD, rig, position)
    # 30 min in front and 15 behind come off each shift
    assert list(free.clip(0, DAY)) == [(390, 1065), (1110, 1305)]


def test_working_time_leaves_out_closures_of_rig_and_position():
    shut = (
        make.closure(ClosureScope.RIG, "R1", from_min=0, to_min=500),
        make.closure(ClosureScope.POSITION, "P1", from_min=800, to_min=900),
    )
    scene = options(closures=shut)
    rig, position = scene.campaign.rigs[0], scene.campaign.positions[0]
    free = scene.working_time(Orientation.OVERHEAD, rig, position)
    assert list(free.clip(0, DAY)) == [(530, 785), (930, 1065)]


def test_the_longest_stretch_is_where_zone_and_crew_meet():
    shut = (make.closure(ClosureScope.ZONE, "Z1", from_min=0, to_min=700),)
    scene = options(closures=shut, zones=(make.zone(ready_from_min=0),), shifts=(make.shift(),))
    rig, position, zone = (
        scene.campaign.rigs[0],
        scene.campaign.positions[0],
        scene.campaign.zones[0],
    )
    one_day = scene.longest_stretch(zone, scene.campaign.mixes[0], rig, position, last=False)
    assert one_day == 675  # any later day: 390 to 1065


# -- who --------------------------------------------------------------------------------------


def test_a_crew_sprays_what_its_lists_allow_and_empty_lists_allow_everything():
    face = make.mix()
    assert may_spray(make.crew(), face)
    assert may_spray(make.crew(processes=(Process.DRY,)), face)
    assert not may_spray(make.crew(processes=(Process.WET,)), face)
    assert not may_spray(make.crew(orientations=(Orientation.FLOOR,)), face)
    assert not may_spray(make.crew(kind=CrewKind.BREAK_OUT), face)


def test_a_rig_takes_every_mix_of_its_process_or_those_on_its_list():
    assert rig_takes(make.rig(), make.mix())
    assert rig_takes(make.rig(mixes=(MixId("dry"),)), make.mix())
    assert not rig_takes(make.rig(mixes=(MixId("fine"),)), make.mix())
    assert not rig_takes(make.rig(RigId("R2"), process=Process.WET), make.mix())
