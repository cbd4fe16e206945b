"""risk.toml: what it may say, and what is told where it says something else."""

from pathlib import Path

import pytest

from planner.core.problems import InputRefusedError
from planner.model.wet_weather import MonthLoss
from planner.risk.inputs import KEYS, Driver, RiskInputs, usual
from planner.risk.inputs_file import Given, parse_inputs, read_inputs, with_allowance
from planner.risk.spread import Shape, Three


def lines(text):
    with pytest.raises(InputRefusedError) as refused:
        parse_inputs(text.encode())
    return [problem.line() for problem in refused.value.problems]


def test_an_empty_file_means_the_defaults():
    assert parse_inputs(b"").inputs == usual()


def test_every_key_can_be_given():
    given = parse_inputs(
        b"""
[growth]
area = [1.0, 1.1, 1.9]
depth = [1, 1, 1]
same_section = 0.25
[rate]
factor = [0.5, 1, 1]
same_rig = 0
[rebound]
factor = [1, 1, 1]
same_mix = 1
[breakdown]
hours_between = 0
repair_h = [1, 2, 3]
[late]
start_min = [5, 5, 5]
overtime_min = 0
[panels]
fail = 0.2
[weather]
lost = 0.3
spell_days = 2.5
[surge]
residual = "gauge.json"
[chance]
shape = "pert"
"""
    )
    inputs = given.inputs
    assert inputs.growth_area == Three(low=1.0, mode=1.1, high=1.9)
    assert inputs.breakdown_hours is None
    assert inputs.weather_lost == (0.3,) * 12
    assert inputs.shape is Shape.PERT
    assert given.residual == "gauge.json"
    assert inputs.active(has_panels=False) == (
        Driver.GROWTH, Driver.RATE, Driver.LATE, Driver.WEATHER,
    )  # fmt: skip


SLIPS = """[growth]
area = [1.2, 1.1, 1.9]
depht = 1
[panels]
fail = 2
[late]
x = 1
"""


def test_every_slip_is_told_with_its_line_and_what_would_be_right():
    falls, misspelt, large, unknown = lines(SLIPS)
    assert falls == (
        "risk.toml:2:growth.area: 1.2, 1.1, 1.9 do not rise; write three numbers in rising order,"
        " for example [0.9, 1.05, 1.5]"
    )
    assert misspelt == (
        'risk.toml:3:growth.depht: there is no such key; did you mean "growth.depth"?'
    )
    assert large == "risk.toml:5:panels.fail: 2 lies outside; write a number from 0 to 0.9"
    assert unknown == "risk.toml:7:late.x: there is no such key"


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("growth.area = 3", "least, most likely and greatest value are wanted"),
        ("weather.lost = [0.1, 0.2]", "2 numbers; write one, or twelve"),
        ('chance.shape = "bell"', 'write "triangle" or "pert"'),
        ("chance.shape = 3", "is no text"),
        ("panels.fail = true", "is no number"),
        ("breakdown.hours_between = false", "is no number"),
        ("late.start_min = [0, nan, 3]", "is no number"),
        ("growth = [", "not a TOML file"),
    ],
)
def test_what_cannot_be_used_is_told_in_one_line(text, says):
    (line,) = lines(text)
    assert line.startswith("risk.toml:")
    assert says in line


def test_weather_allowance_counts_only_where_nothing_else_tells_of_weather():
    months = (MonthLoss(month=3, lost=0.4), MonthLoss(month=4, lost=1.0))
    plain = Given(inputs=RiskInputs())
    assert with_allowance(plain, months).weather_lost[1:4] == (0.0, 0.4, 0.95)
    for given in (
        Given(inputs=RiskInputs(), tells_weather=True),
        Given(inputs=RiskInputs(), residual="gauge.json"),
    ):
        assert with_allowance(given, months).weather_lost == (0.0,) * 12


def test_the_page_names_every_key_with_its_default_and_source(repository: Path):
    page = (repository / "docs" / "risk.md").read_text(encoding="utf-8")
    for key in KEYS:
        row = f"| `{key.name}` | {key.meaning} | {key.unit} | {key.default} | {key.source} |"
        assert row in page, f"docs/risk.md lacks the row\n{row}"


def test_the_defaults_in_words_are_those_in_numbers(tmp_path):
    words = {key.name: key.default for key in KEYS}
    text = "\n".join(
        f"{name} = [{value}]" if key.count == 3 else f"{name} = {value}"
        for key in KEYS
        if key.count in {1, 3}
        for name, value in [(key.name, words[key.name])]
    )
    (tmp_path / "risk.toml").write_text(text, encoding="utf-8")
    assert read_inputs(tmp_path / "risk.toml").inputs == usual()
