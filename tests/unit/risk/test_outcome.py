"""What a study tells."""

from dataclasses import replace
from typing import Any

import numpy as np
import pandas as pd
import pytest
from scipy import stats

from planner.core.clock import MINUTES_PER_DAY
from planner.reports import risk_words as words
from planner.risk.files import windows_frame, write_study
from planner.risk.inputs import Driver, RiskInputs, Rule
from planner.risk.outcome import drives, dues, ladder, quantile, rank_correlation, reserve
from planner.risk.spread import Three
from planner.risk.study import Settings, block_sizes, study
from tests.unit.risk.scenes import in_a_row


def test_the_rank_correlation_is_that_of_scipy_with_ties_and_all():
    rng = np.random.default_rng(4)
    one = rng.integers(0, 9, 500).astype(float)
    other = one + rng.integers(0, 6, 500).astype(float)
    found = rank_correlation(one, other)
    assert found == pytest.approx(float(stats.spearmanr(one, other).statistic), abs=1e-12)
    assert rank_correlation(one, np.ones(500)) is None


def test_a_quantile_is_one_of_the_runs_also_where_some_have_no_end():
    values = np.array([5.0, 1.0, np.inf, 3.0])
    assert [quantile(values, share) for share in (0.25, 0.5, 0.75, 0.8)] == [1.0, 3.0, 5.0, np.inf]


def test_blocks_add_up_to_the_runs():
    assert [sum(block_sizes(n)) for n in (1, 2500, 2501, 10_000)] == [1, 2500, 2501, 10_000]


@pytest.fixture(scope="module")
def lived():
    """Ten hours that take up to twice as long, due on the first day; a third of days is wet."""
    campaign, plan = in_a_row([600])
    zones = tuple(replace(zone, due_min=MINUTES_PER_DAY) for zone in campaign.zones)
    inputs = RiskInputs(growth_area=Three(low=1.0, mode=1.0, high=3.0), weather_lost=(0.3,) * 12)
    settings = Settings(runs=2000, rule=Rule.SEQUENCE, workers=1)
    return study(replace(campaign, zones=zones), plan, inputs, settings)


def test_the_chance_of_a_due_date_is_the_share_of_runs_that_meet_it(lived):
    (row,) = dues(lived)
    # the first day must be dry; a factor up to 2.4 stays within it: 1 - (0.6/2)² of runs
    chance = 0.7 * (1 - (3.0 - 2.4) ** 2 / 4.0)
    assert row.chance == pytest.approx(chance, abs=4 * np.sqrt(chance * (1 - chance) / 2000))
    assert "Every due date is met" in (words.due_sentence(lived) or "")


def test_without_its_driver_the_spread_is_gone_or_less(lived):
    rows: dict[tuple[Driver, ...], Any] = {
        row.drivers: row for row in drives(lived, confidence=0.8)
    }
    assert set(rows) == {(Driver.GROWTH,), (Driver.WEATHER,)}
    assert rows[Driver.WEATHER,].days > 0.5
    assert 0.0 < rows[Driver.GROWTH,].rank_correlation < 1.0
    assert rows[Driver.WEATHER,].spread_share > rows[Driver.GROWTH,].spread_share


def test_the_buffer_is_what_lies_between_the_plan_and_the_confidence(lived):
    kept: Any = reserve(lived, confidence=0.8)
    rung: Any
    (rung,) = ladder(lived, (0.8,))
    assert kept.buffer_days == pytest.approx((rung.finish_min - 600) / MINUTES_PER_DAY)
    assert 0.0 < kept.weather_days <= kept.buffer_days
    assert words.reserve_sentence(lived, 0.8).startswith("To be sure in 80 in 100, keep 1 day")


def test_the_files_hold_every_run_and_every_window(lived, tmp_path):
    paths = write_study(tmp_path / "new" / "risk", lived, confidence=0.75)
    assert [path.name for path in paths] == [
        "odds.csv", "due.csv", "drivers.csv", "windows.csv", "runs.parquet",
    ]  # fmt: skip
    runs = pd.read_parquet(tmp_path / "new" / "risk" / "runs.parquet")
    assert runs["finish_h"].tolist() == (lived.lives.finish_min / 60.0).tolist()
    odds = pd.read_csv(tmp_path / "new" / "risk" / "odds.csv")
    assert 0.75 in odds["chance"].tolist()
    assert odds["finish"].is_monotonic_increasing
    (window,) = windows_frame(lived).to_dict("records")
    assert window["held"] == pytest.approx(1.0 - window["weather"])
    assert window["weather"] == pytest.approx(0.3, abs=4 * np.sqrt(0.21 / 2000))


def test_sentences_say_what_was_drawn_and_what_was_not(lived):
    text = " ".join(words.what_was_drawn(lived))
    assert "2000 lives" in text
    assert "Drawn: area and depth grow once broken out; rain and weather close days." in text
    assert "surge.residual" in text
    assert "the chance to be done by the end of that day is 6" in words.headline(lived)
    assert len(words.rungs(lived)) == 4


def test_a_study_that_is_stopped_ends():
    from planner.risk.site import StoppedError

    campaign, plan = in_a_row([60])
    with pytest.raises(StoppedError):
        study(campaign, plan, RiskInputs(), Settings(runs=10, stop=lambda: True))
