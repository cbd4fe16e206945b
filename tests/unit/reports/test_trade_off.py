"""Relocations against finish, as rows, sentences and a chart."""

from planner.plan.plan import Plan
from planner.plan.trade_off import Outcome, TradePoint
from planner.reports.figures.trade_off import trade_off_chart
from planner.reports.trade_off import (
    HEADING,
    READ_HEADING,
    trade_csv,
    trade_rows,
    trade_rows_to_read,
    trade_sentences,
)
from tests import builders as make

CLOCK = make.clock()


def point(moves: int, finish: float, cost: float, **changes: float) -> TradePoint:
    best = Outcome(
        cap=moves,
        plan=Plan(),
        volumes_m3=(26.4,),
        relocations=moves,
        finish_h=finish,
        cost=cost,
        finish_bound_h=0.0,
        cost_bound=0.0,
    )
    bounds = {"finish_bound_h": finish, "cost_bound": cost} | changes
    return TradePoint(relocations_max=moves, best=best, **bounds)


POINTS = (point(0, 80.0, 4000.0, finish_bound_h=40.0), point(2, 38.0, 2200.0, cost_bound=1100.0))


def told(points: tuple[TradePoint, ...], fewest: float = 0.0, *, early: bool = False) -> list[str]:
    return trade_sentences(points, CLOCK, fewest_bound=fewest, stopped_early=early)


def test_a_row_holds_values_bounds_and_gaps() -> None:
    first = dict(zip(HEADING, next(trade_rows(POINTS, CLOCK)), strict=True))
    assert first["finish"] == "2026-03-05T08:00:00+00:00"  # 80 h = three days and 8 h
    assert (first["finish_gap"], first["cost_gap"]) == (0.5, 0.0)
    assert first["planned_m3"] == 26.4
    assert trade_csv(POINTS, CLOCK).splitlines()[0] == ",".join(HEADING)
    assert len(trade_csv(POINTS, CLOCK).splitlines()) == 3


def test_a_row_for_people_has_days_and_money() -> None:
    first = dict(zip(READ_HEADING, next(trade_rows_to_read(POINTS, CLOCK)), strict=True))
    assert (first["done"], first["not_done_before"]) == ("Thu 5 Mar 08:00", "Tue 3 Mar 16:00")
    assert (first["cost"], first["not_below"]) == ("4 000", "4 000")


def test_both_ends_are_told_and_what_the_moves_save() -> None:
    few, many, proof = told(POINTS)
    assert few == "0 relocations: done Thu 5 Mar 08:00, 4 000 in all."
    assert "42.0 h sooner" in many
    assert proof == "Fewer relocations cannot do this volume (proven)."


def test_what_is_not_proven_or_cut_short_is_told() -> None:
    found = told((point(3, 80.0, 1.0),), 1.0, early=True)
    assert found[1:] == [
        "More relocations brought no earlier finish.",
        "No plan of this volume has fewer than 1 relocations.",
        "The time ended a search early: give --seconds more for better points.",
    ]


def test_a_bar_hangs_from_each_plan_to_its_bound_and_the_plan_bears_its_cost() -> None:
    figure = trade_off_chart(POINTS, CLOCK)
    bars = [trace for trace in figure.data if trace.line.width == 14]
    hours = [(bar.y[1] - bar.y[0]).total_seconds() / 3600 for bar in bars]
    assert hours == [40.0, 0.0]
    assert list(figure.data[-1].text) == ["4 000", "2 200"]
    assert list(figure.layout.xaxis.tickvals) == [0, 2]
