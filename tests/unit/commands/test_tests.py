"""``ebbwork tests`` from end to end."""

import csv
import io
from datetime import date

import pytest
from icalendar import Calendar

from planner.commands.main import main

PRE = "PRE/Ash/dry/vertical"


@pytest.fixture
def run(capsys):
    def call(*words):
        code = main([str(word) for word in words])
        out, err = capsys.readouterr()
        return code, out, err

    return call


def rows(text):
    return list(csv.DictReader(io.StringIO(text)))


@pytest.fixture
def planned(run, scenario):
    """The scenario with a plan in its own folder."""
    code, _, _ = run("plan", scenario, "--seconds", "20", "--effort", "0.1", "--workers", "1")
    assert code == 0
    return scenario


def results(scenario, *lines):
    text = "\n".join(["test,date,values,met,note", *lines, ""])
    (scenario / "results.csv").write_text(text, encoding="utf-8")


def test_without_a_plan_it_lists_the_panels_before_the_work(run, scenario):
    code, out, err = run("tests", scenario)
    assert code == 0
    assert [row["test"] for row in rows(out)] == [PRE]
    assert "Without a plan" in err
    assert "engineer" in err


def test_the_plan_in_its_own_place_is_taken(run, planned):
    code, out, _ = run("tests", planned)
    assert code == 0
    kinds = [row["kind"] for row in rows(out)]
    assert kinds == ["pre-construction panel", "production panel", "bond"]
    assert [row["due"] for row in rows(out)][1] == "2026-03-30"
    assert run("tests", planned, planned / "plan")[1] == out


def test_results_get_a_verdict_with_its_numbers_and_do_not_make_another_scenario(run, planned):
    toml = planned / "campaign.toml"
    toml.write_text(toml.read_text() + "[quality]\nstrength_mpa = 40\n", encoding="utf-8")
    results(planned, "PROD/dry/Ash/2026-03-02/1,2026-03-30,30;36;38,,")
    code, out, err = run("tests", planned)
    assert code == 0
    (row,) = [row for row in rows(out) if row["verdict"] != "open"]
    assert row["verdict"] == "rule met"
    assert "mean 34.7 MPa = 0.867 f'c >= 0.85 f'c: meets the rule" in row["says"]
    assert "least single 30.0 MPa = 0.750 f'c >= 0.75 f'c" in row["says"]
    assert "another state" in err  # the key is new since the plan was made, the results are not
    assert run("check", planned, planned / "plan")[0] == 1


def test_results_alone_leave_a_plan_as_good_as_it_was(run, planned):
    results(planned, "PROD/dry/Ash/2026-03-02/1,2026-03-30,30;36;38,,")
    code, _, err = run("check", planned, planned / "plan")
    assert code == 0, err


def test_stops_are_counted_and_listed(run, planned):
    toml = planned / "campaign.toml"
    more = '[quality]\nstrength_mpa = 40\nhold = ["panels"]\n'
    toml.write_text(toml.read_text() + more, encoding="utf-8")
    code, out, err = run("tests", planned)
    assert code == 0
    assert {row["test"]: row["waiting"] for row in rows(out)}[PRE] == "2"
    assert "2 spells lie before a stop of the contract is met (quality.hold); --stops lists" in err
    code, out, _ = run("tests", planned, "--stops")
    assert [row["zone"] for row in rows(out)] == ["Near", "Next"]
    assert {row["why"] for row in rows(out)} == {f"no result of {PRE} is entered"}


def test_planning_tells_of_spells_before_a_stop(run, scenario):
    toml = scenario / "campaign.toml"
    more = '[quality]\nhold = ["inspection"]\n'
    toml.write_text(toml.read_text() + more, encoding="utf-8")
    words = ("--seconds", "20", "--effort", "0.1", "--workers", "1")
    code, _, err = run("plan", scenario, *words)
    assert code == 0
    assert "2 spells lie before a stop of the contract is met" in err


@pytest.mark.parametrize("how", [[], ["--table"]])
def test_why_tells_formula_inputs_and_source(run, planned, how):
    code, out, _ = run("tests", planned, "--why", "PROD/dry/Ash/2026-03-02/1", *how)
    assert code == 0
    assert "operators x max(days worked" in out
    assert "ACI 506.2" in out


def test_why_of_an_unknown_test_names_the_nearest(run, planned):
    code, out, err = run("tests", planned, "--why", "PRE/Ash/dry/vertica")
    assert (code, out) == (2, "")
    assert f'did you mean "{PRE}"' in err


def test_a_chain_has_the_times_of_the_plan(run, planned):
    code, out, err = run("tests", planned, "--chain", "Near")
    assert code == 0
    found = rows(out)
    assert [row["what"] for row in found if row["what"] in {"spray", "cure"}] == ["spray", "cure"]
    assert next(row["start"] for row in found if row["what"] == "spray").startswith("2026-03-02T")
    assert "structure's engineer" in err


def test_steps_of_a_chain_can_be_asked_why(run, planned):
    code, out, _ = run("tests", planned, "--chain", "Near", "--why", "1")
    assert code == 0
    assert "from memory" in out
    code, out, err = run("tests", planned, "--chain", "Near", "--why", "99")
    assert (code, out) == (2, "")
    assert "the steps are 1 to" in err


def test_a_zone_that_is_not_there_is_refused(run, scenario):
    code, out, err = run("tests", scenario, "--chain", "Naer")
    assert (code, out) == (2, "")
    assert "did you mean" in err


def test_crews_are_listed_with_their_cards(run, scenario):
    (scenario / "cards.csv").write_text(
        "crew,person,process,orientation,from,to\nAsh,N1,dry,vertical,,2026-03-04\n",
        encoding="utf-8",
    )
    code, out, _ = run("tests", scenario, "--crews")
    assert code == 0
    (row,) = rows(out)
    assert (row["cards"], row["valid"]) == ("N1 to 2026-03-04", "2026-03-02 to 2026-03-04")
    assert run("tests", scenario, "--crews", "--why", "Ash")[0] == 2


def test_a_table_for_reading_leaves_out_what_is_empty(run, planned):
    code, out, _ = run("tests", planned, "--table")
    assert code == 0
    heading = out.splitlines()[0].split()
    assert heading[:3] == ["test", "zone", "made"]
    assert "waiting" not in heading
    assert "," not in out.splitlines()[2]


def test_days_of_tests_go_into_a_calendar_file(run, planned, tmp_path):
    results(planned, "BOND/dry/vertical/1,2026-03-30,1.2;1.4;1.6,,")
    target = tmp_path / "days.ics"
    code, _, err = run("tests", planned, "--ics", target)
    assert code == 0
    assert f"Written to {target}" in err
    calendar = Calendar.from_ical(target.read_bytes())
    events = calendar.walk("VEVENT")
    found = [(str(one["summary"]), one.decoded("dtstart")) for one in events]
    # the panel is sprayed on Monday, tested 28 days later; bond has its result already
    assert found == [
        ("Spray test panels: 1", date(2026, 3, 2)),
        ("Test results due: 1", date(2026, 3, 30)),
    ]
    assert "PROD/dry/Ash/2026-03-02/1" in str(events[0]["description"])


def test_bad_results_are_told_in_one_line_each(run, scenario):
    results(scenario, "PRE/Ash/dry/vertical,2026-13-01,30,,", "PRE/Ash/dry/vertical,,,,")
    code, out, err = run("tests", scenario)
    assert (code, out) == (2, "")
    lines = [line for line in err.splitlines() if line.startswith("results.csv:")]
    assert [line.split(":")[1:3] for line in lines] == [
        ["2", "date"],
        ["3", "date"],
        ["3", "values"],
    ]
