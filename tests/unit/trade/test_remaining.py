"""What is left of a zone after progress."""

import pytest

from planner.trade.remaining import last_done, remaining_layers
from tests.builders import campaign, done, mix, zone

TWO_LAYERS = mix(layer_max_mm=50.0)
SHARE_M3 = 1.1  # 2.2 m3 in two layers


def left(*rows):
    return remaining_layers(campaign(done=rows), zone(), TWO_LAYERS)


def test_without_progress_every_layer_is_left_whole():
    assert left() == ((1, SHARE_M3, False), (2, SHARE_M3, False))


def test_what_is_done_is_taken_off_its_own_layer_only():
    first, second = left(done(layer=1, done_m3=0.4))
    assert first == (1, pytest.approx(0.7), True)
    assert second == (2, SHARE_M3, False)


def test_a_layer_with_nothing_left_is_complete():
    assert left(done(layer=1, done_m3=SHARE_M3)) == ((2, SHARE_M3, False),)


def test_the_noise_of_fractions_leaves_nothing():
    rows = [done(layer=1, done_m3=SHARE_M3 / 3) for _ in range(3)]
    assert [part.layer for part in left(*rows)] == [2]


def test_more_than_its_share_in_one_layer_takes_nothing_off_the_next():
    assert left(done(layer=1, done_m3=1.5)) == ((2, SHARE_M3, False),)


def test_what_is_really_left_overrides_the_sum():
    first, _ = left(done(layer=1, done_m3=1.0, left_m3=0.5))
    assert first == (1, 0.5, True)
    assert left(done(layer=1, done_m3=0.2, left_m3=0.0)) == ((2, SHARE_M3, False),)


def test_work_after_a_measured_remainder_is_taken_off_it_whatever_the_order_of_rows():
    rows = (done(done_m3=0.3, at_min=200), done(done_m3=0.9, left_m3=0.5, at_min=100))
    first, _ = left(*rows)
    assert first == (1, pytest.approx(0.2), True)


def test_rows_of_other_zones_and_of_layers_that_are_not_there_change_nothing():
    assert left(done("Z2"), done(layer=3)) == left()


def test_a_cubic_centimetre_is_nothing_and_ten_are_something():
    assert [part.layer for part in left(done(done_m3=SHARE_M3 - 5e-7))] == [2]
    first, _ = left(done(done_m3=SHARE_M3 - 1e-5))
    assert first == (1, pytest.approx(1e-5), True)


def test_a_layer_measured_as_less_than_its_share_is_begun_and_one_measured_whole_is_not():
    assert left(done(done_m3=0.0, left_m3=1.0))[0].begun
    assert not left(done(done_m3=0.0, left_m3=SHARE_M3))[0].begun
    assert not left(done(done_m3=0.0, left_m3=SHARE_M3 - 1e-7))[0].begun
    assert left(done(done_m3=0.1, left_m3=SHARE_M3))[0].begun


def test_a_row_of_nothing_done_begins_nothing():
    assert left(done(done_m3=0.0)) == left()


def test_the_last_work_is_the_latest_row_and_of_equal_ones_the_highest_layer():
    rows = (done(layer=2, at_min=90), done(layer=1, at_min=90), done(layer=1, at_min=60))
    assert last_done(campaign(done=rows), zone()) == (2, 90)
    assert last_done(campaign(done=rows), zone("Z2")) is None
