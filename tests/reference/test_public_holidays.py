"""Public holidays against lists typed in from published law and official notices.

England and Wales: bank holidays as published by the government for 2026 (Banking and Financial
Dealings Act 1971 and royal proclamation); Boxing Day falls on a Saturday, the Monday takes its
place.  United States: federal holidays of 2026, 5 U.S.C. 6103 as the Office of Personnel
Management dates them; Independence Day falls on a Saturday, the Friday takes its place.
North Rhine-Westphalia: section 2 of its Feiertagsgesetz, with Easter on 5 April 2026.
"""

from datetime import date

import pytest

from planner.scenario.public_holidays import public_holidays

pytestmark = pytest.mark.reference

YEAR = {"first": date(2026, 1, 1), "last": date(2026, 12, 31)}
ENGLAND = ["01-01", "04-03", "04-06", "05-04", "05-25", "08-31", "12-25", "12-28"]
STATES = ["01-01", "01-19", "02-16", "05-25", "06-19", "07-03", "09-07", "10-12"]
STATES += ["11-11", "11-26", "12-25"]
RHINE = ["01-01", "04-03", "04-06", "05-01", "05-14", "05-25", "06-04", "10-03", "11-01"]
RHINE += ["12-25", "12-26"]


def days(country, part, *, with_weekends):
    found = public_holidays(country, part, **YEAR)
    return [day.isoformat()[5:] for day, _ in found if with_weekends or day.weekday() < 5]


def test_weekdays_off_in_england_are_those_published():
    assert days("GB", "ENG", with_weekends=False) == ENGLAND


def test_weekdays_off_in_the_united_states_are_those_of_the_law():
    assert days("US", "", with_weekends=False) == STATES


def test_holidays_of_north_rhine_westphalia_are_those_of_its_law():
    assert days("DE", "NW", with_weekends=True) == RHINE


def test_names_are_in_english():
    names = dict(public_holidays("NL", "", **YEAR))
    assert names[date(2026, 4, 27)] == "King's Day"
