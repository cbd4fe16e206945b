"""Figures of a line tell their formula, inputs, source and trust, and forbid nothing."""

import pytest

from planner.model.identifiers import CrewKind, Process
from planner.model.sourced import Trust
from planner.trade.figure import Figure, Input
from planner.trade.line_advice import line_advice
from planner.trade.line_figures import NO_VETO, Line, line_figures, ventilation
from planner.trade.machine_figures import bore_figure, machine_of, people_figure
from tests.builders import crew, rig

SHORT = Line(laid_m=20.0, rise_m=0.0)
LONG = Line(laid_m=200.0, rise_m=15.0)


def wet(**changes):
    return rig("W1", process=Process.WET, rise_factor=3.0, bend_m=3.0, rate_m3_h=6.0, **changes)


def named(one, line):
    return {figure.name: figure for figure in line_figures(one, line)}


def advice(one, line, *, closed=False):
    return line_advice(one, line, named(one, line), closed=closed)


def test_a_dry_line_tells_bore_pressure_air_and_water():
    figures = named(rig(hose_bore_mm=25.0), SHORT)
    assert list(figures) == [
        *("hose_bore_mm", "gun_kpa", "air_m3_min"),
        *("water_nozzle_kpa", "water_supply_kpa", "water_l_min"),
    ]
    assert figures["gun_kpa"].value == pytest.approx(310.264)
    assert figures["air_m3_min"].value == pytest.approx(2.8)
    assert figures["water_nozzle_kpa"].value == 620.0


def test_a_wet_line_tells_bore_air_and_pump():
    figures = named(wet(), Line(laid_m=50.0, rise_m=4.0, bends=2.0))
    assert list(figures) == ["hose_bore_mm", "air_m3_min", "pump_kpa", "pump_kw"]
    assert figures["pump_kpa"].value == pytest.approx(4730.0)
    # 47.3 bar x 6 m3/h / 25
    assert figures["pump_kw"].value == pytest.approx(11.352)
    assert figures["air_m3_min"].value == 6.0
    assert named(wet(type_id="wet-boom"), SHORT)["air_m3_min"].value == 12.0


@pytest.mark.parametrize("one", [rig(), wet(), rig(type_id="dry-rotary-bowl")])
def test_every_figure_has_a_formula_a_source_and_a_trust(one):
    for figure in line_figures(one, LONG):
        assert figure.formula
        assert figure.source
        assert figure.unit
        assert isinstance(figure.trust, Trust)
        assert figure.value is not None


def test_what_rests_on_the_pressure_rule_is_no_more_trusted_than_it():
    short, long = named(rig(), SHORT), named(rig(), LONG)
    assert short["air_m3_min"].trust is Trust.PRACTICE
    assert short["water_nozzle_kpa"].trust is Trust.PRACTICE
    assert {long[name].trust for name in ("gun_kpa", "air_m3_min", "water_nozzle_kpa")} == {
        Trust.MEMORY
    }


def test_a_bore_is_given_or_that_of_the_kind_or_assumed_and_each_says_so():
    given = bore_figure(rig(hose_bore_mm=32.0))
    kind = bore_figure(
        rig(hose_bore_mm=32.0, type_id="dry-rotary-bowl", type_filled=("hose_bore_mm",))
    )
    assumed = bore_figure(rig())
    assert (given.value, given.trust, given.source) == (32.0, Trust.GIVEN, "rigs.csv")
    assert (kind.value, kind.formula) == (32.0, "usual of a rotary feed-bowl gun")
    assert (assumed.value, "assumed" in assumed.formula) == (38.0, True)
    assert bore_figure(wet()).value == 50.0


def test_people_are_given_else_of_the_largest_crew_that_may_work_with_it_else_usual():
    crews = (
        crew("A", people=5),
        crew("B", people=8, processes=(Process.WET,)),
        crew("C", people=20, kind=CrewKind.BREAK_OUT, rate_m3_h=1.0),
        crew("D"),
    )
    assert people_figure(rig(crew_size=4), crews).value == 4.0
    assert people_figure(rig(), crews).value == 5.0
    assert people_figure(wet(), crews).value == 8.0
    filled = rig(type_id="dry-rotary-barrel", crew_size=6, type_filled=("crew_size",))
    assert people_figure(filled, crews).value == 5.0
    assert people_figure(filled, ()).value == 6.0
    assert "assumed" in people_figure(rig(), (crew("D"),)).formula


def test_the_kind_of_a_rig_is_looked_up():
    assert machine_of(rig()) is None
    kind = machine_of(rig(type_id="dry-double-chamber"))
    assert kind is not None
    assert kind.title == "double-chamber gun"


def test_a_line_above_the_compressor_is_warned_about_and_never_forbidden():
    # 310.3 + 2.262 x 169.52 + 4.524 x 15 = 761.6 kPa
    (text,) = [line for line in advice(rig(), LONG) if "at the gun" in line]
    assert "762 kPa at the gun, more than the 700 kPa of a usual compressor" in text
    assert NO_VETO in text
    assert "the rated reach (hose_max_m) is the limit" in NO_VETO
    assert not any("at the gun" in line for line in advice(rig(air_kpa=800.0), LONG))
    assert any("600 kPa of its compressor" in line for line in advice(rig(air_kpa=600.0), LONG))
    assert not any("at the gun" in line for line in advice(rig(), SHORT))


def test_a_compressor_that_is_too_small_is_told():
    small = rig(hose_bore_mm=25.0, air_m3_min=2.7)
    assert any("2.7 of the 2.8 m³/min" in line for line in advice(small, SHORT))
    enough = rig(hose_bore_mm=25.0, air_m3_min=2.8)
    assert not any("m³/min" in line for line in advice(enough, SHORT))


@pytest.mark.parametrize(
    ("water_kpa", "words"),
    [
        (None, "no water_kpa is given"),
        (400.0, "its water has 400 of the 620 kPa wanted"),
        (620.0, None),
    ],
)
def test_a_booster_pump_is_advised_and_not_required(water_kpa, words):
    found = [line for line in advice(rig(water_kpa=water_kpa), SHORT) if "booster" in line]
    assert [words in line for line in found] == ([] if words is None else [True])
    assert all("a booster pump is advised, not required" in line for line in found)


def test_a_wet_line_wants_no_water_and_beyond_100_m_a_special_line():
    assert not any("booster" in line for line in advice(wet(), SHORT))
    assert not any("special" in line for line in advice(wet(), Line(laid_m=100.0, rise_m=0.0)))
    assert any("special" in line for line in advice(wet(), Line(laid_m=101.0, rise_m=0.0)))


def test_a_line_beyond_what_is_known_of_the_kind_is_told_with_the_range():
    bowl = rig(type_id="dry-rotary-bowl")
    found = advice(bowl, Line(laid_m=151.0, rise_m=31.0))
    assert any("151 m of hose is beyond" in line and "at most 150 m" in line for line in found)
    assert any("31 m of rise is beyond" in line and "at most 30 m" in line for line in found)
    assert not any("beyond" in line for line in advice(bowl, Line(laid_m=150.0, rise_m=30.0)))


def test_kinds_that_feed_batch_by_batch_and_rigs_without_a_kind_are_told():
    assert any("batch by batch" in line for line in advice(rig(type_id="wet-pneumatic"), SHORT))
    assert any("no type is named" in line for line in advice(rig(), SHORT))
    barrel = advice(rig(type_id="dry-rotary-barrel", water_kpa=900.0), SHORT)
    assert barrel == ()


def test_a_closed_space_defers_to_the_code_for_confined_spaces():
    assert any(
        "local code for confined spaces" in line for line in advice(rig(), SHORT, closed=True)
    )


def test_ventilation_counts_people_and_the_bore_of_a_sewer():
    people = people_figure(rig(crew_size=6), ())
    # 18.288 m/min x pi / 4 x (3.6 m)^2 = 186.1 m3/min; 6 x 5.663 = 34.0
    assert ventilation(people, diameter_m=3.6).value == pytest.approx(186.15, abs=0.01)
    alone = ventilation(people, diameter_m=None)
    assert alone.value == pytest.approx(33.978)
    assert "cross-section" in alone.note
    assert [each.name for each in alone.inputs] == ["crew_size"]


def test_inputs_are_told_in_words():
    figure = Figure(
        name="x",
        value=1.0,
        unit="m",
        formula="a + b",
        inputs=(Input(name="a", value=0.25, source="one"), Input(name="b", value="c", source="d")),
        source="s",
        trust=Trust.GIVEN,
    )
    assert figure.inputs_words() == "a = 0.25 (one); b = c (d)"
