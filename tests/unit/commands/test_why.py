"""``ebbwork why`` from end to end, on a plan written by hand."""

from __future__ import annotations

import csv
import io
from typing import Any

import pytest

from planner.commands.main import main
from planner.model.identifiers import CrewId, MixId, PositionId, RigId, ZoneId
from planner.plan.plan import Plan, Proof, Run, Spell, Status, Unplanned
from planner.plan.store import write_plan
from planner.workflow.loading import load_scenario


@pytest.fixture
def run(capsys):
    def call(*words):
        code = main([str(word) for word in words])
        out, err = capsys.readouterr()
        return code, list(csv.reader(io.StringIO(out))), err

    return call


@pytest.fixture
def plan(out_of_reach, tmp_path):
    """Run 1 on Monday from 07:00 with Near; run 2 on Tuesday from 09:00 with Next; Far left out.

    1.1 m³ at 3 x 0.8 x 0.65 m³/h are sprayed in some 43 min; the crew works from 07:00.
    """
    campaign = load_scenario(out_of_reach).campaign
    made: dict[str, Any] = {
        "rig": RigId("R1"),
        "crew": CrewId("Ash"),
        "position": PositionId("Yard"),
    }
    rows = []
    for name, zone, begin in (("1", "Near", 420), ("2", "Next", 1440 + 540)):
        spell = Spell(
            run=name,
            zone=ZoneId(zone),
            layer=1,
            start_min=begin + 10,
            end_min=begin + 60,
            volume_m3=1.1,
            hose_m=12.0,
            hose_laid_m=12.0,
            **made,
        )
        last = begin + 60
        rows.append(
            (Run(run=name, mix=MixId("dry"), start_min=begin, end_min=last, **made), spell)
        )
    left = Unplanned(zone=ZoneId("Far"), reason="No position reaches it.")
    folder = tmp_path / "plan"
    proof = Proof(
        status=Status.FEASIBLE, planned_m3_bound=2.2, bound={}, seed=1, workers=1, seconds=1.0
    )
    whole = Plan(
        runs=tuple(one for one, _ in rows), spells=tuple(two for _, two in rows), unplanned=(left,)
    )
    write_plan(folder, campaign, whole, proof, "0")
    return folder


def test_a_zone_tells_what_set_its_spells(run, out_of_reach, plan):
    code, rows, err = run("why", out_of_reach, plan, "--zone", "Near")
    assert (code, err) == (0, "")
    assert rows[0] == ["about", "answer"]
    assert rows[1][1].endswith("it cannot start a minute earlier:")
    assert rows[2][1].startswith("Crew's shift: shift day of crew Ash begins at Mon 2 Mar 07:00")


def test_a_run_tells_how_much_earlier_its_spell_could_be(run, out_of_reach, plan):
    code, rows, _ = run("why", out_of_reach, plan, "--run", "2")
    assert code == 0
    assert "it could start up to 120 min earlier, at Tue 3 Mar 07:10" in rows[1][1]


def test_a_zone_that_is_left_out_tells_why(run, out_of_reach, plan):
    code, rows, _ = run("why", out_of_reach, plan, "--zone", "Far")
    assert code == 0
    told = [row[1] for row in rows[1:]]
    assert told[0] == "No position reaches it."
    assert any(text.startswith("Out of reach: R1 at Yard: ") for text in told)


def test_the_gaps_of_a_rig_add_up(run, out_of_reach, plan):
    code, rows, _ = run("why", out_of_reach, plan, "--gap", "R1")
    assert code == 0
    assert rows[0] == ["rig", "start", "end", "minutes", "cause", "what"]
    # 00:00 to 07:00 on Monday, and 08:00 on Monday to 09:00 on Tuesday
    assert sum(int(row[3]) for row in rows[1:]) == 420 + 25 * 60
    assert rows[1][4] == "crew's shift"


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--zone", "Naer"), "There is no zone 'Naer'"),
        (("--run", "9"), "There is no run '9' in this plan"),
        (("--gap", "R2"), "There is no rig 'R2'"),
    ],
)
def test_what_is_not_there_is_told_in_one_line(run, out_of_reach, plan, words, told):
    code, rows, err = run("why", out_of_reach, plan, *words)
    assert (code, rows) == (2, [])
    assert told in err
    assert len(err.splitlines()) == 1


def test_one_question_is_needed_and_no_more(run, out_of_reach, plan):
    assert run("why", out_of_reach, plan)[0] == 2
    assert run("why", out_of_reach, plan, "--zone", "Near", "--run", "1")[0] == 2


def test_a_folder_that_is_no_plan_is_told(run, out_of_reach, tmp_path):
    (tmp_path / "other").mkdir()
    code, rows, err = run("why", out_of_reach, tmp_path / "other", "--zone", "Near")
    assert (code, rows) == (2, [])
    assert "Traceback" not in err
