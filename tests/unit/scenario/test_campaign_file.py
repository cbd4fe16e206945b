"""campaign.toml: keys and text, both ways."""

import pytest

from planner.scenario.campaign_file import campaign_toml, read_campaign_toml, toml_lines
from planner.scenario.findings import Findings


def read(text):
    findings = Findings()
    entries = read_campaign_toml(text, file="campaign.toml", findings=findings)
    return entries, findings.problems()


def test_every_kind_of_value_becomes_the_text_of_a_sheet():
    entries, found = read(
        """
        [campaign]
        name = "Pier 3"
        start = 2027-04-05
        end = "2027-05-01"
        goal = ["finish", "cost"]
        may_worsen = [0.050]
        [water]
        datum_m = -2
        allowance_m = 0.10
        odd = true
        [prices.rig_day]
        R1 = 1_500
        "R.2" = 2.50
        """
    )
    assert found == []
    assert entries == {
        "campaign.name": "Pier 3",
        "campaign.start": "2027-04-05",
        "campaign.end": "2027-05-01",
        "campaign.goal": "finish;cost",
        "campaign.may_worsen": "0.050",
        "water.datum_m": "-2",
        "water.allowance_m": "0.10",
        "water.odd": "true",
        "prices.rig_day.R1": "1500",
        "prices.rig_day.R.2": "2.50",
    }


def test_what_is_written_reads_the_same():
    entries = {
        "campaign.name": 'Quay "A" \\ north\nside é',
        "campaign.start": "2027-02-30",  # no such day: kept as text
        "campaign.end": "2027-05-01",
        "campaign.may_worsen": "0.05;x",
        "campaign.goal": "finish; cost",
        "water.datum_m": "+2.0",
        "water.allowance_m": "1,5",
        "rules.waste": "0.030",
        "rules.overbreak": "05",
        "prices.day": "1e3",
        "prices.rig_day.R 1": "7",
        "prices.rig_day.R.1": "-0",
        "own": "1",
        "own.key": "2",
        "x.y.z": "",
        "": "",
    }
    assert read(campaign_toml(entries)) == (entries, [])


def test_a_key_with_the_name_of_a_section_is_kept_beside_it():
    entries = {"campaign": "x", "campaign.name": "y", "prices.rig_day": "z", "prices.day": "1"}
    assert read(campaign_toml(entries)) == (entries, [])


def test_no_keys_give_an_empty_file():
    assert campaign_toml({}) == ""
    assert read("") == ({}, [])


def test_numbers_and_dates_are_written_as_such():
    text = campaign_toml({"campaign.start": "2027-04-05", "rules.waste": "0.03", "x": "3"})
    assert text == 'x = "3"\n\n[campaign]\nstart = 2027-04-05\n\n[rules]\nwaste = 0.03\n'


@pytest.mark.parametrize(
    ("text", "row"),
    [
        ("[campaign]\nname = Pier", 2),
        ("[campaign]\nname = 'a'\nname = 'b'", 3),
        ("a = [1,", None),
        ("x = 2027-02-30", 1),
        ("x = " + "9" * 5000, None),
        ("x = " + "[" * 5000, None),
    ],
)
def test_a_fault_of_the_file_is_one_line_with_its_row(text, row):
    entries, found = read(text)
    assert entries == {}
    assert [problem.code for problem in found] == ["toml-broken"]
    assert row is None or found[0].row == row
    assert len(found[0].line()) < 300


def test_a_number_in_hexadecimal_of_any_length_is_not_a_crash():
    entries, found = read("x = 0x" + "f" * 5000)
    assert found == []
    assert "over 1000 digits" in entries["x"]


@pytest.mark.parametrize("value", ["[[1]]", "[{a = 1}]"])
def test_a_list_of_lists_is_refused(value):
    _, found = read(f"[campaign]\ngoal = {value}")
    assert [(p.row, p.column, p.code) for p in found] == [(2, "campaign.goal", "nested-list")]


def test_a_key_given_in_two_spellings_is_refused():
    _, found = read('"campaign.name" = "a"\n[campaign]\nname = "b"')
    assert [(p.column, p.code) for p in found] == [("campaign.name", "duplicate-key")]


def test_lines_are_found_under_sections_and_with_dotted_keys():
    lines = toml_lines('a.b = 1\n# c = 2\n[prices.rig_day] # note\n"R 1" = 3\n  R2=4\n')
    assert lines == {"a.b": 1, "prices.rig_day.R 1": 4, "prices.rig_day.R2": 5}
