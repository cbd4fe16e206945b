"""``progress``, ``history``, ``lookahead`` and ``sheets`` from end to end."""

import csv
import io
from datetime import datetime

import openpyxl
import pytest

from planner.commands.main import main
from planner.scenario.reader import read_scenario
from planner.site.place import site_folder


@pytest.fixture
def run(capsys):
    def call(*words):
        code = main([str(word) for word in words])
        out, err = capsys.readouterr()
        return code, list(csv.reader(io.StringIO(out))), err

    return call


@pytest.fixture
def plan(run, scenario):
    folder = scenario / "plan"
    code, _, err = run("plan", scenario, "--seconds", "20", "--effort", "1")
    assert code == 0, err
    return folder


RECORD = (
    "--zone", "Near", "--layer", "1", "--placed-m3", "0.6", "--rig", "R1", "--crew", "Ash",
    "--position", "Yard", "--start", "2026-03-02T08:00", "--stop", "2026-03-02T08:40",
)  # fmt: skip


def add(run, scenario, *words):
    return run("progress", scenario, "add", *RECORD, *words, "--by", "Ann")


def test_a_record_is_written_corrected_exported_and_read_by_the_next_plan(run, scenario):
    assert add(run, scenario)[0] == 0
    code, _, err = add(run, scenario, "--left-m3", "0.1", "--corrects", "1")
    assert (code, "Entry 2 is written" in err) == (0, True)
    _, (head, row), _ = run("progress", scenario, "list")
    shown = dict(zip(head, row, strict=True))
    assert (shown["number"], shown["corrects"], shown["left_m3"]) == ("2", "1", "0.1")
    _, everything, _ = run("progress", scenario, "list", "--all")
    assert [line[4] for line in everything[1:]] == ["no", "yes"]
    code, _, err = run("progress", scenario, "export")
    assert (code, "progress.csv holds 1 row from the journal" in err) == (0, True)
    campaign, _ = read_scenario(scenario)
    (done,) = campaign.done
    assert (done.done_m3, done.left_m3, done.at_min) == (0.6, 0.1, 520)
    assert run("plan", scenario, "--seconds", "20", "--effort", "1")[0] == 0


def test_what_is_wrong_with_a_record_is_told_and_nothing_is_written(run, scenario):
    code, rows, err = add(run, scenario, "--zone", "Nar", "--layer", "9")
    assert (code, rows) == (2, [])
    assert err.startswith('record::zone: there is no zone "Nar"')
    assert not site_folder(scenario).exists()


def test_an_entry_is_taken_back_but_stays(run, scenario):
    add(run, scenario)
    code, _, err = run("progress", scenario, "withdraw", "1", "--why", "other zone", "--by", "Bo")
    assert (code, "takes entry 1 back" in err) == (0, True)
    assert len(run("progress", scenario, "list")[1]) == 1
    assert len(run("progress", scenario, "list", "--all")[1]) == 3


def test_a_spreadsheet_taken_in_twice_counts_once(run, scenario, tmp_path):
    path = tmp_path / "week.csv"
    path.write_text(
        "zone,layer,placed_m3,stop\nNear,1,0.3,2026-03-02T09:00\nNext,1,0.2,2026-03-02T10:00\n",
        encoding="utf-8",
    )
    first = run("progress", scenario, "import", path, "--by", "Ann")
    second = run("progress", scenario, "import", path, "--by", "Ann")
    assert "2 new records" in first[2]
    assert "0 new records" in second[2]
    assert len(run("progress", scenario, "list")[1]) == 3


def test_a_template_is_filled_in_and_taken_in(run, scenario, plan, tmp_path):
    path = tmp_path / "monday.xlsx"
    code, _, err = run("progress", scenario, "template", path, plan, "--to", "2026-03-02")
    assert code == 0, err
    book = openpyxl.load_workbook(path)
    sheet = book["Records"]
    heads = [cell.value for cell in sheet[1]]
    assert sheet.cell(2, heads.index("zone") + 1).value in {"Near", "Next"}
    assert "Next" in [cell.value for cell in book["Lists"]["A"]]
    for row in (2, 3):
        sheet.cell(row, heads.index("placed_m3") + 1).value = 1.1
        sheet.cell(row, heads.index("stop") + 1).value = datetime(2026, 3, 2, 9 + row)  # noqa: DTZ001
    book.save(path)
    assert "2 new records" in run("progress", scenario, "import", path, "--by", "Ann")[2]
    assert run("progress", scenario, "template", path)[0] == 2  # never over a filled one


def test_a_template_left_blank_says_what_each_row_lacks(run, scenario, plan, tmp_path):
    path = tmp_path / "monday.xlsx"
    run("progress", scenario, "template", path, plan)
    code, _, err = run("progress", scenario, "import", path, "--by", "Ann")
    assert code == 2
    assert err.startswith("monday.xlsx:2:placed_m3: the record tells nothing")


def test_rows_written_by_hand_are_not_lost_by_an_export(run, scenario):
    (scenario / "progress.csv").write_text(
        "zone,layer,done_m3,at\nNext,1,0.2,2026-03-02T07:30\n", encoding="utf-8"
    )
    add(run, scenario)
    code, _, err = run("progress", scenario, "export")
    assert code == 2
    assert err.startswith("progress.csv::: 1 row comes from no entry of the journal")
    assert run("progress", scenario, "import", scenario / "progress.csv", "--by", "Ann")[0] == 0
    assert run("progress", scenario, "export")[0] == 0
    assert len(read_scenario(scenario)[0].done) == 2


def test_a_find_goes_into_the_zones_beside_the_survey(run, scenario):
    code, _, err = run(
        "progress", scenario, "add", "--zone", "Next", "--found-depth-mm", "70",
        "--stop", "2026-03-02T09:00", "--by", "Ann",
    )  # fmt: skip
    assert code == 0, err
    assert "zones.csv holds what break-out found" in run("progress", scenario, "export")[2]
    zone = read_scenario(scenario)[0].zones[1]
    assert (zone.depth_mm, zone.volume_m3) == (70.0, 1.4)
    assert zone.surveyed_m3 == pytest.approx(1.1)


def test_a_note_like_a_formula_is_refused_and_a_name_like_one_is_shown_as_text(run, scenario):
    assert add(run, scenario, "--note", "=1+1")[0] == 2
    run("progress", scenario, "add", *RECORD, "--by", "=cmd")
    _, (head, row), _ = run("progress", scenario, "list")
    assert row[head.index("by")] == "'=cmd"


def test_the_estimate_tells_factors_and_the_finish(run, scenario, plan):
    add(run, scenario)
    code, rows, err = run("progress", scenario, "estimate", plan)
    assert code == 0
    figures = {row[0]: row for row in rows[1:]}
    assert figures["placing rate against the plan"][1] == "1"
    assert figures["finish"][2].startswith("2026-03-0")
    assert "Placing:" in err
    assert "A plan is a proposal" in err


def test_exporting_nothing_is_refused(run, scenario):
    assert run("progress", scenario, "export")[0] == 2


def test_plans_are_issued_listed_and_compared_in_words(run, scenario, plan):
    code, _, err = run("history", scenario, "issue", plan, "--by", "Ann", "--note", "first")
    assert (code, "Kept as issue 1" in err) == (0, True)
    assert "is issue 1 already" in run("history", scenario, "issue", plan, "--by", "Ann")[2]
    add(run, scenario)
    run("progress", scenario, "export")
    run("plan", scenario, "--seconds", "20", "--effort", "1")
    assert run("history", scenario, "issue", plan, "--by", "Bo")[0] == 0
    _, rows, _ = run("history", scenario, "list")
    assert [(row[0], row[2], row[3]) for row in rows[1:]] == [
        ("1", "Ann", "first"),
        ("2", "Bo", ""),
    ]
    code, words, _ = run("history", scenario, "diff", "1", "2")
    assert code == 0
    assert any(row[0].startswith("Zone Near: ") for row in words[1:])
    _, told, _ = run("history", scenario, "forecast")
    assert told[0] == [
        "number", "issued_at", "plan_finish", "forecast", "forecast_low", "forecast_high",
    ]  # fmt: skip
    assert all(row[3] for row in told[1:])
    code, _, err = run("history", scenario, "diff", "1", "9")
    assert (code, err) == (2, "issued::: there is no issue 9; there are 1 to 2\n")


def test_a_plan_that_breaks_rules_is_neither_issued_nor_printed(run, scenario, plan, tmp_path):
    spells = (plan / "spells.csv").read_text(encoding="utf-8").splitlines()
    (plan / "spells.csv").write_text("\n".join(spells[:-1]) + "\n", encoding="utf-8")
    assert run("history", scenario, "issue", plan, "--by", "Ann")[0] == 1
    assert run("sheets", scenario, plan, "--out", tmp_path / "out")[0] == 1
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    ("words", "head"),
    [((), "day"), (("--ready",), "item"), (("--months",), "month")],
)
def test_the_weeks_ahead_are_three_lists(run, scenario, plan, words, head):
    code, rows, err = run("lookahead", scenario, plan, "--weeks", "1", *words)
    assert code == 0
    assert rows[0][0] == head
    assert "2026-03-02 to 2026-03-08" in err
    assert "To be ready: " in err


def test_a_tick_shows_in_the_list_of_what_is_ready(run, scenario, plan):
    run("progress", scenario, "add", "--item", "position Yard", "--by", "Ann")
    _, rows, _ = run("lookahead", scenario, plan, "--ready")
    (row,) = [row for row in rows if row[0] == "position Yard"]
    assert row[2] == "ready"
    assert "confirmed by Ann (entry 1)" in row[3]


def test_sheets_are_written_for_a_crew_and_days(run, scenario, plan, tmp_path):
    out = tmp_path / "paper"
    code, rows, err = run(
        "sheets", scenario, plan, "--out", out, "--crew", "Ash", "--to", "2026-03-02",
        "--ics", "--xlsx", "--report",
    )  # fmt: skip
    assert code == 0, err
    names = [row[0] for row in rows[1:]]
    assert names == [
        "shift-2026-03-02-Ash-day.pdf",
        "cautions-Ash.pdf",
        "week-2026-03-02.pdf",
        "crew-Ash.ics",
        "plan.xlsx",
        "report.pdf",
    ]
    assert sorted(path.name for path in out.iterdir()) == sorted(names)
    assert "not issued" in err


def test_sheets_of_nobody_or_no_day_are_refused(run, scenario, plan, tmp_path):
    out = tmp_path / "paper"
    code, _, err = run("sheets", scenario, plan, "--out", out, "--crew", "Ish")
    assert (code, 'did you mean "Ash"?' in err) == (2, True)
    code, _, err = run("sheets", scenario, plan, "--out", out, "--from", "2026-03-07")
    assert (code, "No shift of the plan lies in these days" in err) == (2, True)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("lookahead", "PLAN", "--weeks", "0"), "no number of weeks"),
        (("lookahead", "PLAN", "--from", "1 March"), "write it as YYYY-MM-DD"),
        (("progress", "jump"), "invalid choice"),
        (("history",), "required"),
    ],
)
def test_arguments_that_do_not_fit_are_refused_in_one_line(run, scenario, words, said):
    name, *rest = words
    code, _, err = run(name, scenario, *rest)
    assert code == 2
    assert said in err
    assert err.count("\n") == 1
