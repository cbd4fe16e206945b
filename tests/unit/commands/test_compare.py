"""``ebbwork compare`` on a small scenario with two variants."""

import csv
import io

import pandas as pd
import pytest

from planner.commands.arguments import parsed, parser
from planner.commands.compare import run_compare
from planner.commands.interrupts import Interrupts
from planner.commands.main import main

QUICK = ("--effort", "0.02")


@pytest.fixture
def staged(scenario):
    folder = scenario / "variants"
    folder.mkdir()
    (folder / "slow.toml").write_text(
        'name = "Slow rig"\n[change.rigs.R1]\nrate_m3_h = 0.2\n', encoding="utf-8"
    )
    (folder / "dear.toml").write_text(
        'name = "Dear days"\n[keys.prices]\nday = 300\n', encoding="utf-8"
    )
    return scenario


def rows(text):
    return list(csv.DictReader(io.StringIO(text)))


def test_the_scenario_and_its_variants_are_laid_side_by_side(staged, capsys):
    assert main(["compare", str(staged), *QUICK]) == 0
    said = capsys.readouterr()
    found = {row["variant"]: row for row in rows(said.out)}
    assert list(found) == ["base", "dear", "slow"]
    assert (float(found["base"]["total"]), float(found["dear"]["total"])) == (100.0, 300.0)
    assert all(row["left_out"] == "0" and row["windows_used"] for row in found.values())
    assert "As it stands costs 100, 100 (50 %) less than Slow rig" in said.err
    assert "   3 of 3  " in said.err


def test_figures_are_kept_and_taken_up_again(staged, tmp_path, capsys):
    out = tmp_path / "kept.parquet"
    command = ["compare", str(staged), "--variants", "slow", *QUICK, "--out", str(out)]
    assert main(command) == 0
    first = capsys.readouterr().out
    assert len(pd.read_parquet(out)) == 1
    assert main(command) == 0
    said = capsys.readouterr()
    assert said.out == first
    assert "1 of 1 plans are known already." in said.err
    assert main(["compare", str(staged), *QUICK, "--out", str(out)]) == 0
    assert len(pd.read_parquet(out)) == 3


def test_a_break_even_lists_the_curve_and_says_where_the_cheaper_one_changes(
    staged, tmp_path, capsys
):
    pdf = tmp_path / "curve.pdf"
    words = ["--break-even", "base,dear", "--by", "volume", "--at", "0.5,1,2", "--pdf", str(pdf)]
    assert main(["compare", str(staged), *words, *QUICK]) == 0
    said = capsys.readouterr()
    found = rows(said.out)
    assert [(row["variant"], float(row["at"])) for row in found] == [
        *(("base", at) for at in (0.5, 1.0, 2.0)),
        *(("dear", at) for at in (0.5, 1.0, 2.0)),
    ]
    assert [float(row["planned_m3"]) for row in found[:3]] == [1.1, 2.2, 4.4]
    assert "As it stands is cheaper wherever both plan the same volume." in said.err
    assert pdf.read_bytes().startswith(b"%PDF")


@pytest.mark.parametrize(
    ("words", "line"),
    [
        (["--variants", "slwo"], "There is no variant 'slwo'; did you mean \"slow\"?"),
        (["--break-even", "base"], "--break-even wants two of base, dear, slow"),
        (["--break-even", "base,der"], "got 'base,der'; did you mean \"dear\"?"),
        (["--break-even", "base,dear", "--by", "volumes"], "--by wants some of volume, distance"),
        (["--break-even", "base,dear", "--at", "1"], "--at goes with one --by"),
        (
            ["--break-even", "base,dear", "--by", "volume", "--at", "x"],
            "--at wants numbers that are not below 0",
        ),
        (["--seeds", "0"], "'0' is no whole number from 1 to 1000"),
    ],
)
def test_a_wrong_argument_is_refused_in_one_line(staged, words, line, capsys):
    assert main(["compare", str(staged), *words, *QUICK]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert line in said.err
    assert len(said.err.splitlines()) == 1


def test_a_scenario_without_variants_is_told_what_to_do(scenario, capsys):
    assert main(["compare", str(scenario), *QUICK]) == 2
    assert (
        "has no variants/*.toml to compare; docs/compare.md shows one" in capsys.readouterr().err
    )


def test_every_fault_of_a_variant_is_told_at_its_line(staged, capsys):
    (staged / "variants" / "slow.toml").write_text(
        '[change.rigs.R1]\nrate_m3_h = "x"\nhose_max_m = -4\n', encoding="utf-8"
    )
    assert main(["compare", str(staged), *QUICK]) == 2
    lines = capsys.readouterr().err.splitlines()
    assert [line.split(": ")[0] for line in lines] == [
        "variants/slow.toml:3:rigs.R1.hose_max_m",
        "variants/slow.toml:2:rigs.R1.rate_m3_h",
    ]


def test_another_file_in_the_place_of_the_figures_is_left_alone(staged, tmp_path, capsys):
    out = tmp_path / "letter.parquet"
    out.write_text("dear", encoding="utf-8")
    assert main(["compare", str(staged), *QUICK, "--out", str(out)]) == 2
    assert "is not the file of a comparison" in capsys.readouterr().err
    assert out.read_text(encoding="utf-8") == "dear"


def test_an_interrupt_ends_it_with_what_is_there(staged, tmp_path, capsys):
    words = ["compare", str(staged), *QUICK, "--out", str(tmp_path / "kept.parquet")]
    arguments = parsed(parser(program="ebbwork", version="0"), words)
    interrupts = Interrupts()
    interrupts.asked = True
    assert run_compare(arguments, interrupts) == 130
    said = capsys.readouterr()
    assert "the same command goes on from there" in said.err
