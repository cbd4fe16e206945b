"""Area and depth measured after break-out stand in place of the survey."""

import pytest

from planner.core.problems import InputRefusedError
from planner.scenario.reader import read_scenario


def zones(folder, *columns_and_rows):
    (folder / "zones.csv").write_text("\n".join(columns_and_rows) + "\n", encoding="utf-8")


@pytest.fixture
def folder(tmp_path):
    for name, text in TABLES.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    return tmp_path


TABLES = {
    "campaign.toml": """[campaign]
name = "Found"
start = 2026-03-02
end = 2026-03-08
time_zone = "Europe/London"
[water]
kind = "none"
[reach]
by = "grid"
""",
    "positions.csv": "position,x_m,y_m,z_m\nYard,0,0,0\n",
    "rigs.csv": "rig,process,hose_max_m,rate_m3_h\nR1,dry,60,3\n",
    "crews.csv": "crew,kind,shift\nAsh,spray,day\n",
    "shifts.csv": "shift,days,start,end\nday,Mon;Tue;Wed;Thu;Fri,07:00,17:00\n",
}
HEADING = "zone,x_m,y_m,z_m,area_m2,depth_mm,volume_m3,found_area_m2,found_depth_mm,orientation"


def read(folder, *rows):
    zones(folder, HEADING, *rows)
    campaign, warnings = read_scenario(folder)
    return campaign.zones, warnings


def test_a_found_depth_counts_without_overbreak_and_the_survey_is_kept(folder):
    (zone,), _ = read(folder, "A,1,0,0,20,50,,,80,vertical")
    assert zone.in_place_m3(0.10) == pytest.approx(20 * 0.080)
    assert zone.surveyed_m3 == pytest.approx(20 * 0.050 * 1.10)
    assert zone.depth_mm == 80.0


def test_a_found_area_alone_is_worked_out_as_the_survey_was(folder):
    (zone,), _ = read(folder, "A,1,0,0,20,50,,24,,vertical")
    assert zone.in_place_m3(0.10) == pytest.approx(24 * 0.050 * 1.10)
    assert zone.area_m2 == 24.0


def test_both_found_replace_a_volume_of_the_survey(folder):
    (zone,), _ = read(folder, "A,1,0,0,,,1.5,24,80,vertical")
    assert zone.in_place_m3(0.10) == pytest.approx(24 * 0.080)
    assert zone.surveyed_m3 == 1.5


def test_without_found_values_nothing_changes(folder):
    (zone,), _ = read(folder, "A,1,0,0,20,50,,,,vertical")
    assert zone.surveyed_m3 is None
    assert zone.volume_m3 is None


def test_a_found_depth_without_any_area_is_refused(folder):
    zones(folder, HEADING, "A,1,0,0,,,1.5,,80,vertical")
    with pytest.raises(InputRefusedError) as refused:
        read_scenario(folder)
    (problem,) = [row for row in refused.value.problems if row.severity == "error"]
    assert problem.line().startswith("zones.csv:2:area_m2: ")


def test_a_find_far_from_the_survey_is_told(folder):
    _, warnings = read(folder, "A,1,0,0,20,15,,,50,vertical")
    assert any("50 found where the survey has 15" in row.message for row in warnings)


def test_found_columns_without_values_leave_the_fingerprint_alone(folder):
    zones(folder, HEADING, "A,1,0,0,20,50,,,,vertical")
    with_columns, _ = read_scenario(folder)
    zones(folder, HEADING.replace(",found_area_m2,found_depth_mm", ""), "A,1,0,0,20,50,,vertical")
    without, _ = read_scenario(folder)
    assert with_columns.fingerprint == without.fingerprint
