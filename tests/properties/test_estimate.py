"""What holds for the estimate of every plan, looked at on random small campaigns."""

import math
from collections import defaultdict

import pytest

from planner.estimate.bill import estimate
from planner.model.price_book import PriceBook
from planner.optimise.engine import Settings, optimise
from planner.plan.costs import cost_lines
from planner.scenario.dictionary.price_book import BOOK_KEYS
from tests.properties.campaigns import drawn
from tests.properties.luck import seeded

pytestmark = pytest.mark.property

DEFAULTS = {
    key.name: float(key.default) for key in BOOK_KEYS if key.default and float(key.default)
}
WRITTEN = {
    **{key.name: 1.0 + number for number, key in enumerate(BOOK_KEYS) if ".*" not in key.name},
    "on_top.overhead": 0.1,
    "on_top.risk": 0.0,
    "on_top.profit": 0.05,
}
BOOK = PriceBook(rates={**DEFAULTS, **WRITTEN}, written=tuple(WRITTEN))
NEAR = 1e-3


@pytest.fixture(scope="module")
def planned():
    """Campaigns drawn by lot with quick plans."""
    found = []
    for seed in range(30):
        campaign = drawn(seeded(seed))
        plan, _ = optimise(campaign, settings=Settings(workers=1, effort=0.002))
        found.append((campaign, plan))
    return found


def test_the_lines_of_the_planner_are_its_cost_lines(planned):
    with_money = 0
    for campaign, plan in planned:
        sums: defaultdict[str, float] = defaultdict(float)
        for line in estimate(campaign, plan, PriceBook(rates=DEFAULTS)).lines:
            sums[line.key] += line.amount
        wanted = {name: amount for name, amount in cost_lines(campaign, plan).items() if amount}
        with_money += len(wanted) > 4
        assert dict(sums) == pytest.approx(wanted, abs=NEAR)
    assert with_money >= 10


def test_items_and_lines_add_up_to_the_total(planned):
    for campaign, plan in planned:
        priced = estimate(campaign, plan, BOOK)
        assert math.fsum(line.amount for line in priced.lines) == pytest.approx(priced.total)
        assert math.fsum(item.amount for item in priced.items) == pytest.approx(priced.total)
        assert priced.total == pytest.approx(1.15 * priced.net)
        assert priced.net >= priced.planner_cost - NEAR


def test_paid_hours_are_work_and_waiting(planned):
    seen = 0
    for campaign, plan in planned:
        for time in estimate(campaign, plan, BOOK).crew_time:
            parts = (time.work_h, time.shut_h, time.open_h)
            assert min(parts) >= 0.0
            assert math.fsum(parts) == pytest.approx(time.paid_h)
            seen += time.shut_h > 0.0
    assert seen >= 5
