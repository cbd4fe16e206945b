"""``ebbwork equipment``: the table, why, the catalogue, and what is refused."""

import csv
import io

import pytest

from planner.commands.main import main
from planner.model.machines import MACHINES
from planner.workflow.equipment_rows import HEADING


@pytest.fixture
def run(capsys):
    def run_it(*words):
        code = main([str(word) for word in words])
        said = capsys.readouterr()
        return code, said.out, said.err

    return run_it


def rows_of(text):
    return list(csv.DictReader(io.StringIO(text)))


def test_the_table_leaves_as_csv_and_the_limit_is_told_beside_it(run, scenario):
    code, out, err = run("equipment", scenario)
    assert code == 0
    assert tuple(out.splitlines()[0].split(",")) == HEADING
    (row,) = rows_of(out)
    assert (row["rig"], row["position"], row["zones"]) == ("R1", "Yard", "2")
    assert row["pump_kw"] == ""
    assert "The rated reach of each rig" in err
    assert "is the limit" in err


def test_a_table_for_reading_names_each_advice_once_with_its_rows(run, scenario):
    code, out, _ = run("equipment", scenario, "--table")
    assert code == 0
    lines = out.splitlines()
    assert lines[0].split()[:3] == ["row", "rig", "at"]
    assert sum("booster pump" in line for line in lines) == 1
    assert "," not in lines[0]


def test_why_tells_formula_inputs_and_source_of_every_number(run, scenario):
    code, out, _ = run("equipment", scenario, "--why", "R1")
    assert code == 0
    told = {row["figure"]: row for row in rows_of(out)}
    assert {"gun_kpa", "air_m3_min", "hose_m", "zones", "crew_size"} <= set(told)
    assert all(row["formula"] and row["source"] and row["trust"] for row in told.values())
    assert "hose_bore_mm = 38" in told["air_m3_min"]["inputs"]
    assert run("equipment", scenario, "--why", "1")[1] == out


def test_why_is_readable_where_a_table_is_asked_for(run, scenario):
    code, out, _ = run("equipment", scenario, "--why", "R1", "--table")
    assert code == 0
    assert "R1 at Yard: gun_kpa = 310.264 kPa" in out
    assert "    source: " in out
    assert all(len(line) <= 100 for line in out.splitlines())


@pytest.mark.parametrize("what", ["R2", "0", "7"])
def test_an_unknown_row_or_rig_is_refused_with_those_that_there_are(run, scenario, what):
    code, out, err = run("equipment", scenario, "--why", what)
    assert (code, out) == (2, "")
    assert f"no rig and no row '{what}'" in err
    assert "the rigs are R1 and the rows 1 to 1" in err
    assert len(err.splitlines()) == 1


def test_the_catalogue_needs_no_scenario(run):
    code, out, err = run("equipment", "--types")
    assert (code, err) == (0, "")
    rows = rows_of(out)
    assert {row["type"] for row in rows} == {machine.type_id for machine in MACHINES}
    assert all(row["usual"] and row["source"] and row["trust"] for row in rows)


def test_the_catalogue_is_readable_where_a_table_is_asked_for(run):
    code, out, _ = run("equipment", "--types", "--table")
    assert code == 0
    assert "wet-worm: worm (mortar) pump, feeds without a break" in out
    assert "dry-single-chamber: single-chamber gun, feeds batch by batch" in out


def test_without_a_scenario_it_says_what_to_name(run):
    code, out, err = run("equipment")
    assert (code, out) == (2, "")
    assert err == "equipment: name a scenario folder or workbook, or ask for --types\n"


def test_a_scenario_that_is_wrong_is_told_line_by_line(run, scenario):
    rigs = scenario / "rigs.csv"
    rigs.write_text("rig,process,type\nR1,dry,wet-worm\nR2,dry,\n", encoding="utf-8")
    code, out, err = run("equipment", scenario)
    assert (code, out) == (2, "")
    assert [line.split(": ")[0] for line in err.splitlines()] == [
        "rigs.csv:1:hose_max_m",
        "rigs.csv:1:rate_m3_h",
        "rigs.csv:2:type",
    ]


def test_cautions_of_a_scenario_leave_as_csv_and_approve_nothing(run, scenario):
    code, out, err = run("equipment", scenario, "--cautions")
    assert code == 0
    told = {row["code"]: row for row in rows_of(out)}
    assert told["propping"]["subjects"] == "Near;Next"
    assert all(row["follow"].startswith("Follow your local code") for row in told.values())
    assert "approves nothing" in err


def test_cautions_are_readable_where_a_table_is_asked_for(run, scenario):
    code, out, _ = run("equipment", scenario, "--cautions", "--table")
    assert code == 0
    assert "Break-out weakens the structure (all 2 zones)" in out
    assert all(len(line) <= 100 for line in out.splitlines())


@pytest.fixture
def sewer_plan(scenario, tmp_path):
    """A plan that sprays overhead at chainage 10 first and beyond it, at 30, in the same run."""
    text = (scenario / "zones.csv").read_text(encoding="utf-8").splitlines()
    (scenario / "zones.csv").write_text(
        f"{text[0]},chainage_m,closed_space,broken_out\n"
        "Near,10,0,0,20,40,overhead,10,yes,yes\n"
        "Next,30,0,0,20,40,overhead,30,yes,yes\n",
        encoding="utf-8",
    )
    plan = tmp_path / "plan"
    plan.mkdir()
    (plan / "summary.json").write_text("{}", encoding="utf-8")
    zone = "2026-03-02T{}+00:00"
    stays = [("Near", "08:10", "08:50"), ("Next", "09:00", "09:40")]
    spells = [
        f"1,R1,Ash,Yard,{name},1,{zone.format(start)},{zone.format(end)},0.88,10,10"
        for name, start, end in stays
    ]
    heading = "run,rig,crew,position,zone,layer,start,end,volume_m3,hose_m,hose_laid_m"
    tables = {
        "spells.csv": [heading, *spells],
        "runs.csv": [
            "run,rig,crew,position,mix,start,end,kind,orientation",
            f"1,R1,Ash,Yard,dry,{zone.format('08:00')},{zone.format('10:00')},spray,",
        ],
        "relocations.csv": ["rig,crew,from,to,start,end"],
        "break_outs.csv": ["crew,zone,start,end,volume_m3"],
        "unplanned.csv": ["zone,reason"],
    }
    for name, lines in tables.items():
        (plan / name).write_text("\n".join(lines) + "\n", encoding="utf-8")
    return plan


def test_what_in_a_plan_asks_for_a_second_look_is_listed(run, scenario, sewer_plan):
    code, out, err = run("equipment", scenario, "--cautions", sewer_plan)
    assert code == 0
    (row,) = rows_of(out)
    assert (row["code"], row["zone"], row["start"]) == (
        *("way-out", "Next", "2026-03-02T09:00:00+00:00"),
    )
    assert "1 spell asks for a second look (the way out 1)" in err
    assert "way-out" in run("equipment", scenario, "--cautions", sewer_plan, "--table")[1]


def test_the_check_of_a_plan_tells_of_its_cautions_beside_its_rules(run, scenario, sewer_plan):
    _, out, err = run("check", scenario, sewer_plan)
    assert "way-out" not in out
    assert "1 spell asks for a second look (the way out 1): cautions, not broken rules." in err


def test_a_folder_that_is_no_plan_is_refused(run, scenario, tmp_path):
    code, out, err = run("equipment", scenario, "--cautions", tmp_path / "none")
    assert (code, out) == (2, "")
    assert "no such plan folder" in err
