"""Both dates of a plan, with and without the weather allowance; the arithmetic is visible."""

import pytest

from planner.access.windows import Access
from planner.model.wet_weather import MonthLoss
from planner.plan.plan import Plan
from planner.reports.sentences import story
from planner.reports.weather import weather_finish, weather_sentences
from tests.builders import campaign, proof, run, shift, spell

DAY = 1440
H = 60


def scene(*losses, **changes):
    """Day shift 06:00 to 18:00, 2 to 15 March; windows all day, less 10 min at the ends."""
    rows = tuple(MonthLoss(month=month, lost=lost) for month, lost in losses)
    return campaign(weather_allowance=rows, **changes)


def plan(start, end):
    """One spell, in the only crew's run."""
    one = spell(start_min=start, end_min=end)
    return Plan(spells=(one,), runs=(run(start_min=start - 60, end_min=end + 60),))


def finish(campaign_, plan_):
    found = weather_finish(campaign_, plan_, Access(campaign_))
    assert found is not None
    return found


def test_half_the_windows_lost_takes_twice_the_open_hours():
    # from 06:00 on day 1 to 18:00 on day 2: 24 open hours; at a half, 48: 18:00 on day 4
    found = finish(scene((3, 0.5)), plan(6 * H, DAY + 18 * H))
    assert found.finish_min == DAY + 18 * H
    assert found.allowed_min == 3 * DAY + 18 * H


def test_nights_do_not_count():
    # 6 of 12 open hours of day 1 at a quarter lost: 8 open hours, 14:00
    found = finish(scene((3, 0.25)), plan(6 * H, 12 * H))
    assert found.allowed_min == 14 * H


def test_each_month_counts_with_its_own_share():
    from datetime import date

    from tests.builders import clock

    calendar = clock(first_day=date(2026, 2, 27), last_day=date(2026, 3, 10))
    lost = scene((2, 0.5), (3, 0.0), clock=calendar)
    # 27 February to 2 March, 18:00: 48 open hours, of which the 24 of February count half:
    # 12 h more are needed, all of 3 March
    found = finish(lost, plan(6 * H, 3 * DAY + 18 * H))
    assert found.allowed_min == 4 * DAY + 18 * H


def test_a_month_that_is_not_listed_loses_nothing():
    found = finish(scene((7, 0.9)), plan(6 * H, 12 * H))
    assert found.allowed_min == found.finish_min


@pytest.mark.parametrize("lost", [0.95, 1.0])
def test_what_does_not_fit_into_the_campaign_is_said_with_the_hours_lacking(lost):
    days = 14
    found = finish(scene((3, lost)), plan(6 * H, 18 * H))
    assert found.allowed_min is None
    # the last window closes at 24:00 less 10 min, after the shift
    assert found.short_min == pytest.approx(12 * H - days * 12 * H * (1 - lost))
    (told,) = weather_sentences(scene((3, lost)), plan(6 * H, 18 * H))
    assert "does not end within the campaign's days" in told


def test_both_dates_stand_in_the_story_of_the_plan():
    made = plan(6 * H, 12 * H)
    told = story(scene((3, 0.25)), made, proof())
    assert any("about Mon 2 Mar 14:00; without it, Mon 2 Mar 12:00" in line for line in told)
    assert not any("weather" in line for line in story(scene(), made, proof()))


def test_without_allowance_or_spells_there_is_one_date():
    assert weather_finish(scene(), plan(6 * H, 12 * H), Access(scene())) is None
    assert weather_finish(scene((3, 0.5)), Plan(), Access(scene((3, 0.5)))) is None
    assert weather_sentences(scene((3, 0.5)), Plan()) == []


def test_another_shift_makes_other_hours():
    night = scene((3, 0.5), shifts=(shift(start_tod=0, end_tod=12 * H),))
    # 10 min are lost after midnight on the first day only: the window is whole otherwise
    found = finish(night, plan(6 * H, 12 * H))
    assert found.allowed_min == DAY + 6 * H
