"""Light, holidays, waves and air from the tables to the plan and its check."""

import csv

import pytest

from planner.commands.main import main
from planner.commands.words import cautions
from planner.model.water import WaterKind

# Greenwich in early March: light from about 06:40 to 17:45; by normals 5 degrees are passed at
# 10:30 and 22:30; Monday and Tuesday are those of a fair that comes every year; Friday's sea is
# rough from noon on
LIMITS = """
[daylight]
latitude_deg = 51.48
longitude_deg = 0

[waves]
height_max_m = 0.5
planned_h = 2

[temperature]
min_c = 5
"""
TABLES = {
    "temperature_normals.csv": "month,low_c,high_c\n3,0,10\n",
    "closures.csv": "scope,from,to,yearly,kind,why\nsite,2019-03-02,2019-03-03,yes,holiday,fair\n",
    "waves.csv": "time,height_m\n"
    + "".join(
        f"2026-03-{day:02d}T{hour:02d}:00,{1.5 if (day, hour) >= (6, 12) else 0.3}\n"
        for day in range(2, 10)
        for hour in range(0, 24, 3)
    ),
}


def limit(scenario):
    toml = scenario / "campaign.toml"
    toml.write_text(toml.read_text(encoding="utf-8") + LIMITS, encoding="utf-8")
    for name, text in TABLES.items():
        (scenario / name).write_text(text, encoding="utf-8")


def spells(scenario):
    with (scenario / "plan" / "spells.csv").open(encoding="utf-8", newline="") as file:
        return [(row["start"], row["end"]) for row in csv.DictReader(file)]


@pytest.mark.solver
def test_a_plan_keeps_to_the_light_the_calm_and_the_warm_hours(scenario, capsys):
    limit(scenario)
    assert main(["plan", str(scenario), "--seconds", "10"]) == 0
    assert main(["check", str(scenario), str(scenario / "plan")]) == 0
    found = spells(scenario)
    assert found
    for start, end in found:
        assert start[:10] == end[:10]
        assert "2026-03-04" <= start[:10] <= "2026-03-06"  # fair before, rough sea after
        assert start[11:16] >= "10:40"  # 10 min to get in
        assert end[11:16] <= "17:40"
    capsys.readouterr()


@pytest.mark.solver
def test_a_plan_made_without_the_limits_breaks_them(scenario, capsys):
    assert main(["plan", str(scenario), "--seconds", "10"]) == 0
    assert spells(scenario)[0][0].startswith("2026-03-02T07")
    limit(scenario)
    capsys.readouterr()
    assert main(["check", str(scenario), str(scenario / "plan")]) == 1
    broken = list(csv.DictReader(capsys.readouterr().out.splitlines()))
    assert "1" in {row["rule"] for row in broken}


def test_levels_that_are_predicted_come_with_a_caution_and_others_do_not():
    (told,) = cautions(WaterKind.HIGHLOW)
    assert "levelled tide board" in told
    assert cautions(WaterKind.TIDE) == (told,)
    assert cautions(WaterKind.SEWER) == cautions(WaterKind.NONE) == ()
