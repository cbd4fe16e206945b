"""What several searches together say of relocations and finish."""

from planner.plan.plan import Plan
from planner.plan.trade_off import Outcome, between, trade_points


def outcome(cap: int | None, moves: int, finish: float, **changes: object) -> Outcome:
    fields: dict[str, object] = {
        "cap": cap,
        "plan": Plan(),
        "volumes_m3": (10.0,),
        "relocations": moves,
        "finish_h": finish,
        "cost": 100.0,
        "finish_bound_h": 0.0,
        "cost_bound": 0.0,
    }
    return Outcome(**(fields | changes))  # type: ignore[arg-type]


def test_a_plan_with_few_relocations_answers_for_every_larger_number() -> None:
    found = trade_points([outcome(1, 1, 50.0), outcome(2, 2, 60.0)], [1, 2])
    assert [(p.relocations_max, p.best.finish_h) for p in found] == [(1, 50.0), (2, 50.0)]


def test_a_bound_over_more_relocations_holds_for_fewer_and_not_the_other_way() -> None:
    few = outcome(1, 1, 80.0, finish_bound_h=70.0)
    many = outcome(3, 3, 60.0, finish_bound_h=40.0)
    found = trade_points([few, many, outcome(None, 3, 58.0, finish_bound_h=45.0)], [1, 2, 3])
    assert [p.finish_bound_h for p in found] == [70.0, 45.0, 45.0]


def test_a_bound_on_the_cost_holds_only_for_plans_that_finish_no_later_than_its_own() -> None:
    slow = outcome(2, 2, 80.0, cost_bound=60.0)  # over plans that finish by 80 h
    quick = outcome(2, 2, 70.0, cost=120.0, cost_bound=90.0)  # over those by 70 h
    assert trade_points([slow, quick], [2])[0].cost_bound == 90.0
    assert trade_points([slow], [2])[0].cost_bound == 60.0
    sooner = outcome(2, 1, 60.0, cost=130.0)  # its own bound says nothing; both others hold
    assert trade_points([slow, quick, sooner], [2])[0].cost_bound == 90.0
    assert trade_points([slow, outcome(2, 2, 75.0)], [2])[0].cost_bound == 60.0


def test_more_volume_comes_before_an_early_finish_and_its_bounds_stand_alone() -> None:
    more = outcome(2, 2, 90.0, volumes_m3=(12.0,))
    less = outcome(3, 1, 50.0, finish_bound_h=48.0)
    (point,) = trade_points([more, less], [2])
    assert point.best is more
    assert point.finish_bound_h == 48.0  # plans of 12 m³ hold 10 m³ too
    (point,) = trade_points([less, outcome(2, 2, 40.0, volumes_m3=(9.0,))], [2])
    assert point.best is less


def test_a_bound_over_larger_volumes_is_not_used() -> None:
    much = outcome(5, 5, 90.0, volumes_m3=(12.0,), finish_bound_h=85.0)
    (point,) = trade_points([outcome(1, 1, 50.0), much], [1])
    assert point.finish_bound_h == 0.0


def test_numbers_that_no_plan_keeps_have_no_point() -> None:
    assert trade_points([outcome(3, 3, 50.0)], [1, 2]) == []


def test_points_between_are_even_and_hold_both_ends() -> None:
    assert between(5, 2, 8) == [5]
    assert between(0, 100, 8)[0] == 0
    assert between(0, 100, 8)[-1] == 100
    assert len(between(0, 100, 8)) == 8
