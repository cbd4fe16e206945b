"""Which staging is best, against which it is held, and what decides it."""

from planner.estimate.staging import Staging, best_seeds, cheapest, drivers, rival, whole
from planner.reports.comparison import BUNDLES, MONEY_NAMES, crossing_words, verdict
from planner.workflow.sweep_task import BOOK_MONEY, PLANNER_MONEY


def staging(variant="a", **changes):
    fields = {
        "variant": variant,
        "name": variant.upper(),
        "processes": ("dry",),
        "seed": 1,
        "status": "feasible",
        "stopped_early": False,
        "planned_m3": 10.0,
        "left_out": 0,
        "finish": "2026-03-05T12:00:00+00:00",
        "finish_day": 3.5,
        "relocations": 1,
        "windows_used": 2,
        "crew_shifts": 3,
        "site_days": 4,
        "rebound_m3": 1.0,
        "cost": 100.0,
        "total": 100.0,
        "paid_h": 30.0,
        "shut_h": 5.0,
        "value": {"cost": 100.0},
    }
    return Staging(**(fields | changes))


def test_of_several_seeds_the_most_volume_counts_then_the_goals():
    found = [
        staging(seed=1, planned_m3=9.0, value={"cost": 50.0}),
        staging(seed=2, value={"cost": 90.0}),
        staging(seed=3, value={"cost": 80.0}),
        staging("b", seed=1, value={"cost": 1.0}),
    ]
    best = best_seeds(found, ["cost"])
    assert [(one.variant, one.seed) for one in best] == [("a", 3), ("b", 1)]


def test_a_staging_that_plans_less_is_not_the_cheapest():
    found = [staging("a", planned_m3=5.0, total=10.0), staging("b", total=90.0)]
    assert [one.variant for one in whole(found)] == ["b"]
    best = cheapest(found)
    assert best is not None
    assert best.variant == "b"


def test_the_rival_is_of_another_process_where_there_is_one():
    winner = staging("w", processes=("wet",), total=50.0)
    near = staging("w2", processes=("wet",), total=55.0)
    far = staging("d", total=80.0)
    assert rival([winner, near, far], winner) is far
    assert rival([winner, near], winner) is near
    assert rival([winner], winner) is None


def test_drivers_are_ranked_by_what_they_change():
    one = staging("a", money={"day": 10.0, "material": 5.0, "hose": 1.0})
    other = staging("b", money={"day": 14.0, "material": 25.0, "hose": 1.0})
    assert drivers(one, other) == [("material", -20.0), ("day", -4.0)]


def test_the_verdict_is_two_sentences_with_the_sums():
    winner = staging("wet", processes=("wet",), total=60.0, finish_day=3.5, money={"material": 20})
    other = staging("dry", total=100.0, finish_day=8.6, money={"material": 70, "set_up": -10})
    first, second = verdict([other, winner])
    assert first == "WET costs 60, 40 (40 %) less than DRY, and is done 5 days sooner."
    assert second == (
        "What decides it: material (\N{MINUS SIGN}50); against it speak set-ups (+10)."
    )


def test_a_difference_smaller_than_what_is_proven_is_no_proof():
    winner = staging("wet", processes=("wet",), total=60.0, finish_day=3.5)
    close = staging("dry", total=70.0, cost=65.0, bound={"cost": 50.0})
    told = verdict([winner, close])
    # The cost of 65 may fall to 50, by 15, and the difference is 10.
    assert told[2] == (
        "This is what was planned, not a proof: as far as is proven, a better plan of DRY "
        "could save up to 15."
    )
    clear = staging("dry", total=80.0, cost=65.0, bound={"cost": 50.0})
    assert len(verdict([winner, clear])) == 2


def test_a_staging_that_cannot_do_the_whole_job_is_named():
    told = verdict([staging("a"), staging("b", planned_m3=4.0)])
    assert told[0] == "A is the only staging that plans 10.0 m³."
    assert told[1] == "Not compared, because they plan less: B (4.0 m³)."


def test_no_plan_at_all_is_said():
    assert verdict([]) == ("No staging plans anything.",)


def test_a_curve_without_a_crossing_says_who_is_cheaper_and_who_falls_short():
    one = [staging("dry", at=0.0, total=90.0), staging("dry", at=9.0, total=95.0)]
    other = [
        staging("wet", at=0.0, total=60.0),
        staging("wet", at=9.0, planned_m3=6.0, left_out=3, total=50.0),
    ]
    assert crossing_words(one, other, [], "m") == (
        "WET is cheaper wherever both plan the same volume. "
        "At 1 value WET cannot do the whole job."
    )


def test_every_group_of_money_has_words_and_a_place_in_the_charts():
    groups = {*PLANNER_MONEY, *BOOK_MONEY}
    assert set(MONEY_NAMES) == groups
    shown = [group for bundle in BUNDLES.values() for group in bundle]
    assert sorted(shown) == sorted(groups)
