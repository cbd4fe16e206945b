"""Keys are changed line by line; comments, order and spacing stay as people wrote them."""

import pytest

from planner.scenario.campaign_file import campaign_toml, read_campaign_toml
from planner.scenario.findings import Findings
from planner.scenario.toml_patch import patched
from planner.workflow.demos import demos

TEXT = """# An invented job.
[campaign]
name = "Pier # 3"            # as on the drawings
goal = ["finish", "cost"]    # then money
may_worsen = [0.03]

[rules]
get_in_min  =  15            # down the ladder
# waste follows the last job
waste = 0.03

[prices.rig_day]
"D 1" = 700
"""


def entries(text):
    return read_campaign_toml(text, file="", findings=Findings())


def changed(**values):
    wanted = entries(TEXT) | {key.replace("__", "."): value for key, value in values.items()}
    wanted = {key: value for key, value in wanted.items() if value}
    result = patched(TEXT, wanted, campaign_toml)
    assert result is not None
    assert entries(result) == wanted
    return result


def test_nothing_changed_gives_the_same_text():
    assert patched(TEXT, entries(TEXT), campaign_toml) == TEXT


def test_a_value_changes_and_the_comment_behind_it_stays():
    assert "get_in_min  =  20            # down the ladder\n" in changed(rules__get_in_min="20")
    assert 'name = "Quay"            # as on the drawings' in changed(campaign__name="Quay")
    assert 'goal = ["cost"]    # then money' in changed(campaign__goal="cost")


def test_a_wrong_value_is_kept_as_a_text():
    assert 'waste = "3 %"' in changed(rules__waste="3 %")


def test_a_key_taken_out_takes_its_line_along():
    result = changed(rules__waste="")
    assert "waste =" not in result
    assert "# waste follows the last job" in result


def test_a_new_key_joins_its_section_or_brings_one():
    result = changed(rules__overbreak="0.2", water__kind="none", prices__rig_day__W2="9")
    assert result.index("[rules]") < result.index("overbreak = 0.2") < result.index("[prices")
    assert '[water]\nkind = "none"' in result
    assert '"D 1" = 700\nW2 = 9' in result


def test_what_is_written_over_several_lines_is_left_to_be_written_anew():
    text = '[campaign]\ngoal = [\n  "finish",\n  "cost",\n]\n'
    assert patched(text, {"campaign.goal": "cost"}, campaign_toml) is None


def test_a_text_that_cannot_be_read_is_left_to_be_written_anew():
    assert patched("[campaign\n", {"campaign.name": "A"}, campaign_toml) is None


@pytest.mark.parametrize("name", list(demos()))
def test_every_key_of_every_demo_can_be_changed_and_taken_out_by_its_line(name):
    text = (demos()[name] / "campaign.toml").read_text(encoding="utf-8")
    before = entries(text)
    comments = text.count("#")
    for key in before:
        other = patched(text, before | {key: "7"}, campaign_toml)
        assert other is not None, key
        assert other.count("#") == comments
        without = {one: value for one, value in before.items() if one != key}
        assert patched(text, without, campaign_toml) is not None, key
