"""``ebbwork risk``: odds on standard output, sentences beside it, files where asked."""

import shutil
from pathlib import Path

import pandas as pd
import pytest

from planner.commands.codes import Exit
from planner.commands.main import main

pytestmark = pytest.mark.solver


@pytest.fixture(scope="module")
def silo(repository: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The silo with a plan of little effort."""
    folder = tmp_path_factory.mktemp("risk") / "silo"
    shutil.copytree(
        repository / "scenarios" / "silo-rings", folder, ignore=shutil.ignore_patterns("plan*")
    )
    assert main(["plan", str(folder), "--effort", "0.002", "--seconds", "30"]) == Exit.DONE
    return folder


def test_odds_go_to_standard_output_and_the_rest_beside_it(silo, capsys, tmp_path):
    code = main(
        ["risk", str(silo), str(silo / "plan"), "--runs", "60", "--confidence", "0.7",
         "--out", str(tmp_path / "out")]
    )  # fmt: skip
    out, err = capsys.readouterr()
    assert code == Exit.DONE
    heading, *rows = out.splitlines()
    assert heading == "chance,finish,cost"
    assert [row.split(",")[0] for row in rows] == ["0.1", "0.5", "0.7", "0.8", "0.9"]
    assert "60 lives of the plan, seed 1." in err
    assert "To be sure in 70 in 100, keep" in err
    assert "What drives the finish, the strongest first:" in err
    assert len(pd.read_parquet(tmp_path / "out" / "runs.parquet")) == 60


def test_the_same_seed_gives_the_same_odds_and_another_gives_others(silo, capsys):
    said = []
    for seed, workers in (("1", "1"), ("1", "2"), ("2", "2")):
        words = ["risk", str(silo), str(silo / "plan"), "--runs", "40", "--seed", seed]
        assert main([*words, "--workers", workers]) == Exit.DONE
        said.append(capsys.readouterr().out)
    assert said[0] == said[1]
    assert said[1] != said[2]


def test_a_risk_file_is_read_and_every_slip_in_it_told(silo, capsys, tmp_path):
    wrong = tmp_path / "mine.toml"
    wrong.write_text('[panels]\nfail = 3\n[surge]\nresidul = "x"\n', encoding="utf-8")
    words = ["risk", str(silo), str(silo / "plan"), "--runs", "10", "--inputs", str(wrong)]
    assert main(words) == Exit.REFUSED
    lines = capsys.readouterr().err.splitlines()
    assert lines[0].startswith("mine.toml:2:panels.fail: 3 lies outside")
    assert lines[1].startswith("mine.toml:4:surge.residul: there is no such key; did you mean")
    wrong.write_text('[surge]\nresidual = "gauge.json"\n', encoding="utf-8")
    assert main(words) == Exit.REFUSED
    assert 'there is no file "gauge.json" beside mine.toml' in capsys.readouterr().err


def test_a_risk_file_that_is_not_there_is_told_in_one_line(silo, capsys, tmp_path):
    words = ["risk", str(silo), str(silo / "plan"), "--runs", "10"]
    assert main([*words, "--inputs", str(tmp_path / "none.toml")]) == Exit.REFUSED
    (line,) = capsys.readouterr().err.splitlines()
    assert line.startswith("none.toml::: there is no such file; name one with keys as in")


def test_a_risk_file_in_the_scenario_is_no_stranger_and_changes_no_plan(silo, capsys):
    (silo / "risk.toml").write_text("[panels]\nfail = 0\n", encoding="utf-8")
    try:
        assert main(["check", str(silo), str(silo / "plan")]) == Exit.DONE
        assert "risk.toml" not in capsys.readouterr().err
        assert main(["risk", str(silo), str(silo / "plan"), "--runs", "10"]) == Exit.DONE
        err = capsys.readouterr().err
        assert "another state" not in err
        assert "panels.fail, where the plan has panels" in err
    finally:
        (silo / "risk.toml").unlink()


def test_a_plan_that_breaks_a_rule_is_not_lived(silo, capsys, tmp_path):
    broken = tmp_path / "broken"
    shutil.copytree(silo / "plan", broken)
    spells = (broken / "spells.csv").read_text(encoding="utf-8").splitlines()
    (broken / "spells.csv").write_text("\n".join(spells[:-1]) + "\n", encoding="utf-8")
    assert main(["risk", str(silo), str(broken), "--runs", "10"]) == Exit.PARTLY
    assert "cannot be lived" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("option", "value", "says"),
    [
        ("--runs", "0", "is no number of runs"),
        ("--confidence", "1.5", "does not lie between 0 and 1"),
        ("--rule", "luck", "invalid choice"),
    ],
)
def test_options_that_do_not_fit_are_refused_in_one_line(silo, capsys, option, value, says):
    assert main(["risk", str(silo), str(silo / "plan"), option, value]) == Exit.REFUSED
    (line,) = capsys.readouterr().err.splitlines()
    assert says in line
