"""``ebbwork replan`` from end to end: two zones of one day, and a Monday that is lost."""

import csv
import json

import pytest

from planner.commands.main import main


@pytest.fixture
def planned(scenario):
    """The scenario with a plan: both zones on Monday 2 March from 07:00."""
    assert main(["plan", str(scenario), "--effort", "0.1"]) == 0
    return scenario


def replan(scenario, capsys, *words):
    capsys.readouterr()
    plan = scenario / "plan"
    out = scenario / "next"
    code = main(["replan", str(scenario), str(plan), "--out", str(out), "--effort", "0.1", *words])
    return code, out, capsys.readouterr().err


def test_where_nothing_has_changed_no_row_differs(planned, capsys):
    code, out, told = replan(planned, capsys)
    assert code == 0
    for name in ("spells.csv", "runs.csv", "relocations.csv"):
        assert (out / name).read_text() == (planned / "plan" / name).read_text()
    assert "Changes: 0 (0 spells moved, 0 relocations added); at least 0" in told
    assert "all issued spells stay" in told
    assert (out / "changes.csv").read_text().splitlines() == [
        "zone,layer,issued,before,rig_before,after,rig_after,why"
    ]


def test_a_lost_monday_moves_both_spells_and_says_why(planned, capsys):
    (planned / "closures.csv").write_text(
        "scope,id,from,to,why\ncrew,Ash,2026-03-02,2026-03-02,storm\n", encoding="utf-8"
    )
    code, out, told = replan(planned, capsys)
    assert code == 0
    figures = json.loads((out / "replan.json").read_text())
    assert (figures["changes"], figures["changes_bound"], figures["changes_gap"]) == (2, 2, 0)
    with (out / "changes.csv").open(encoding="utf-8") as table:
        rows = list(csv.DictReader(table))
    assert {row["zone"] for row in rows} == {"Near", "Next"}
    assert all(row["before"].startswith("2026-03-02") for row in rows)
    assert all(row["after"].startswith("2026-03-03") for row in rows)
    assert "Crew Ash is not on shift then, or away (rules 4 and 5)." in told
    assert main(["check", str(planned), str(out)]) == 0


def test_from_a_later_now_what_was_not_done_is_planned_again(planned, capsys):
    code, out, told = replan(planned, capsys, "--now", "2026-03-04T00:00")
    assert code == 0
    assert "From 2026-03-04 00:00" in told
    with (out / "spells.csv").open(encoding="utf-8") as table:
        assert {row["start"][:10] for row in csv.DictReader(table)} == {"2026-03-04"}


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--now", "2026-03-09T00:00"), "after the campaign's last day"),
        (("--now", "2026-03-01T00:00"), "before 2026-03-02"),
        (("--now", "soon"), "is no date-time"),
        (("--now", "2026-03-04"), "is no date-time"),
        (("--keep-days", "-1"), "is no number of days"),
        (("--may-change", "1.5"), "is no number of changes"),
    ],
)
def test_what_cannot_be_is_refused_in_one_line(planned, capsys, words, told):
    code, out, said = replan(planned, capsys, *words)
    assert code == 2
    assert told in said
    assert len(said.strip().splitlines()) == 1
    assert not out.exists()


def test_an_old_plan_that_is_not_there_is_refused(scenario, capsys):
    code, _, said = replan(scenario, capsys)
    assert code == 2
    assert "Traceback" not in said
