"""Plans in folders: whole, exact, and read again with every problem in its place."""

import json
from dataclasses import replace

import pytest

from planner.core.problems import InputRefusedError
from planner.model.identifiers import Goal, Orientation
from planner.plan.plan import Plan, RunKind
from planner.plan.store import FIXED, is_plan_folder, read_plan, write_plan
from tests.builders import (
    break_out,
    campaign,
    crew,
    position,
    proof,
    relocation,
    run,
    spell,
    unplanned,
    zone,
)

SCENE = campaign(
    zones=(zone("Z1"), zone("Z2")),
    positions=(position("P1"), position("P2")),
    crews=(crew("C1"), crew("B1")),
    fingerprint="ab" * 32,
)
FULL = Plan(
    spells=(spell(volume_m3=1.0 / 3.0, hose_m=10.25),),
    runs=(
        run(),
        run("p", kind=RunKind.PANEL, orientation=Orientation.FLOOR, start_min=600, end_min=700),
    ),
    relocations=(relocation(), relocation(crew=None)),
    break_outs=(break_out(),),
    unplanned=(unplanned("Z2", 'No position reaches it: 138 m, "far", too long.'),),
)


def write(folder, plan=FULL, **more):
    write_plan(folder, SCENE, plan, proof(), "0.1.0", **more)
    return folder


def lines_of(folder):
    with pytest.raises(InputRefusedError) as refused:
        read_plan(folder, SCENE)
    return [problem.line() for problem in refused.value.problems]


def change(path, old, new):
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")


def test_a_plan_is_read_again_as_it_was_written(tmp_path):
    folder = write(tmp_path / "plan")
    plan, summary = read_plan(folder, SCENE)
    assert plan == FULL
    assert summary["scenario_sha256"] == "ab" * 32


def test_the_tables_have_the_columns_of_the_contract_and_times_with_their_offset(tmp_path):
    folder = write(tmp_path / "plan")
    assert (folder / "spells.csv").read_text(encoding="utf-8") == (
        "run,rig,crew,position,zone,layer,start,end,volume_m3,hose_m,hose_laid_m\n"
        "1,R1,C1,P1,Z1,1,2026-03-02T06:30:00+00:00,2026-03-02T07:36:00+00:00,"
        "0.3333333333333333,10.25,10\n"
    )
    assert (folder / "runs.csv").read_text(encoding="utf-8") == (
        "run,rig,crew,position,mix,start,end,kind,orientation\n"
        "1,R1,C1,P1,dry,2026-03-02T06:00:00+00:00,2026-03-02T07:51:00+00:00,spray,\n"
        "p,R1,C1,P1,dry,2026-03-02T10:00:00+00:00,2026-03-02T11:40:00+00:00,panel,floor\n"
    )
    assert (folder / "relocations.csv").read_text(encoding="utf-8") == (
        "rig,crew,from,to,start,end\n"
        "R1,C1,P1,P2,2026-03-02T08:00:00+00:00,2026-03-02T09:00:00+00:00\n"
        "R1,,P1,P2,2026-03-02T08:00:00+00:00,2026-03-02T09:00:00+00:00\n"
    )
    assert (folder / "break_outs.csv").read_text(encoding="utf-8") == (
        "crew,zone,start,end,volume_m3\n"
        "B1,Z1,2026-03-02T06:00:00+00:00,2026-03-02T10:24:00+00:00,2.2\n"
    )
    assert (folder / "unplanned.csv").read_text(encoding="utf-8") == (
        'zone,reason\nZ2,"No position reaches it: 138 m, ""far"", too long."\n'
    )


def test_tables_without_rows_are_a_heading(tmp_path):
    folder = write(tmp_path / "plan", Plan())
    assert (folder / "break_outs.csv").read_text(encoding="utf-8") == (
        "crew,zone,start,end,volume_m3\n"
    )
    assert read_plan(folder, SCENE)[0] == Plan()


def test_the_summary_holds_every_figure_of_the_contract(tmp_path):
    plan = Plan(spells=(spell(),), runs=(run(),), unplanned=FULL.unplanned)
    write_plan(tmp_path / "plan", SCENE, plan, proof(), "0.1.0")
    assert json.loads((tmp_path / "plan" / "summary.json").read_text(encoding="utf-8")) == {
        "campaign": "Small",
        "scenario_sha256": "ab" * 32,
        "version": "0.1.0",
        "seed": 1,
        "workers": 1,
        "seconds": 0.5,
        "status": "feasible",
        "planned_m3": 2.2,
        "planned_m3_bound": 2.2,
        "unplanned_m3": 2.2,
        "finish": "2026-03-02T07:36:00+00:00",
        "relocations": 0,
        "late": 0,
        "night_runs": 0,
        "joints": 0,
        "cost": 0,
        "cost_lines": dict.fromkeys(
            (
                "day",
                "rig_day",
                "crew_shift",
                "crew_standby",
                "relocation",
                "set_up",
                "material",
                "hose",
                "rebound",
            ),
            0,
        ),
        "bound": {"finish": 6.6, "relocations": 0, "cost": 0},
        "gap": {"finish": pytest.approx((7.6 - 6.6) / 7.6), "relocations": 0, "cost": 0},
        "finish_bound": "2026-03-02T06:36:00+00:00",
        "stopped_early": False,
    }


def test_a_plan_of_nothing_has_no_finish(tmp_path):
    write_plan(tmp_path / "plan", SCENE, Plan(), proof(bound={Goal.COST: 0.0}), "0.1.0")
    summary = json.loads((tmp_path / "plan" / "summary.json").read_text(encoding="utf-8"))
    assert summary["finish"] is None
    assert summary["finish_bound"] is None
    assert summary["bound"] == {"cost": 0}


def test_times_carry_the_offset_of_their_season(tmp_path):
    summer = campaign(
        clock=replace(SCENE.clock, time_zone="Australia/Sydney"), crews=SCENE.crews
    )  # summer time ends on 5 April 2026, so March is at +11:00
    write_plan(tmp_path / "plan", summer, Plan(runs=(run(),)), proof(), "0.1.0")
    text = (tmp_path / "plan" / "runs.csv").read_text(encoding="utf-8")
    assert "2026-03-02T06:00:00+11:00" in text
    assert read_plan(tmp_path / "plan", summer)[0].runs == (run(),)


def test_an_earlier_plan_is_replaced_with_its_extra_files_and_nothing_is_left_beside(tmp_path):
    folder = write(tmp_path / "plan", extra={"search.csv": "old\n"})
    assert (folder / "search.csv").read_text(encoding="utf-8") == "old\n"
    write(folder, Plan())
    assert read_plan(folder, SCENE)[0] == Plan()
    assert sorted(path.name for path in folder.iterdir()) == sorted(FIXED)
    assert [path.name for path in tmp_path.iterdir()] == ["plan"]


def test_what_somebody_else_put_into_a_plan_folder_is_kept(tmp_path):
    folder = write(tmp_path / "plan")
    (folder / "notes.txt").write_text("mine", encoding="utf-8")
    (folder / "photos").mkdir()
    (folder / "photos" / "1.txt").write_text("mine too", encoding="utf-8")
    write(folder, Plan())
    assert (folder / "notes.txt").read_text(encoding="utf-8") == "mine"
    assert (folder / "photos" / "1.txt").read_text(encoding="utf-8") == "mine too"


def test_missing_parents_are_made_and_an_empty_folder_is_used(tmp_path):
    assert read_plan(write(tmp_path / "a" / "b"), SCENE)[0] == FULL
    (tmp_path / "empty").mkdir()
    assert read_plan(write(tmp_path / "empty"), SCENE)[0] == FULL


def test_a_link_to_a_plan_folder_stays_a_link(tmp_path):
    write(tmp_path / "real")
    (tmp_path / "link").symlink_to("real", target_is_directory=True)
    write(tmp_path / "link", Plan())
    assert (tmp_path / "link").is_symlink()
    assert read_plan(tmp_path / "real", SCENE)[0] == Plan()


@pytest.mark.parametrize("name", ["campaign.toml", "summary.json"])
def test_a_folder_that_holds_something_else_is_not_written_over(tmp_path, name):
    (tmp_path / "scene").mkdir()
    (tmp_path / "scene" / name).write_text('{"other": 1}', encoding="utf-8")
    assert not is_plan_folder(tmp_path / "scene")
    with pytest.raises(InputRefusedError, match=r"^scene::: holds something other than a plan"):
        write(tmp_path / "scene")
    assert [path.name for path in (tmp_path / "scene").iterdir()] == [name]


def test_a_file_is_not_written_over(tmp_path):
    (tmp_path / "plan").write_text("a file", encoding="utf-8")
    with pytest.raises(InputRefusedError, match="is a file, not a folder"):
        write(tmp_path / "plan")


@pytest.mark.parametrize("name", ["spells.csv", "summary.json", "../out.csv", "a/b.csv", ""])
def test_an_extra_file_needs_a_plain_name_of_its_own(tmp_path, name):
    with pytest.raises(ValueError, match="plain name of its own"):
        write(tmp_path / "plan", extra={name: ""})
    assert list(tmp_path.iterdir()) == []


def test_a_bound_that_is_no_number_is_never_written(tmp_path):
    endless = proof(bound={Goal.COST: float("inf")})
    with pytest.raises(ValueError, match="JSON"):
        write_plan(tmp_path / "plan", SCENE, FULL, endless, "0.1.0")
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_is_not_there_is_named(tmp_path):
    assert lines_of(tmp_path / "nowhere") == [
        "nowhere::: there is no such plan folder; name one that holds spells.csv and summary.json."
    ]


def test_missing_files_and_columns_are_all_named(tmp_path):
    folder = write(tmp_path / "plan")
    (folder / "runs.csv").unlink()
    change(folder / "spells.csv", "volume_m3,hose_m,", "volume,hose,")
    (folder / "unplanned.csv").write_text("", encoding="utf-8")
    lines = lines_of(folder)
    assert [line.split(" ")[0] for line in lines] == [
        "spells.csv:1:volume_m3:",
        "spells.csv:1:hose_m:",
        "runs.csv:::",
        "unplanned.csv:1:zone:",
        "unplanned.csv:1:reason:",
    ]


@pytest.mark.parametrize(
    ("table", "old", "new", "line"),
    [
        ("spells.csv", "1,R1,", "1,R9,", "2:rig: 'R9' is no rig of this scenario"),
        ("spells.csv", ",C1,", ",,", "2:crew: is empty"),
        ("spells.csv", "Z1,1,", "Z1,1.5,", "2:layer: 1.5 is no whole number of at least 1"),
        ("spells.csv", "Z1,1,", "Z1,0,", "2:layer: 0 is no whole number of at least 1"),
        ("spells.csv", "10.25", "far", "2:hose_m: 'far' is no number"),
        ("spells.csv", "10.25", "nan", "2:hose_m: 'nan' is no number"),
        ("spells.csv", "2026-03-02T06:30:00+00:00", "noon", "2:start: 'noon' is no date and time"),
        ("spells.csv", "T06:30:00+00:00", "T06:30:00", "2:start: 2026-03-02T06:30:00 has no UTC"),
        (
            "spells.csv",
            "T06:30:00+",
            "T06:30:20+",
            "2:start: 2026-03-02T06:30:20+00:00 is no whole",
        ),
        ("spells.csv", "T07:36", "T06:30", "2:end: 2026-03-02T06:30:00+00:00 is not after the st"),
        (
            "runs.csv",
            "1,R1,C1,P1,dry,",
            "1,R1,C1,P1,mud,",
            "2:mix: 'mud' is no mix of this scenario",
        ),
        ("runs.csv", "spray", "sing", "2:kind: 'sing' is not known; write spray or panel."),
        ("runs.csv", ",spray,", ",,", "2:kind: is empty; write the kind."),
        ("runs.csv", "floor", "roof", "3:orientation: 'roof' is not known; write overhead or"),
        ("relocations.csv", "C1,P1", "C1,P7", "2:from: 'P7' is no position of this scenario"),
        ("break_outs.csv", "B1", "B2", "2:crew: 'B2' is no crew of this scenario"),
        ("unplanned.csv", "Z2", "Z7", "2:zone: 'Z7' is no zone of this scenario"),
    ],
)
def test_a_bad_cell_is_named_by_file_row_and_column(tmp_path, table, old, new, line):
    folder = write(tmp_path / "plan")
    change(folder / table, old, new)
    (found,) = lines_of(folder)
    assert found.startswith(f"{table}:{line}")


def test_all_bad_cells_are_named_in_one_go(tmp_path):
    folder = write(tmp_path / "plan")
    change(folder / "spells.csv", "1,R1,C1,P1,Z1", "1,R8,C8,P8,Z8")
    change(folder / "break_outs.csv", "2.2", "")
    assert len(lines_of(folder)) == 5


def test_marks_line_ends_blank_rows_and_further_columns_do_not_matter(tmp_path):
    folder = write(tmp_path / "plan")
    path = folder / "break_outs.csv"
    heading, row = path.read_text(encoding="utf-8").splitlines()
    text = f"\ufeff{heading},note\r\n{row},windy\r\n,,,,,\r\n\r\n"
    path.write_bytes(text.encode())
    assert read_plan(folder, SCENE)[0] == FULL


def test_files_that_are_no_text_or_no_table_are_named(tmp_path):
    folder = write(tmp_path / "plan")
    (folder / "runs.csv").write_bytes(b"run\xff")
    (folder / "relocations.csv").write_text('rig,"crew', encoding="utf-8")
    assert [line.split(";")[0] for line in lines_of(folder)] == [
        "runs.csv::: is not UTF-8 text",
        "relocations.csv::: is not a comma-separated table: unexpected end of data.",
    ]


def test_a_summary_that_is_no_json_object_is_named_with_its_line(tmp_path):
    folder = write(tmp_path / "plan")
    (folder / "summary.json").write_text('{\n"campaign": }', encoding="utf-8")
    assert lines_of(folder) == [
        "summary.json:2:: is not JSON: Expecting value in column 13 of this line."
    ]
    (folder / "summary.json").write_text("[]", encoding="utf-8")
    assert lines_of(folder) == [
        "summary.json::: holds no JSON object; write the summary as {...}."
    ]
