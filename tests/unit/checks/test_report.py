"""Violations as lines."""

from planner.checks.report import lines
from planner.checks.violation import Violation
from tests.builders import campaign
from tests.unit.checks.plans import broken, plan, spell


def test_a_line_names_file_row_rule_and_what_is_wrong():
    (line,) = lines(broken(campaign(), plan(spell(minutes=67))))
    assert line.startswith(
        "spells.csv:2:: rule 8: At 2026-03-02 06:30+00:00, the spell on zone Z1"
    )
    assert line.endswith("lasts 67 min; 2.2000 m³ at 2.0000 m³/h take 66 min.")


def test_what_is_no_rule_keeps_its_name_and_a_whole_file_has_no_row():
    one = Violation(
        rule="summary", table="summary.json", row=None, message="cost\nis  off.", amount=1.0
    )
    assert lines([one]) == ["summary.json::: summary: cost is off."]


def test_rows_count_as_in_a_spreadsheet_and_in_the_plans_order():
    made = plan(spell(minutes=67), spell(700, 65, run="2", zone="Z2"))
    from tests.builders import zone

    found = broken(campaign(zones=(zone("Z1"), zone("Z2"))), made)
    assert [one.row for one in found] == [2, 3]
