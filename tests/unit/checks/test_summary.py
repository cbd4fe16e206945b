"""summary.json against the plan: the small plan finishes at 456 min = 7.6 h and costs 100."""

import pytest

from planner.checks.check import check_plan
from planner.model.rules import Prices
from planner.plan.plan import Plan
from tests.builders import campaign, done, mix, zone
from tests.unit.checks.plans import left_out, plan, readable, spell

SCENE = campaign(prices=Prices(day=100.0), fingerprint="ab12")


def summary(**changes):
    fields = {
        "campaign": "Small",
        "scenario_sha256": "ab12",
        "version": "0.1.0",
        "seed": 1,
        "workers": 1,
        "seconds": 0.5,
        "status": "optimal",
        "planned_m3": 2.2,
        "planned_m3_bound": 2.2,
        "unplanned_m3": 0.0,
        "finish": "2026-03-02T07:36:00+00:00",
        "finish_bound": "2026-03-02T07:36:00+00:00",
        "relocations": 0,
        "late": 0.0,
        "night_runs": 0,
        "joints": 0,
        "cost": 100.0,
        "cost_lines": {
            "day": 100.0,
            "rig_day": 0.0,
            "crew_shift": 0.0,
            "crew_standby": 0.0,
            "relocation": 0.0,
            "set_up": 0.0,
            "material": 0.0,
            "hose": 0.0,
            "rebound": 0.0,
        },
        "bound": {"finish": 7.6, "relocations": 0, "cost": 100.0},
        "gap": {"finish": 0.0, "relocations": 0.0, "cost": 0.0},
    }
    return fields | changes


def told(found, scene=SCENE, made=None):
    violations = check_plan(scene, made or plan(), found)
    assert all(readable(one) for one in violations), violations
    return violations


def test_a_true_summary_passes():
    assert told(summary()) == []


@pytest.mark.parametrize("key", [key for key in summary() if key != "finish_bound"])
def test_every_figure_is_there(key):
    found = summary()
    del found[key]
    assert any(f"no {key};" in one.message for one in told(found))
    assert {one.rule for one in told(found)} == {"summary"}


@pytest.mark.parametrize(
    ("key", "wrong", "amount"),
    [
        ("campaign", "Other", 1),
        ("scenario_sha256", "cd34", 1),
        ("planned_m3", 2.3, 0.1),
        ("planned_m3", "2.2", 1),
        ("planned_m3_bound", 2.1, 0.1),
        ("planned_m3_bound", None, 1),
        ("unplanned_m3", 0.5, 0.5),
        ("unplanned_m3", None, 1),
        ("finish", "2026-03-02T07:37:00+00:00", 1),
        ("finish", "soon", 456),
        ("finish", None, 456),
        ("finish_bound", "2026-03-02T07:39:00+00:00", 3),
        ("finish_bound", None, 1),
        ("relocations", 1, 1),
        ("late", 0.25, 0.25),
        ("night_runs", 2, 2),
        ("joints", True, 1),
        ("cost", 90.0, 10),
        ("cost_lines", {"day": 100.0, "hose": 3.0}, 3),
        ("cost_lines", {}, 100),
        ("cost_lines", {"day": 100.0, "gifts": 5.0}, 5),
        ("cost_lines", [100.0], 1),
        ("status", "superb", 1),
        ("status", "none", 1),
        ("status", "feasible", 1),
        ("bound", None, 1),
    ],
)
def test_a_wrong_figure_is_told(key, wrong, amount):
    (found,) = told(summary(**{key: wrong}))
    assert (found.rule, found.table, found.row) == ("summary", "summary.json", None)
    assert found.amount == pytest.approx(amount)


def test_finish_may_be_given_in_another_offset():
    assert told(summary(finish="2026-03-02T09:36:00+02:00")) == []


def test_what_a_millionth_can_be_is_forgiven():
    assert told(summary(planned_m3=2.2000005, unplanned_m3=1e-7, cost=100.01)) == []


def test_what_is_left_out_may_be_any_that_a_mix_leaves():
    # 1 m³ is left in the first layer; by the finer mix 1.1 m³ more in the second
    scene = campaign(
        mixes=(mix(), mix("fine", layer_max_mm=50.0)),
        done=(done(done_m3=0.1, left_m3=1.0),),
        fingerprint="ab12",
    )
    made = Plan(unplanned=(left_out("Z1"),))
    nothing = summary(
        status="none", planned_m3=0.0, planned_m3_bound=0.0, finish=None, cost=0.0,
        cost_lines={}, bound={}, gap={},
    )  # fmt: skip
    for volume in (1.0, 1.5, 2.1):
        assert told(nothing | {"unplanned_m3": volume}, scene, made) == []
    for volume, off in ((0.9, 0.1), (2.3, 0.2)):
        (wrong,) = told(nothing | {"unplanned_m3": volume}, scene, made)
        assert wrong.amount == pytest.approx(off)


def test_a_bound_lies_below_its_value():
    (wrong,) = told(
        summary(bound={"finish": 7.6, "relocations": 0, "cost": 101.0}, status="feasible",
                gap={"finish": 0.0, "relocations": 0.0, "cost": 0.01})
    )  # fmt: skip
    assert "lower bound" in wrong.message
    assert wrong.amount == pytest.approx(1)


def test_the_gap_is_the_distance_by_the_value():
    bound = {"finish": 7.6, "relocations": 0, "cost": 80.0}
    good = summary(
        bound=bound, gap={"finish": 0.0, "relocations": 0.0, "cost": 0.2}, status="feasible"
    )
    assert told(good) == []
    (wrong,) = told(good | {"gap": {"finish": 0.0, "relocations": 0.0, "cost": 0.25}})
    assert wrong.amount == pytest.approx(0.05)
    (wrong,) = told(good | {"gap": {"finish": 0.0, "relocations": 0.0, "cost": "small"}})
    assert "needs a number" in wrong.message


def test_a_value_of_nothing_has_its_gap_by_a_billionth():
    # bound -1 below 0 relocations would be 1 / 1e-9
    made = summary(
        bound={"relocations": -1}, gap={"relocations": 1e9}, status="feasible", finish_bound=None
    )
    assert told(made) == []


def test_every_goal_has_both_and_is_a_goal():
    (lone,) = told(summary(gap={"finish": 0.0, "relocations": 0.0}))
    assert "cost" in lone.message
    found = told(summary(bound={"finish": 7.6, "beauty": 0}, gap={"finish": 0.0, "beauty": 0.0}))
    assert any('"beauty"' in one.message for one in found)


def test_optimal_needs_every_gap_closed():
    open_cost = {
        "bound": {"finish": 7.6, "relocations": 0, "cost": 80.0},
        "gap": {"finish": 0.0, "relocations": 0.0, "cost": 0.2},
    }
    (wrong,) = told(summary(**open_cost))
    assert "some goal's gap is not 0" in wrong.message
    assert told(summary(**open_cost, status="feasible")) == []


@pytest.mark.parametrize(("short_min", "is_optimal"), [(0.5, True), (1.0, False)])
def test_a_finish_less_than_a_minute_off_is_optimal(short_min, is_optimal):
    bound = 7.6 - short_min / 60
    made = summary(
        bound={"finish": bound}, gap={"finish": (7.6 - bound) / 7.6},
        finish_bound="2026-03-02T07:35:00+00:00",
    )  # fmt: skip
    assert [one.message for one in told(made)] == (
        [] if is_optimal else ["status is optimal, but some goal's gap is not 0."]
    )


def test_a_plan_that_may_not_hold_all_it_could_may_be_called_feasible():
    assert told(summary(status="feasible", planned_m3_bound=3.0)) == []


def test_an_empty_plan_has_no_finish_and_no_gaps():
    scene = campaign(zones=(zone(),), fingerprint="ab12")
    made = Plan(unplanned=(left_out("Z1"),))
    nothing = summary(
        status="none", planned_m3=0.0, unplanned_m3=2.2, finish=None, finish_bound=None,
        cost=0.0, cost_lines={}, bound={"finish": None}, gap={"finish": None},
    )  # fmt: skip
    assert told(nothing, scene, made) == []
    (wrong,) = told(nothing | {"finish": "2026-03-02T07:36:00+00:00"}, scene, made)
    assert wrong.amount == 456


def test_broken_rules_come_before_the_summarys():
    found = told(summary(), made=plan(spell(minutes=67)))
    assert found[0].rule == "8"
    assert {one.rule for one in found[1:]} == {"summary"}
