"""``ebbwork estimate`` on a small scenario with its plan."""

import csv
import io
from io import BytesIO

import openpyxl
import pytest

from planner.commands.main import main


@pytest.fixture
def plan(scenario, capsys):
    folder = scenario.parent / "plan"
    assert main(["plan", str(scenario), "--out", str(folder), "--effort", "0.05"]) == 0
    capsys.readouterr()
    return folder


def rows(text):
    return list(csv.DictReader(io.StringIO(text)))


def test_the_bill_goes_to_standard_output_and_adds_up(scenario, plan, capsys):
    (scenario / "prices.toml").write_text("[mobilise]\nsite = 500\n", encoding="utf-8")
    assert main(["estimate", str(scenario), str(plan)]) == 0
    said = capsys.readouterr()
    found = rows(said.out)
    assert [row["line"] for row in found] == [
        "Fixed",
        "Mobilise the site",
        "Per site day",
        "Site days",
        "Total",
    ]
    # One day at 100 and 500 once.
    assert [float(row["amount"]) for row in found] == [500, 500, 100, 100, 600]
    assert found[1]["rate_from"] == "prices.toml: mobilise.site"
    assert "Total 600, 273 for each m³ in place" in said.err


def test_workbook_and_pdf_are_written_where_asked(scenario, plan, tmp_path, capsys):
    xlsx, pdf = tmp_path / "e.xlsx", tmp_path / "e.pdf"
    code = main(["estimate", str(scenario), str(plan), "--xlsx", str(xlsx), "--pdf", str(pdf)])
    assert code == 0
    assert pdf.read_bytes().startswith(b"%PDF")
    book = openpyxl.load_workbook(BytesIO(xlsx.read_bytes()), data_only=True)
    assert book["Bill"]["A1"].value == "Estimate: Two patches"
    assert f"Written to {pdf}" in capsys.readouterr().err


def test_a_plan_that_breaks_a_rule_is_not_priced(scenario, plan, capsys):
    text = (scenario / "rigs.csv").read_text(encoding="utf-8")
    (scenario / "rigs.csv").write_text(text.replace(",60,", ",5,"), encoding="utf-8")
    assert main(["estimate", str(scenario), str(plan)]) == 1
    said = capsys.readouterr()
    assert said.out == ""
    assert "is not priced; see: ebbwork check" in said.err


def test_a_wrong_rate_is_refused_with_its_line(scenario, plan, capsys):
    (scenario / "prices.toml").write_text("[mobilise.rig]\nR9 = 500\n", encoding="utf-8")
    assert main(["estimate", str(scenario), str(plan)]) == 2
    said = capsys.readouterr()
    assert said.err.startswith("prices.toml:2:mobilise.rig.R9: R9 is not in rigs.csv")


def test_a_folder_that_is_no_plan_is_refused(scenario, capsys):
    assert main(["estimate", str(scenario), str(scenario / "nowhere")]) == 2
    assert "there is no such plan folder" in capsys.readouterr().err
