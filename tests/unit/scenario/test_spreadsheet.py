"""What a spreadsheet makes of a cell, as the text that a table would have."""

from datetime import date, datetime, time, timedelta

import pytest

from planner.scenario.spreadsheet import cell_text


def at(text):
    """Return a local date-time."""
    return datetime.fromisoformat(text)


DAY, MOMENT = "yyyy-mm-dd", "yyyy-mm-dd hh:mm"


@pytest.mark.parametrize(
    ("value", "form", "text"),
    [
        (None, "", ""),
        ("Z1", "", "Z1"),
        (True, "", "yes"),
        (False, "", "no"),
        (40, "", "40"),
        (40.0, "", "40"),
        (-0.25, "", "-0.25"),
        (0.1 + 0.2, "", "0.30000000000000004"),
        (1e16, "", "1e+16"),
        (at("2027-04-05T00:00:00"), DAY, "2027-04-05"),
        (at("2027-04-05T00:00:00"), MOMENT, "2027-04-05T00:00"),
        (at("2027-04-05T00:00:00"), '"hours" yyyy-mm-dd', "2027-04-05"),
        (at("2027-04-05T00:00:00"), "[$-809]dd mmmm yyyy", "2027-04-05"),
        (at("2027-04-05T03:41:00"), MOMENT, "2027-04-05T03:41"),
        (at("2027-04-05T03:41:00"), DAY, "2027-04-05T03:41"),
        (at("2027-04-05T03:40:59.999999"), MOMENT, "2027-04-05T03:41"),
        (at("2027-04-05T03:41:30"), MOMENT, "2027-04-05T03:41:30"),
        (at("1900-01-01T00:00:00"), "hh:mm", "24:00"),
        (date(2027, 4, 5), DAY, "2027-04-05"),
        (time(7, 0), "hh:mm", "07:00"),
        (time(6, 59, 59, 999_999), "hh:mm", "07:00"),
        (timedelta(hours=24), "[h]:mm", "24:00"),
        (timedelta(hours=10, minutes=30), "[h]:mm", "10:30"),
        (timedelta(minutes=-30), "[h]:mm", "-00:30"),
        (time(7, 0, 12), "hh:mm:ss", "07:00:12"),
    ],
)
def test_a_cell_becomes_the_text_that_people_would_have_typed(value, form, text):
    assert cell_text(value, form) == text
