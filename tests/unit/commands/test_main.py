"""Commands from end to end, in this process: what they print, where, and their exit codes."""

import csv
import io
import json
import sys
from pathlib import Path

import pytest

from planner.commands.main import main
from planner.workflow.demos import demos

HEADINGS = {
    "windows": ["zone", "start", "end", "minutes"],
    "reach": [
        *("position", "zone", "rig", "mix"),
        *("hose_m", "hose_laid_m", "rise_m", "rate_m3_h"),
    ],
    "check": ["rule", "table", "row", "amount", "message"],
}


def _rows(text: str) -> list[list[str]]:
    return list(csv.reader(io.StringIO(text)))


def _plan(scenario: Path, *more: str) -> int:
    return main(["plan", str(scenario), "--seconds", "10", *more])


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]):
    """Run a command; give its exit code, standard output and standard error."""

    def call(*words: str | Path) -> tuple[int, str, str]:
        code = main([str(word) for word in words])
        out, err = capsys.readouterr()
        return code, out, err

    return call


def test_without_a_command_help_is_shown(run) -> None:
    code, out, _ = run()
    assert code == 0
    assert "plan" in out
    assert "exit codes" in out


@pytest.mark.parametrize("words", [["--help"], ["plan", "--help"], ["--version"]])
def test_help_and_version_are_no_failure(run, words: list[str]) -> None:
    code, out, err = run(*words)
    assert (code, err) == (0, "")
    assert out


def test_an_unknown_command_is_refused_with_the_nearest(run) -> None:
    code, out, err = run("windws", "x")
    assert (code, out) == (2, "")
    assert 'did you mean "windows"?' in err


@pytest.mark.solver
def test_a_plan_of_all_zones_is_written_and_summed_up(run, scenario: Path) -> None:
    code, out, err = run("plan", scenario, "--seconds", "10")
    assert (code, out) == (0, "")
    assert "2 of 2 zones planned, 2.20 m³." in err
    assert "Mon 02 Mar 2026" in err
    assert str(scenario / "plan") in err
    assert "A plan is a proposal" in err
    figures = json.loads((scenario / "plan" / "summary.json").read_text())
    assert (figures["planned_m3"], figures["seed"]) == (2.2, 1)
    assert set(figures["bound"]) == {"finish", "relocations"}


@pytest.mark.solver
def test_zones_that_are_left_out_are_named_with_their_reason(run, out_of_reach: Path) -> None:
    code, _, err = run("plan", out_of_reach, "--seconds", "10")
    assert code == 1
    assert "2 of 3 zones planned" in err
    assert "Not planned:\n  Far: " in err


@pytest.mark.solver
def test_goals_of_the_command_line_stand_in_for_those_of_the_scenario(run, scenario: Path) -> None:
    code, _, _ = run("plan", scenario, "--seconds", "4", "--goal", "cost,finish")
    figures = json.loads((scenario / "plan" / "summary.json").read_text())
    assert code == 0
    assert list(figures["bound"]) == ["cost", "finish"]
    code, out, _ = run("check", scenario, scenario / "plan")
    assert (code, _rows(out)) == (0, [HEADINGS["check"]])


@pytest.mark.solver
def test_the_same_command_gives_the_same_tables(scenario: Path, tmp_path: Path) -> None:
    first, second = tmp_path / "first", tmp_path / "second"
    assert _plan(scenario, "--out", str(first)) == _plan(scenario, "--out", str(second)) == 0
    for name in ("spells.csv", "runs.csv", "relocations.csv", "unplanned.csv"):
        assert (first / name).read_text() == (second / name).read_text()


@pytest.mark.solver
def test_checking_a_broken_plan_lists_each_broken_rule_and_exits_1(run, scenario: Path) -> None:
    assert _plan(scenario) == 0
    spells = scenario / "plan" / "spells.csv"
    spells.write_text(spells.read_text().replace("1.1,", "1.0,"))
    code, out, err = run("check", scenario, scenario / "plan")
    heading, *rows = _rows(out)
    assert code == 1
    assert heading == HEADINGS["check"]
    assert ["8", "spells.csv"] in [row[:2] for row in rows]
    assert "broken rule" in err


@pytest.mark.solver
def test_a_plan_of_another_state_of_the_scenario_is_told_apart(run, scenario: Path) -> None:
    assert _plan(scenario) == 0
    positions = scenario / "positions.csv"
    positions.write_text(positions.read_text() + "Gate,5,0,0\n")
    code, _, err = run("check", scenario, scenario / "plan")
    assert code in {0, 1}
    assert "another state of this scenario" in err


def test_checking_a_scenario_alone_says_what_it_holds(run, scenario: Path) -> None:
    code, out, err = run("check", scenario)
    assert (code, out) == (0, "")
    assert "Two patches: 2 zones, 1 rig, 1 position, 7 days." in err


@pytest.mark.parametrize("command", ["plan", "check", "windows", "reach"])
def test_bad_input_is_told_in_one_go_a_line_for_each_problem(
    run, scenario: Path, command: str
) -> None:
    zones = scenario / "zones.csv"
    zones.write_text(zones.read_text().replace("20,50,vertical", "20,-50,upright"))
    code, out, err = run(command, scenario)
    assert (code, out) == (2, "")
    for place in ("2:depth_mm", "2:orientation", "3:depth_mm", "3:orientation"):
        assert [line for line in err.splitlines() if line.startswith(f"zones.csv:{place}: ")]


@pytest.mark.parametrize("command", ["plan", "check", "windows", "reach"])
def test_a_scenario_that_is_not_there_is_refused_in_one_line(
    run, tmp_path: Path, command: str
) -> None:
    code, out, err = run(command, tmp_path / "nowhere")
    assert (code, out) == (2, "")
    assert len(err.splitlines()) == 1
    assert "nowhere" in err


def test_windows_are_listed_for_all_zones_or_for_one(run, scenario: Path) -> None:
    code, out, _ = run("windows", scenario)
    week = ["2026-03-02T00:00:00+00:00", "2026-03-09T00:00:00+00:00", str(7 * 24 * 60)]
    assert code == 0
    assert _rows(out) == [HEADINGS["windows"], ["Near", *week], ["Next", *week]]
    code, out, _ = run("windows", scenario, "--zone", "Next")
    assert _rows(out) == [HEADINGS["windows"], ["Next", *week]]


def test_an_unknown_zone_is_refused_with_the_nearest(run, scenario: Path) -> None:
    code, out, err = run("windows", scenario, "--zone", "Naer")
    assert (code, out) == (2, "")
    assert err == "There is no zone 'Naer' in Two patches; did you mean \"Near\"?\n"


def test_reach_lists_what_goes_together_and_leaves_out_what_does_not(
    run, out_of_reach: Path
) -> None:
    code, out, _ = run("reach", out_of_reach)
    heading, *rows = _rows(out)
    assert code == 0
    assert heading == HEADINGS["reach"]
    # grid: |dx| x 1.15, level
    assert [row[:7] for row in rows] == [
        ["Yard", "Near", "R1", "dry", "11.5", "11.5", "0"],
        ["Yard", "Next", "R1", "dry", "13.8", "13.8", "0"],
    ]


def test_time_that_reading_alone_uses_up_gives_no_plan(run, scenario: Path) -> None:
    code, out, err = run("plan", scenario, "--seconds", "0.01")
    assert (code, out) == (3, "")
    assert "give --seconds more" in err
    assert not (scenario / "plan").exists()


def test_a_search_without_a_plan_in_time_exits_3(
    run, scenario: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from planner.optimise.engine import NoPlanInTimeError

    def too_slow(*_args, **_settings):
        raise NoPlanInTimeError

    monkeypatch.setattr("planner.workflow.planning.optimise", too_slow)
    code, _, err = run("plan", scenario)
    assert code == 3
    assert "No plan was found before 60 seconds were up" in err
    assert not (scenario / "plan").exists()


@pytest.mark.solver
def test_a_plan_that_breaks_a_rule_is_kept_apart_and_called_a_fault(
    run, scenario: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from dataclasses import replace

    from planner.optimise.engine import optimise

    def careless(campaign, **settings):
        plan, proof = optimise(campaign, **settings)
        return replace(plan, spells=plan.spells[:-1]), proof

    monkeypatch.setattr("planner.workflow.planning.optimise", careless)
    code, out, err = run("plan", scenario, "--seconds", "10")
    assert (code, out) == (70, "")
    assert "fault of the planner" in err
    assert "unplanned.csv:::" in err
    assert not (scenario / "plan").exists()
    assert (scenario / "plan.faulty" / "spells.csv").exists()


def test_a_folder_with_other_things_stays_as_it_is(run, scenario: Path, tmp_path: Path) -> None:
    diary = tmp_path / "diary"
    diary.mkdir()
    (diary / "monday.txt").write_text("rain")
    code, _, err = run("plan", scenario, "--out", diary)
    assert code == 2
    assert len(err.splitlines()) == 1
    assert [file.name for file in diary.iterdir()] == ["monday.txt"]


def test_a_folder_that_is_no_plan_cannot_be_checked(run, scenario: Path, tmp_path: Path) -> None:
    code, out, err = run("check", scenario, tmp_path / "none")
    assert (code, out) == (2, "")
    assert "no such plan folder" in err


@pytest.mark.solver
def test_the_demo_is_copied_planned_and_followed_by_what_to_do_next(
    run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(sys, "argv", ["ebbwork"])
    code, out, err = run("demo", "silo", "--seconds", "5")
    assert (code, out) == (0, "")
    assert "ebbwork check demo-silo-rings demo-silo-rings/plan" in err
    assert (tmp_path / "demo-silo-rings" / "plan" / "summary.json").exists()
    code, _, err = run("check", "demo-silo-rings", "demo-silo-rings/plan")
    assert code == 0


def test_an_unknown_demo_is_refused_with_the_names_of_all(run) -> None:
    code, out, err = run("demo", "sillo")
    assert (code, out) == (2, "")
    assert all(name in err for name in demos())


@pytest.mark.solver
def test_time_for_the_start_and_the_end_is_kept_back_from_the_search(
    scenario: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked = []

    def watched(campaign, *, settings, listener):
        from planner.optimise.engine import optimise

        asked.append(settings.seconds)
        return optimise(campaign, settings=settings, listener=listener)

    monkeypatch.setattr("planner.workflow.planning.optimise", watched)
    assert _plan(scenario) == 0
    assert 0 < asked[0] < 10 - 0.4 - 1.0  # the start, and the end
