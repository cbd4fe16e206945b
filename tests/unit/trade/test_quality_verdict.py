"""What the rule says of results, with its numbers."""

from typing import Any

import pytest

from planner.model.quality import Outcome
from planner.trade.quality_trial import Trial, TrialKind
from planner.trade.quality_verdict import Verdict, bond_verdict, judge, strength_verdict
from tests.unit.trade.quality_scenes import DAY, quality


def strength(*values: float, asked: float = 40.0) -> Any:
    return strength_verdict(values, specified_mpa=asked, mean_factor=0.85, single_factor=0.75)


def trial(**changes: Any) -> Trial:
    """A production panel of 3 cores, made at the end of the first day, tested at 28 days."""
    fields: dict[str, Any] = {
        "name": "PROD/dry/C1/2026-03-02/1",
        "kind": TrialKind.PRODUCTION,
        "made_min": 1000,
        "pieces": 3,
        "specified_mpa": 40.0,
        "age_d": 28.0,
    }
    return Trial(**(fields | changes))


def outcome(*values: float, day: int = 28, **changes: Any) -> Outcome:
    fields: dict[str, Any] = {"test": "T", "at_min": day * DAY, "values_mpa": values}
    return Outcome(**(fields | changes))


@pytest.mark.parametrize(
    ("values", "verdict"),
    [
        ((34.0, 34.0, 34.0), Verdict.MET),  # mean at 0.85 x 40 exactly
        ((33.9, 34.0, 34.0), Verdict.MISSED),
        ((30.0, 36.0, 36.0), Verdict.MET),  # single at 0.75 x 40 exactly, mean 34
        ((29.9, 50.0, 50.0), Verdict.MISSED),
    ],
)
def test_mean_and_single_both_count(values, verdict):
    assert strength(*values).verdict is verdict


def test_the_sentence_shows_the_rule_with_its_numbers_and_defers():
    assert strength(35.0, 34.8, 29.6).sentence == (
        "mean 33.1 MPa = 0.828 f'c < 0.85 f'c: misses the rule; least single 29.6 MPa = 0.740 "
        "f'c < 0.75 f'c: misses the rule (f'c = 40 MPa). What follows from it is for the engineer."
    )


def test_no_verdict_says_that_anything_is_approved():
    for found in (strength(50.0), bond_verdict((2.0,), asked_mpa=1.0)):
        assert "approv" not in found.sentence
        assert "accept" not in found.sentence


def test_a_value_just_below_its_limit_does_not_look_like_the_limit():
    found = strength(40.0, 40.0, 29.996)
    assert found.verdict is Verdict.MISSED
    assert "0.750 f'c < 0.75" not in found.sentence
    assert "0.7499 f'c < 0.75" in found.sentence


def test_every_pull_reaches_the_bond():
    assert bond_verdict((1.2, 1.0, 1.4), asked_mpa=1.0).verdict is Verdict.MET
    found = bond_verdict((1.2, 0.9, 1.4), asked_mpa=1.0)
    assert found.verdict is Verdict.MISSED
    assert found.sentence.startswith("least pull 0.900 MPa < 1 MPa: misses the rule")


def test_a_set_that_is_not_complete_has_no_verdict_unless_it_has_missed():
    asked = quality()
    assert judge(trial(), outcome(40.0, 41.0), asked).verdict is Verdict.INCOMPLETE
    assert judge(trial(), outcome(40.0, 41.0, 42.0), asked).verdict is Verdict.MET
    assert judge(trial(), outcome(29.0), asked).verdict is Verdict.MISSED


def test_values_before_the_age_of_the_rule_are_early():
    # made on day 0, tested on day 27: 27 days
    early = judge(trial(), outcome(40.0, 41.0, 42.0, day=27), quality())
    assert early.verdict is Verdict.EARLY
    assert early.sentence.startswith("tested at 27 d, and the rule is for 28 d; mean 41.0 MPa")
    # a panel that was in fact made before the plan has it
    assert judge(trial(made_min=90 * DAY), outcome(40.0, 41.0, 42.0), quality()).verdict is (
        Verdict.MET
    )


def test_without_a_specified_strength_there_is_no_rule():
    found = judge(trial(specified_mpa=None), outcome(40.0, 42.0), quality())
    assert found.verdict is Verdict.NO_RULE
    assert found.sentence.startswith("mean 41.0 MPa of 2 values; no specified strength")


@pytest.mark.parametrize(
    ("is_met", "verdict"),
    [(True, Verdict.MET), (False, Verdict.MISSED), (None, Verdict.INCOMPLETE)],
)
def test_an_inspection_is_met_or_not(is_met, verdict):
    one = trial(kind=TrialKind.INSPECTION, pieces=0, specified_mpa=None, age_d=None)
    assert judge(one, outcome(is_met=is_met), quality()).verdict is verdict
