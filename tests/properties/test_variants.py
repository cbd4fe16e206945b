"""Variants of any content give a scenario or a refusal with lines, never a fault."""

import json

import pytest
from hypothesis import event, given
from hypothesis import strategies as st

from planner.core.problems import InputRefusedError, Problem
from planner.scenario.dictionary import TABLES
from planner.scenario.findings import Findings
from planner.scenario.reader import campaign_of
from planner.workflow.loading import Loaded
from planner.workflow.variant_file import PARTS, variant_of
from planner.workflow.variants import changed
from tests.unit.scenario.scenes import scene

pytestmark = pytest.mark.property

GOOD = """name = "Other"
[drop]
zones = ["Z2"]
[[add.zones]]
like = "Z1"
zone = "Z3"
area_m2 = 4.5
[change.rigs.R1]
hose_max_m = 70
[keys.rules]
waste = 0.05
[book.mobilise]
site = 5
"""
CAMPAIGN, _ = campaign_of(scene())
LOADED = Loaded(campaign=CAMPAIGN, warnings=(), tables=scene())

WORDS = st.sampled_from(
    [*PARTS, *(table.name for table in TABLES), "R1", "Z1", "Z*", "*", "zone", "rig", "like", "x"]
)
SCALARS = (
    st.sampled_from(
        ['"R1"', '"Z1"', '""', "0", "-3", "4.5", "1e400", "true", "2027-04-05", "07:00"]
    )
    | st.text(max_size=6).map(json.dumps)
    | st.integers().map(str)
)
VALUES = st.recursive(
    SCALARS, lambda inner: st.lists(inner, max_size=3).map(lambda items: f"[{', '.join(items)}]")
)
HEADS = st.lists(WORDS.map(json.dumps), min_size=1, max_size=3).map(".".join)
LINES = st.one_of(
    HEADS.map("[{}]".format),
    HEADS.map("[[{}]]".format),
    st.tuples(HEADS, VALUES).map(lambda pair: f"{pair[0]} = {pair[1]}"),
)


def outcome(text: str) -> str:
    """Say what came of a variant: changed, no TOML at all, or changes that do not fit."""
    problems = told(text)
    assert all("\n" not in problem.line() for problem in problems)
    assert all(problem.file.startswith("variants/v.toml") for problem in problems)
    if any(problem.code == "toml-broken" for problem in problems):
        return "no TOML"
    return "refused" if problems else "changed"


def told(text: str) -> tuple[Problem, ...]:
    findings = Findings()
    try:
        file = variant_of(text, variant="v", file="variants/v.toml", findings=findings)
        findings.raise_errors()
        if file is not None:
            changed(LOADED, file)
    except InputRefusedError as refused:
        return refused.problems
    return ()


def test_the_variant_that_the_others_are_bent_from_is_a_good_one():
    assert outcome(GOOD) == "changed"


@given(st.lists(LINES, max_size=8).map("\n".join))
def test_any_document_gives_a_scenario_or_a_refusal(text):
    event(outcome(text))


@given(st.integers(0, len(GOOD)), st.integers(0, 12), st.text('"[]{}=.,#\n aR1é', max_size=4))
def test_a_damaged_variant_gives_a_scenario_or_a_refusal(start, length, put):
    event(outcome(GOOD[:start] + put + GOOD[start + length :]))
