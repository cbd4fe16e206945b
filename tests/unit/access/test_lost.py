"""Lost time is cut where its causes change."""

from planner.access.lost import Layer, lost_spans
from planner.core.spans import Spans


def layer(cause, *spans):
    return Layer(spans=Spans(spans), cause=cause)


def test_one_cause_takes_its_minutes():
    lost = Spans([(10, 20)])
    assert lost_spans(lost, [layer("wet", (0, 100))], otherwise="?") == [(10, 20, "wet")]


def test_causes_that_overlap_are_both_named():
    layers = [layer("wet", (0, 15)), layer("shut", (12, 30))]
    assert lost_spans(Spans([(10, 20)]), layers, otherwise="?") == [
        (10, 12, "wet"),
        (12, 15, "wet; shut"),
        (15, 20, "shut"),
    ]


def test_what_no_layer_takes_has_the_other_cause():
    layers = [layer("wet", (0, 12), (18, 30))]
    assert lost_spans(Spans([(10, 20)]), layers, otherwise="short") == [
        (10, 12, "wet"),
        (12, 18, "short"),
        (18, 20, "wet"),
    ]


def test_the_same_cause_twice_is_named_once_and_not_cut():
    layers = [layer("shut", (0, 15)), layer("shut", (12, 30))]
    assert lost_spans(Spans([(10, 20)]), layers, otherwise="?") == [(10, 20, "shut")]


def test_several_lost_stretches_keep_apart():
    layers = [layer("wet", (0, 5), (8, 30))]
    assert lost_spans(Spans([(0, 5), (9, 12)]), layers, otherwise="?") == [
        (0, 5, "wet"),
        (9, 12, "wet"),
    ]
