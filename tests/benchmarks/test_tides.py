"""The benchmark of tides does its jobs; how long they take is nobody's test."""

from tests.benchmarks.tides import SIZES_M, rows, tide


def test_every_job_is_done_and_its_windows_are_there():
    found = rows(years=0.1, count=3)
    ours = [row for row in found if row.by == "planner"]
    assert [row.job for row in ours] == [
        "1 year at 10 min",
        "0.1 years, 3 levels",
        "0.1 years at 10 min",
    ]
    # 36.5 days have 70 low waters; all lie below 0 m, none below -3 m
    assert ours[1].result.split()[0].isdigit()
    assert 70 <= int(ours[1].result.split()[0]) <= 210
    assert len(SIZES_M) == 37
    assert tide().curve(0.0, 1440.0).start.size > 3
