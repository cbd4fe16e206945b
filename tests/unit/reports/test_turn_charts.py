"""Turns, lost minutes, the low-water strip, who works when, and the filled site."""

from dataclasses import replace
from itertools import pairwise

import pytest

from planner.explain.cause import CauseKind
from planner.explain.ground import Ground
from planner.model.identifiers import RigId, ZoneId
from planner.model.water import LevelPoint, Water, WaterKind
from planner.plan.plan import Plan
from planner.reports.figures.filled import filled, progress_at
from planner.reports.figures.low_water_strip import low_water_strip
from planner.reports.figures.projection import View
from planner.reports.figures.run_marks import SPELL_OF
from planner.reports.figures.who_when import who_when
from planner.reports.lost_minutes import Shares, shares_frame
from planner.reports.scene import scene_of
from planner.reports.turns import low_waters, turns_of
from planner.reports.window_shapes import window_shapes
from tests import builders as make
from tests.unit.reports.plans import night_scene, two_rigs, two_rigs_scene

HOUR = 60
DAY = 24 * HOUR


def metas(figure):
    return [str(trace.meta or "") for trace in figure.data]


def twice_a_day(days=14):
    """High water, +1 m, at 00:00 and 12:00, low water, -1 m, at 06:00 and 18:00 of each day."""
    points = []
    for half in range(2 * days + 1):
        at = half * 12 * HOUR
        points += [
            LevelPoint(minute=float(at + 3 * HOUR * k), level_m=level)
            for k, level in enumerate((1.0, 0.0, -1.0, 0.0))
        ]
    return Water(kind=WaterKind.LEVELS, levels=((None, tuple(points)),))


def tidal():
    campaign = make.campaign(water=twice_a_day(), zones=(make.zone(water_max_m=0.0),))
    spell = make.spell(start_min=330, end_min=396)
    run = make.run(start_min=300, end_min=411)
    campaign = replace(campaign, shifts=(make.shift(start_tod=0, end_tod=12 * HOUR),))
    return campaign, Plan(runs=(run,), spells=(spell,))


def test_tides_run_from_high_water_to_high_water_and_count_from_low_water():
    campaign, plan = tidal()
    assert low_waters(campaign)[:3] == [(360, -1.0), (1080, -1.0), (1800, -1.0)]
    turns = turns_of(campaign, plan)
    assert turns.word == "tide"
    assert len(turns.found) == 28
    first, second = turns.found[:2]
    assert (first.start_min, first.end_min, first.zero_min) == (0, 720, 360)
    assert first.name == "Mon 2 Mar 06:00"
    assert first.note == "low water -1.00 m"
    assert all(one.end_min == two.start_min for one, two in pairwise(turns.found))
    assert turns.at(719) == first
    assert turns.at(720) == second
    assert turns.busy(plan) == [first]


def test_a_small_dip_is_no_low_water():
    water = twice_a_day()
    ((_, points),) = water.levels
    dipped = tuple(
        replace(point, level_m=0.95) if point.minute == 12 * HOUR + 3 * HOUR else point
        for point in points
    )
    campaign = make.campaign(water=replace(water, levels=((None, dipped),)))
    assert (15 * HOUR, 0.95) not in low_waters(campaign)


def test_without_tides_turns_are_days_and_nights():
    scene = two_rigs_scene()
    dry = replace(scene.campaign, water=Water(kind=WaterKind.NONE))
    assert turns_of(dry, scene.plan).word == "day"
    night = night_scene()
    assert turns_of(night.campaign, night.plan).word == "night"


def test_a_window_shape_narrows_from_the_widest_to_the_time_at_the_face():
    campaign, _ = tidal()
    access = scene_of(*tidal()).access
    (shape,) = window_shapes(access, campaign.zones, 0, 720)
    # at or below 0 m from 03:00 to 09:00; 10 min to get in and 10 out
    assert shape.spans == ((180, 540), (190, 530))
    corners = shape.outline(0.0, 30.0)
    assert (180.0, 0.0) in corners
    assert (190.0, 30.0) in corners


def test_lost_minutes_are_named_and_the_open_time_adds_up():
    campaign, plan = tidal()
    scene, ground = scene_of(campaign, plan), Ground(campaign, plan)
    turn = turns_of(campaign, plan).found[0]
    share = Shares(scene, ground).of(turn, RigId("R1"))
    assert share.sprayed_min == 66
    # the window is open from 03:00, the run begins at 05:00: 120 min lost, 10 of them to get in
    assert share.open_min == 411 - 180
    assert sum(piece.minutes for piece in share.lost) == 120
    assert share.words().startswith("66 min sprayed of 231 open; lost 120: ")
    frame = shares_frame([share])
    row = frame.iloc[0]
    parts = ["Start-up", "Zone change", "Spraying", "Clean-up", "Waiting in runs"]
    assert sum(row[name] for name in parts) == 111
    assert row["Lost (min)"] == 120


def test_the_strip_draws_window_run_parts_and_lost_time():
    campaign, plan = tidal()
    scene, ground = scene_of(campaign, plan), Ground(campaign, plan)
    turn = turns_of(campaign, plan).found[0]
    figure = low_water_strip(scene, [Shares(scene, ground).of(turn, RigId("R1"))])
    found = metas(figure)
    assert "spells" in found
    assert {str(CauseKind.START_UP), str(CauseKind.CLEAN_UP), "lost"} <= set(found)
    assert [shape.name for shape in figure.layout.shapes if shape.name == "window"] == ["window"]
    spell = figure.data[found.index("spells")]
    assert (spell.base[0], spell.x[0]) == (330 - 360, 66)  # half an hour before low water


def test_patterns_keep_their_colour():
    campaign, plan = tidal()
    scene, ground = scene_of(campaign, plan), Ground(campaign, plan)
    turn = turns_of(campaign, plan).found[0]
    strip = low_water_strip(scene, [Shares(scene, ground).of(turn, RigId("R1"))])
    lanes = who_when(scene, ground, 0, DAY)
    for figure in (strip, lanes):
        bars = [trace for trace in figure.data if trace.type == "bar"]
        assert bars
        assert {bar.marker.pattern.fillmode for bar in bars} == {"overlay"}


def test_a_strip_of_turns_without_work_says_so():
    campaign, plan = tidal()
    scene, ground = scene_of(campaign, plan), Ground(campaign, plan)
    turn = turns_of(campaign, plan).found[5]
    figure = low_water_strip(scene, [Shares(scene, ground).of(turn, RigId("R1"))])
    texts = [text for trace in figure.data for text in (getattr(trace, "text", None) or ())]
    assert " nothing planned" in texts


def test_rigs_and_crews_show_the_same_run():
    scene = two_rigs_scene()
    ground = Ground(scene.campaign, scene.plan)
    figure = who_when(scene, ground, 0, DAY)
    spells = figure.data[metas(figure).index(f"{SPELL_OF}1")]
    # two spells on the lane of R1, and the same two on that of C1
    assert list(spells.base) == [390, 466, 390, 466]
    assert len(set(spells.y)) == 2
    later = who_when(scene, ground, 5 * DAY, 6 * DAY)
    assert not [meta for meta in metas(later) if meta.startswith(SPELL_OF)]


def test_names_of_zones_are_harmless_in_charts():
    name = "<b>Z</b>"
    campaign = replace(two_rigs(), zones=(make.zone(name, water_max_m=1.0),))
    plan = Plan(runs=(make.run(),), spells=(make.spell(zone=ZoneId(name)),))
    scene, ground = scene_of(campaign, plan), Ground(campaign, plan)
    figure = who_when(scene, ground, 0, DAY)
    spells = next(t for t in figure.data if str(t.meta).startswith(SPELL_OF))
    assert "<b>Z" not in str(spells.text)


def test_zones_fill_turn_by_turn():
    scene = two_rigs_scene()
    turns = turns_of(scene.campaign, scene.plan)
    early = progress_at(scene, turns, turns.at(456).number)
    assert early[ZoneId("Z1")].is_done
    assert early[ZoneId("Z1")].is_now
    # half of Z2's only layer is sprayed on the first day, the rest on the second
    assert early[ZoneId("Z2")].turns
    assert not early[ZoneId("Z2")].is_done
    late = progress_at(scene, turns, len(turns.found))
    assert late[ZoneId("Z2")].is_done
    assert ZoneId("north-Z4") not in late  # left out
    figure = filled(scene, turns, turns.at(456).number, View.PLAN)
    assert {"begun", "now", "left out"} <= {
        meta.split(" ")[0] if "left" not in meta else meta for meta in metas(figure)
    }


@pytest.mark.parametrize("step", [1, 3])
def test_a_step_shows_nothing_of_later_turns(step):
    scene = two_rigs_scene()
    turns = turns_of(scene.campaign, scene.plan)
    for one in progress_at(scene, turns, step).values():
        assert all(number <= step for number in one.turns)
