"""Figures show every spell, run and relocation, once, where it belongs."""

from dataclasses import replace

import pytest

from planner.model.identifiers import Orientation, PositionId, RigId
from planner.plan.plan import Plan
from planner.reports.figures.folds import Fold, fold
from planner.reports.figures.layer_board import layer_board
from planner.reports.figures.projection import View, project, views
from planner.reports.figures.rig_strips import rig_strips
from planner.reports.figures.rig_week import first_rows, rig_week
from planner.reports.figures.site_map import site_map
from planner.reports.scene import scene_of
from tests import builders as make
from tests.unit.reports.plans import night_scene, two_rigs, two_rigs_plan, two_rigs_scene


def bars(figure, meta):
    """(trace, base, length, hover) of every rectangle of one kind."""
    return [
        (trace, base, length, hover)
        for trace in figure.data
        if trace.meta == meta and trace.type == "bar"
        for base, length, hover in zip(trace.base, trace.x, trace.customdata, strict=True)
    ]


def minutes(figure, meta):
    return round(60 * sum(length for _, _, length, _ in bars(figure, meta)))


def test_the_calendar_shows_each_spell_and_run_once():
    scene = two_rigs_scene()
    figure = rig_strips(scene)
    assert len(bars(figure, "spell")) == len(scene.plan.spells)
    assert minutes(figure, "spell") == 66 + 33 + 33 + 66
    assert len(bars(figure, "run")) == len(scene.plan.runs)
    assert len(bars(figure, "relocation")) == 1


def test_the_calendar_puts_each_rig_beside_the_others():
    figure = rig_strips(two_rigs_scene())
    axes = {trace.xaxis for trace, *_ in bars(figure, "spell")}
    assert axes == {"x", "x2"}
    alone = rig_strips(two_rigs_scene(), [RigId("R2")])
    assert len(bars(alone, "spell")) == 1


def test_a_spell_over_midnight_keeps_its_minutes():
    scene = scene_of(
        make.campaign(),
        Plan(
            runs=(make.run(start_min=1300, end_min=1500),),
            spells=(make.spell(start_min=1400, end_min=1460),),
        ),
    )
    figure = rig_strips(scene)
    assert minutes(figure, "spell") == 60


def test_nights_are_whole_rows_and_keep_their_minutes_where_the_clock_changes():
    scene = night_scene()
    figure = rig_strips(scene)
    assert minutes(figure, "spell") == 3 * 240
    assert figure.layout.yaxis.ticktext[1] == "Fri to Sat 28 Mar"


def test_weeks_together_show_each_spell_once():
    scene = two_rigs_scene()
    shown = [rig_week(scene, first_row=row) for row in first_rows(scene)]
    assert sum(len(bars(figure, "spell")) for figure in shown) == len(scene.plan.spells)
    assert sum(minutes(figure, "run") for figure in shown) == 240 + 120 + 140 + 100


def test_a_week_names_each_zone_in_its_spell():
    scene = two_rigs_scene()
    figure = rig_week(scene, first_row=0)
    texts = [note.text for note in figure.layout.annotations]
    texts += [text for trace in figure.data if trace.text is not None for text in trace.text]
    for zone in ("Z1", "Z2", "Z3"):
        assert any(f"<b>{zone}</b>" in text for text in texts)


def test_a_week_shows_relocations_closures_and_idle_days():
    figure = rig_week(two_rigs_scene(), first_row=0)
    texts = [text for trace in figure.data if trace.text is not None for text in trace.text]
    assert "P1 → P2" in texts
    assert " R2 closed: service" in texts
    assert texts.count(" no work planned") == 4  # Thursday to Sunday


def test_water_is_drawn_beneath_the_days_with_work():
    figure = rig_week(two_rigs_scene(), first_row=0)
    curves = [trace for trace in figure.data if trace.meta == "water"]
    assert len(curves) == 3
    assert "+2.00 m" in curves[0].customdata
    names = [text for trace in figure.data if trace.text is not None for text in trace.text]
    assert " closes +0.50 m" in names
    assert " closes +1.00 m" in names


def test_without_water_there_is_no_curve_and_shifts_lie_behind_the_runs():
    scene = night_scene()
    week = rig_week(scene, first_row=0)
    assert not [trace for trace in week.data if trace.meta == "water"]
    assert bars(rig_strips(scene), "on shift")


def test_patterned_blocks_keep_their_colour_on_the_page():
    scene = two_rigs_scene()
    for trace, *_ in bars(rig_strips(scene), "spell"):
        assert trace.marker.pattern.fillmode == "overlay"


def test_weeks_begin_on_mondays():
    scene = night_scene()  # Friday 27 to Tuesday 31 March, rows from Thursday noon
    days = [scene.rows.days[row].strftime("%a") for row in first_rows(scene)]
    assert days == ["Thu", "Mon"]
    assert first_rows(scene, days=2) == [0, 2, 4]


def test_the_map_holds_every_zone_once_and_says_which_are_left_out():
    figure = site_map(two_rigs_scene(), View.PLAN)
    names = [
        text
        for trace in figure.data
        if trace.mode == "text" and trace.customdata is not None
        for text in trace.text
    ]
    assert sorted(names) == ["Z1", "Z2", "Z3", "Z4"]
    assert [trace.name for trace in figure.data if trace.meta == "left out"] == ["left out"]


def test_the_map_numbers_the_stays_and_draws_the_ways_of_the_rigs_asked_for():
    scene = two_rigs_scene()
    figure = site_map(scene, View.PLAN)
    texts = [note.text for note in figure.layout.annotations]
    assert "<b>P1</b> R1·1" in texts
    assert "<b>P2</b> R1·2 R2·1" in texts
    assert "P3" in texts
    assert "R1 1→2" in texts
    assert len([trace for trace in figure.data if trace.meta == "way"]) == 1
    other = site_map(scene, View.PLAN, [RigId("R2")])
    assert not [trace for trace in other.data if trace.meta == "way"]


def test_every_layer_has_a_cell_with_its_day():
    figure = layer_board(two_rigs_scene())
    (cells,) = [trace for trace in figure.data if trace.meta == "layers"]
    assert list(cells.text) == ["2 Mar", "3 Mar ÷2", "4 Mar"]
    names = [text for trace in figure.data if trace.type == "scatter" for text in trace.text]
    assert names == ["Z1", "Z2", "Z3", "(Z4)"]


def test_an_empty_plan_can_be_drawn():
    scene = scene_of(two_rigs(), Plan())
    for figure in (
        rig_strips(scene),
        rig_week(scene, first_row=0),
        site_map(scene, View.PLAN),
        layer_board(scene),
    ):
        assert figure.to_json()


def test_the_same_plan_gives_the_same_picture():
    one, other = rig_strips(two_rigs_scene()), rig_strips(two_rigs_scene())
    assert one.to_json() == other.to_json()


def silo():
    zones = [
        make.zone(
            f"R{ring}{side}",
            x_m=x,
            z_m=1.25 + 2.5 * ring,
            area_m2=23.6,
            orientation=Orientation.VERTICAL,
            chainage_m=chainage,
        )
        for ring in range(6)
        for side, x, chainage in (("W", -6.0, 9.4), ("E", 6.0, 18.8))
    ]
    return make.campaign(zones=tuple(zones))


def pipe():
    zones = [
        make.zone(
            f"A-{k}",
            x_m=10.0 * k,
            area_m2=18.0,
            chainage_m=10.0 * k,
            clock_from=11.0,
            clock_to=1.0,
            section="A",
        )
        for k in range(1, 40)
    ]
    return make.campaign(zones=tuple(zones))


def test_the_view_suits_the_site():
    assert views(two_rigs()) == [View.PLAN]
    assert views(silo()) == [View.UNROLLED]
    assert views(pipe()) == [View.UNROLLED]
    bent = replace(pipe(), zones=tuple(replace(zone, y_m=zone.x_m) for zone in pipe().zones))
    assert views(bent) == [View.UNROLLED]
    moved = replace(pipe(), zones=tuple(replace(zone, x_m=5.0) for zone in pipe().zones))
    assert views(moved) == [View.UNROLLED, View.PLAN]


def test_a_face_from_eleven_to_one_lies_round_the_crown():
    shown = project(pipe(), View.UNROLLED)
    crown = next(at for at, name in shown.ticks if name.startswith("crown"))
    assert all(patch.across == pytest.approx(crown) for patch in shown.patches)
    # 18 m² on a sixth of the circumference of a 3 m pipe: 18 / (pi x 3 / 6) = 11.46 m long
    assert shown.patches[0].width == pytest.approx(11.459, abs=1e-3)


def test_a_wall_is_unrolled_to_scale():
    shown = project(silo(), View.UNROLLED)
    assert shown.to_scale
    assert shown.patches[0].width == pytest.approx(0.96 * 9.4)
    figure = site_map(scene_of(silo(), Plan()), View.UNROLLED)
    assert figure.layout.yaxis.scaleanchor == "x"


def test_a_long_pipe_is_folded_into_strips():
    figure = site_map(scene_of(pipe(), Plan()), View.UNROLLED)
    assert figure.layout.xaxis.range[1] - figure.layout.xaxis.range[0] < 390.0


def test_a_fold_keeps_every_point_on_its_strip():
    paper = fold([0.0, 300.0], [0.0, 20.0], pad=0.0, margin=5.0)
    assert paper.count == 3
    along, across = paper.place(150.0, 10.0)
    assert along == pytest.approx(50.0)
    assert across == pytest.approx(10.0 - paper.pitch)


def test_a_line_over_a_fold_is_cut_and_keeps_its_length():
    paper = Fold(start=0.0, length=100.0, low=0.0, high=20.0, count=3, gap=5.0)
    parts = paper.line((50.0, 0.0), (250.0, 20.0))
    assert [round(x1 - x0, 9) for x0, _, x1, _ in parts] == [50.0, 100.0, 50.0]
    assert parts[1][1] + paper.pitch == pytest.approx(5.0)  # a quarter of the way up


def test_a_short_site_is_not_folded():
    assert fold([0.0, 40.0], [0.0, 20.0], pad=1.0, margin=1.0).count == 1


def test_with_very_many_moves_only_the_positions_carry_numbers():
    moves = tuple(
        make.relocation(
            from_position=PositionId("P1" if k % 2 == 0 else "P2"),
            to_position=PositionId("P2" if k % 2 == 0 else "P1"),
            start_min=100 * k,
            end_min=100 * k + 60,
        )
        for k in range(20)
    )
    figure = site_map(scene_of(two_rigs(), replace(two_rigs_plan(), relocations=moves)), View.PLAN)
    assert not [note.text for note in figure.layout.annotations if "→" in note.text]
