"""Places along lines of zones."""

import pytest

from planner.trade.chainage import lines_of
from tests.builders import zone


def along(name, at_m, x_m, y_m=0.0, section="S1"):
    return zone(name, x_m=x_m, y_m=y_m, chainage_m=at_m, section=section)


@pytest.mark.parametrize(
    ("x_m", "y_m", "at_m"),
    [(0.0, 3.0, 100.0), (5.0, -2.0, 105.0), (12.0, 5.0, 115.0), (99.0, 10.0, 120.0)],
)
def test_the_chainage_of_a_place_is_that_of_the_nearest_point_of_the_line(x_m, y_m, at_m):
    # 10 m east, then 10 m north: chainages 100, 110, 120
    (line,) = lines_of([along("A", 100, 0), along("B", 110, 10), along("C", 120, 10, 10)])
    assert line.chainage_m(x_m, y_m) == pytest.approx(at_m)


def test_a_line_that_starts_away_from_the_origin_is_followed_all_the_same():
    # from (3, 4) to (3, 24): 20 m north, chainages 50 to 70
    (line,) = lines_of([along("A", 50, 3, 4), along("B", 70, 3, 24)])
    assert line.chainage_m(9.0, 10.0) == pytest.approx(56.0)
    assert line.chainage_m(9.0, 99.0) == 70.0
    assert line.chainage_m(9.0, -9.0) == 50.0


def test_the_nearest_leg_counts_also_where_a_later_one_begins_lower():
    # out 10 m east, back by (-10, 4); (1, 5) lies at ((-9)(-10) + 5 x 4) / 116 of the way back
    (line,) = lines_of([along("A", 0, 0), along("B", 10, 10), along("C", 20, 0, 4)])
    assert line.chainage_m(1.0, 5.0) == pytest.approx(10 + 10 * 110 / 116)


def test_zones_at_one_chainage_count_as_one_point_in_their_middle():
    (line,) = lines_of([along("L", 5, 5, -2), along("R", 5, 5, 2), along("E", 25, 25, 0)])
    assert line.points == ((5, 5.0, 0.0), (25, 25.0, 0.0))


def test_a_single_zone_is_a_line_of_one_point():
    (line,) = lines_of([along("A", 7, 0)])
    assert line.chainage_m(50.0, 50.0) == 7


def test_sections_one_after_the_other_are_one_line_and_those_that_begin_anew_are_not():
    follow = [along("A", 0, 0), along("B", 10, 10), along("C", 20, 20, section="S2")]
    (one,) = lines_of(follow)
    assert one.sections == {"S1", "S2"}
    touching = [along("A", 0, 0), along("B", 10, 10), along("C", 10, 12, section="S2")]
    (met,) = lines_of([*touching, along("D", 20, 20, section="S2")])
    assert [x_m for _, x_m, _ in met.points] == [0.0, 11.0, 20.0]
    inside = [along("A", 0, 0), along("B", 10, 10), along("C", 9, 20, section="S2")]
    assert len(lines_of([*inside, along("D", 30, 30, section="S2")])) == 2
    anew = [along("A", 0, 0), along("B", 10, 10), along("C", 5, 20, section="S2")]
    assert [line.sections for line in lines_of(anew)] == [{"S1"}, {"S2"}]


def test_zones_without_a_chainage_make_no_line():
    assert lines_of([zone()]) == ()
