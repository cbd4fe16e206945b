"""Paper, read back: text by pypdf, nothing cut off, pages as many as needed."""

import re
from dataclasses import replace
from datetime import date, timedelta
from io import BytesIO
from pathlib import Path

import numpy as np
import pypdf
import pytest

from planner.model.identifiers import CrewKind, ZoneId
from planner.model.water import Constituent, FlowPattern, SewerSection, Water, WaterKind
from planner.model.zone import Zone
from planner.plan.plan import Plan
from planner.reports.sheets.campaign_report import campaign_pdf
from planner.reports.sheets.ground import DueTest, SheetGround
from planner.reports.sheets.paper import fitted
from planner.reports.sheets.shift_sheet import cautions_pdf, shift_pdf
from planner.reports.sheets.stop_rows import stop_rows
from planner.reports.sheets.week_sheet import week_pdf
from planner.site.issued import Issue
from planner.site.ready import ReadyRow, State
from tests import builders as make
from tests.unit.reports.plans import tide, two_rigs, two_rigs_plan

DAY = 24 * 60
MONDAY = date(2026, 3, 2)


def text_of(data):
    pages = pypdf.PdfReader(BytesIO(data)).pages
    return len(pages), " ".join("\n".join(page.extract_text() for page in pages).split())


def ground(**more):
    return SheetGround(two_rigs(), two_rigs_plan(), **more)


def many(zones, **zone):
    """One crew that sprays many zones of 0.11 m³ in one shift, 4 minutes each."""
    fields = {"area_m2": 2.0, "depth_mm": 50.0, "water_max_m": 1.0} | zone
    names = [f"Zone-{k:03d}" for k in range(zones)]
    made = tuple(make.zone(name, x_m=10.0 + k, **fields) for k, name in enumerate(names))
    starts = [370 + 4 * k for k in range(zones)]
    spells = tuple(
        make.spell(zone=ZoneId(name), start_min=at, end_min=at + 4, volume_m3=0.11)
        for name, at in zip(names, starts, strict=True)
    )
    campaign = make.campaign(zones=made, water=tide())
    return SheetGround(campaign, Plan(runs=(make.run(end_min=680),), spells=spells))


def test_a_shift_fits_one_page_and_says_what_it_must():
    made = ground(issue=3)
    pages, text = text_of(shift_pdf(made, made.duties[0]))
    assert pages == 1
    for words in (
        "C1",
        "Mon 2 Mar 2026",
        "issue 3",
        "1 NOZZLE OFF by",
        "2 LEAVE THE FACE by",
        "3 WATER ARRIVES",
        "OUT AT ONCE when the board rises to",
        "Move R1 from P1 to P2",
        "Test panel with R1 at P1",
        "Z1",
        "Before anybody goes in",
        "Rescue means",
        "Weather and warnings",
        "Harbour called",
        "all out, counted by",
        "bags of 25 kg with the line",
        "Hoses of R1 from P1",
        "anybody may stop the work",
    ):
        assert words in text, words


def test_the_stops_in_large_type_are_those_of_the_stop_finder():
    made = ground()
    duty = made.duties[0]
    (row, other) = stop_rows(made, duty)
    assert (row.zones, other.zones) == (("Z1",), ("Z2",))  # sections may have levels of their own
    _, text = text_of(shift_pdf(made, duty))
    clock = made.clock
    for minute in (row.off_min, row.leave_min, row.stops.water_min):
        assert f"{clock.local(minute):%H:%M}" in text
    assert f"↑ {row.stops.stop_high_m:+.2f} m" in text


def test_work_that_stops_alike_shares_a_row_with_the_earliest_end_of_spraying():
    made = many(3)
    (row,) = stop_rows(made, made.duties[0])
    assert row.zones == ("Zone-000", "Zone-001", "Zone-002")
    offs = [made.stops(spell, made.duties[0]).nozzle_off_min for spell in made.plan.spells]
    assert row.off_min == min(offs)


def test_an_end_of_spraying_before_another_spell_is_told_apart():
    """Z1 is wetted at 0.5 m and protected for 4 h: its nozzle is off before Z2 is begun."""
    zones = (make.zone("Z1", water_max_m=1.0, wets_at_m=0.5), make.zone("Z2", water_max_m=1.0))
    mixes = (make.mix(protect_h=4.0),)
    campaign = make.campaign(zones=zones, mixes=mixes, water=tide())
    spells = (
        make.spell(start_min=390, end_min=420),
        make.spell(zone=ZoneId("Z2"), start_min=500, end_min=560),
    )
    made = SheetGround(campaign, Plan(runs=(make.run(end_min=600),), spells=spells))
    first, second = stop_rows(made, made.duties[0])
    assert first.off_min == 11 * 60 + 15 - 4 * 60  # the water reaches 0.5 m at 11:15
    assert second.off_min > first.off_min
    _, text = text_of(shift_pdf(made, made.duties[0]))
    assert "07:15" in text


def test_a_crew_that_breaks_out_gets_stops_and_board_too():
    breakers = make.crew("B1", kind=CrewKind.BREAK_OUT, rate_m3_h=0.5)
    campaign = make.campaign(
        zones=(make.zone(water_max_m=1.0),), crews=(make.crew(), breakers), water=tide()
    )
    made = SheetGround(campaign, Plan(break_outs=(make.break_out(),)))
    (row,) = stop_rows(made, made.duties[0])
    assert (row.leave_min, row.off_min) == (11 * 60 + 20, 11 * 60 + 20)
    _, text = text_of(shift_pdf(made, made.duties[0]))
    for words in ("breaks out", "1 TOOLS OFF by", "11:20", "OUT AT ONCE", "break out"):
        assert words in text, words


def test_water_limits_of_a_position_are_told_less_the_allowance():
    place = make.position(water_max_m=1.5, water_min_m=-0.5)
    water = replace(tide(), allowance_m=0.2, allowance_low_m=0.3)
    campaign = make.campaign(zones=(make.zone(water_max_m=1.0),), positions=(place,), water=water)
    made = SheetGround(campaign, Plan(runs=(make.run(),), spells=(make.spell(),)))
    _, text = text_of(shift_pdf(made, made.duties[0]))
    assert "Rigs, by the board: P1 not above +1.30 m; P1 not below -0.20 m." in text


def test_tests_of_a_zone_are_named_where_the_zone_is_worked_in():
    here = DueTest(crew="", zone="Z1", at_min=700, short="inspection", words="INSP/Z1")
    there = DueTest(crew="", zone="Z3", at_min=700, short="inspection", words="INSP/Z3")
    made = ground(tests=(here, there))
    assert made.tests_due(made.duties[0]) == [here]


def test_tests_that_fall_into_the_shift_are_named_and_others_not():
    tests = (
        DueTest(crew="C1", at_min=700, short="panel", words="PROD/1 (production panel)"),
        DueTest(crew="C2", at_min=700, short="panel", words="PROD/2 (production panel)"),
        DueTest(crew="C1", at_min=5 * DAY, short="panel", words="PROD/3 (production panel)"),
    )
    made = ground(tests=tests)
    _, text = text_of(shift_pdf(made, made.duties[0]))
    assert "PROD/1" in text
    assert "PROD/2" not in text
    assert "PROD/3" not in text


def test_many_zones_go_on_over_the_page_and_none_is_lost():
    made = many(70)
    pages, text = text_of(shift_pdf(made, made.duties[0]))
    assert pages > 1
    assert [name for name in (f"Zone-{k:03d}" for k in range(70)) if name not in text] == []
    assert "(continued)" in text


def test_many_zones_with_very_long_names_are_all_printed():
    """Forty names of 190 characters: more than a page in one cell of the week."""
    names = [f"{k:02d}" + "-abcdefg" * 23 for k in range(40)]
    zones = tuple(make.zone(name, x_m=10.0 + k, water_max_m=1.0) for k, name in enumerate(names))
    spells = tuple(
        make.spell(zone=ZoneId(name), start_min=370 + 4 * k, end_min=374 + 4 * k)
        for k, name in enumerate(names)
    )
    campaign = make.campaign(zones=zones, water=tide())
    made = SheetGround(campaign, Plan(runs=(make.run(end_min=680),), spells=spells))
    for data in (shift_pdf(made, made.duties[0]), week_pdf(made, MONDAY, [])):
        flat = text_of(data)[1].replace(" ", "")
        assert [name[:2] for name in names if name[:10] not in flat] == []  # pages may part one


def test_long_names_wrap_and_are_not_cut():
    name = "Pier-seven-north-side-soffit-between-beams-twelve-and-thirteen-" * 2
    zone: Zone = make.zone(name, water_max_m=1.0)
    spell = make.spell(zone=ZoneId(name))
    campaign = replace(
        make.campaign(zones=(zone,), water=tide()), name="A campaign with a very long name " * 6
    )
    made = SheetGround(campaign, Plan(runs=(make.run(),), spells=(spell,)))
    _, text = text_of(shift_pdf(made, made.duties[0]))
    assert name in text.replace(" ", "")
    assert "<b>" not in text


def test_markup_in_a_name_is_printed_as_it_stands():
    zone = make.zone("A<b>&'x'", water_max_m=1.0)
    spell = make.spell(zone=zone.zone_id)
    made = SheetGround(
        make.campaign(zones=(zone,), water=tide()), Plan(runs=(make.run(),), spells=(spell,))
    )
    assert "A<b>&'x'" in text_of(shift_pdf(made, made.duties[0]))[1]


def test_the_same_shift_gives_the_same_bytes():
    assert shift_pdf(ground(), ground().duties[0]) == shift_pdf(ground(), ground().duties[0])


def test_without_water_there_is_no_board():
    made = SheetGround(make.campaign(), Plan(runs=(make.run(),), spells=(make.spell(),)))
    _, text = text_of(shift_pdf(made, made.duties[0]))
    assert "no water in this scenario" in text
    assert "Who calls the stops" in text


def sewer():
    """A pipe with little flow by night and much by day; people work up to 0.5 m."""
    day = tuple(0.3 if hour < 6 else 3.0 for hour in range(24))
    water = Water(
        kind=WaterKind.SEWER,
        sewer=(
            SewerSection(
                section="S1", diameter_m=2.0, slope=0.001, manning_n=0.014, mean_flow_m3_s=0.5
            ),
        ),
        patterns=(FlowPattern(weekday=day, weekend=day),),
        allowance_m=0.05,
        warning_min=12,
    )
    night = make.shift(start_tod=0, end_tod=8 * 60)
    zone = make.zone(water_max_m=0.5, section="S1", chainage_m=10.0)
    spell = make.spell(start_min=120, end_min=186)
    run = make.run(start_min=90, end_min=201)
    campaign = make.campaign(zones=(zone,), shifts=(night,), water=water)
    return SheetGround(campaign, Plan(runs=(run,), spells=(spell,)))


def test_a_sewer_has_a_gauge_a_call_upstream_and_a_gas_test():
    made = sewer()
    (row,) = stop_rows(made, made.duties[0])
    _, text = text_of(shift_pdf(made, made.duties[0]))
    for words in (
        "OUT AT ONCE when the gauge rises to (depth)",
        f"↑ {row.stops.stop_high_m:.2f} m",
        "Gas test from outside",
        "Upstream called",
        "Out at the first alarm",
        "12 min after an alarm",
        "metres above the invert",
    ):
        assert words in text, words
    assert (row.stops.stop_high_m or 9.0) < 0.45  # the limit less the allowance, less the way out


def test_the_week_names_high_and_low_waters_of_a_tide():
    m2 = Constituent(name="M2", amplitude_m=2.0, phase_deg=0.0)
    water = Water(kind=WaterKind.TIDE, constituents=(m2,))
    campaign = make.campaign(water=water, zones=(make.zone(water_max_m=9.0),))
    made = SheetGround(campaign, Plan(runs=(make.run(),), spells=(make.spell(),)))
    _, text = text_of(week_pdf(made, MONDAY, []))
    level = made.stop_finder.source(None)
    assert level is not None
    told = re.findall(r"(high|low) (\d\d):(\d\d) ([+-]\d\.\d\d) m", text)
    assert 26 <= len(told) <= 28  # 7 days of 12.42 h each
    for kind, hour, minute, height in told[:3]:
        at = float(int(hour) * 60 + int(minute))
        here, before, after = level.level_m(np.array([at, at - 30.0, at + 30.0]))
        assert here == pytest.approx(float(height), abs=0.02)
        assert (here > before and here > after) == (kind == "high")


def test_cautions_are_printed_in_full():
    made = ground()
    _, text = text_of(cautions_pdf(made, "C1"))
    assert "Follow your local code for risk assessment" in text
    assert "Plugs and whipping hoses" in text


def test_the_week_lists_every_shift_and_what_is_open():
    ready = [
        ReadyRow(item="position P1", needed_min=360, state=State.SHOWN, why="show it"),
        ReadyRow(item="face Z1", needed_min=390, state=State.READY, why="measured"),
    ]
    _, text = text_of(week_pdf(ground(), MONDAY, ready))
    assert "Week of Mon 2 Mar to Sun 8 Mar 2026" in text
    assert "Z1: 1/1, 2.20; Z2: 1/1, 1.10" in text
    assert "position P1" in text
    assert "face Z1" not in text  # ready already
    assert "dry 13.6 m³" in text  # 6.6 x 1.03 / 0.5


def test_a_week_without_work_is_a_page_all_the_same():
    _, text = text_of(week_pdf(ground(), MONDAY + timedelta(days=7), []))
    assert "0 shifts" in text


def issue(number, day, finish):
    at = make.clock().local(day * DAY)
    return Issue(
        number=number,
        issued_at=at,
        by="Ann",
        note="",
        scenario_sha256="",
        plan_sha256="",
        finish=make.clock().local(finish),
        planned_m3=1.0,
        status="feasible",
        forecast=make.clock().local(finish + DAY),
        forecast_low=make.clock().local(finish),
        folder=Path("none"),
    )


def test_the_report_holds_figures_story_zones_and_how_the_finish_moved():
    issues = [issue(1, 0, 8 * DAY), issue(2, 4, 9 * DAY)]
    pages, text = text_of(campaign_pdf(ground(), make.proof(), issues, ["Placing: slower."]))
    assert pages >= 2
    for words in (
        "Volume in place by week",
        "The finish as it was told with each plan issued",
        "1: issued Mon 2 Mar 2026",
        "Placing: slower.",
        "Where the rigs stand",
        "By month, section and rig",
        "No time is left.",
        "All 4 zones",
    ):
        assert words in text, words


def test_one_issue_alone_shows_no_movement():
    _, text = text_of(campaign_pdf(ground(), make.proof(), [issue(1, 0, 8 * DAY)], []))
    assert "as it was told" not in text


@pytest.mark.parametrize(("room", "shown"), [(1000.0, "a long line"), (30.0, "a long…")])
def test_the_foot_is_cut_with_a_sign(room, shown):
    from planner.reports.pdf_fonts import register_fonts

    regular, _ = register_fonts()
    assert fitted("a long line", regular, 8, room) == shown
