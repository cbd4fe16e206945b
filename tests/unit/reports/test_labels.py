"""The palette: legible ink, visible edges, and hues that colour-blind readers can tell apart."""

from itertools import combinations

import pytest

from planner.model.identifiers import Goal, PositionId, ResourceId
from planner.model.resource import Resource
from planner.model.water import FlowControl, Water, WaterKind
from planner.plan import measures
from planner.plan.plan import Plan
from planner.reports import labels
from tests import builders as make

DARK_PAGE = "#171614"
"""Ground of a dark page, as the page server draws it."""

# Machado, Oliveira and Fernandes (2009), severity 1, on linear RGB; from memory.
SEEN = {
    "all": ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
    "no red": (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    "no green": (
        (0.367322, 0.860646, -0.227968),
        (0.280085, 0.672501, 0.047413),
        (-0.011820, 0.042940, 0.968881),
    ),
    "no blue": (
        (1.255528, -0.076749, -0.178779),
        (-0.078411, 0.930809, 0.147602),
        (0.004733, 0.691367, 0.303900),
    ),
}


def test_black_on_white_has_the_greatest_contrast():
    assert labels.contrast("#000000", "#FFFFFF") == pytest.approx(21.0)
    assert labels.contrast("#FFFFFF", "#FFFFFF") == pytest.approx(1.0)


@pytest.mark.parametrize("hue", labels.PALETTE.values())
def test_text_upon_every_hue_is_legible(hue):
    assert labels.contrast(labels.ink_on(hue), hue) >= labels.TEXT_CONTRAST


def test_white_ink_is_used_on_blue_alone():
    white = [name for name, hue in labels.PALETTE.items() if labels.ink_on(hue) == labels.WHITE]
    assert white == ["blue"]


@pytest.mark.parametrize("page", ["#FFFFFF", DARK_PAGE])
def test_the_edge_of_blocks_stands_out_from_the_page(page):
    assert labels.contrast(labels.OUTLINE, page) >= 3.0


@pytest.mark.parametrize("eyes", SEEN)
def test_hues_stay_apart_for_every_kind_of_colour_vision(eyes):
    hues = list(labels.PALETTE.values())
    nearest = min(
        distance(lab(one, SEEN[eyes]), lab(other, SEEN[eyes]))
        for one, other in combinations(hues, 2)
    )
    assert nearest > 10.0  # CIE 1976; about 2 is just visible, 10 is seen at a glance


def test_every_position_has_a_look_of_its_own():
    names = [PositionId(f"P{k}") for k in range(56)]
    found = {(look.colour, look.pattern) for look in labels.looks(names).values()}
    assert len(found) == 56


def test_a_tint_keeps_the_hue():
    assert labels.look(0).tint(0.35) == "rgba(0,114,178,0.35)"


def test_every_goal_and_cost_line_has_a_name():
    gate = FlowControl(section="S1", from_min=0, to_min=60, flow_factor=0.5)
    sewer = Water(kind=WaterKind.SEWER, controls=(gate,))
    float_ = Resource(resource_id=ResourceId("float"), number=1)
    lines = measures.cost_lines(make.campaign(water=sewer, resources=(float_,)), Plan())
    assert set(labels.GOALS) == set(Goal)
    assert set(labels.COST_LINES) == set(lines)


def test_amounts_are_written_with_thousands_apart():
    assert labels.money(1234567.4) == "1 234 567"
    assert labels.count(1, "zone") == "1 zone"
    assert labels.count(2, "zone") == "2 zones"


def lab(colour, seen):
    """CIE Lab (D65) of a colour as some eyes see it; formulas of CIE 15 and IEC 61966-2-1."""
    channels = [int(colour[k : k + 2], 16) / 255.0 for k in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    red, green, blue = (
        min(1.0, max(0.0, sum(a * b for a, b in zip(row, linear, strict=True)))) for row in seen
    )
    xyz = (
        (0.4124 * red + 0.3576 * green + 0.1805 * blue) / 0.95047,
        0.2126 * red + 0.7152 * green + 0.0722 * blue,
        (0.0193 * red + 0.1192 * green + 0.9505 * blue) / 1.08883,
    )
    x, y, z = (v ** (1 / 3) if v > 0.008856 else 7.787 * v + 16 / 116 for v in xyz)
    return 116 * y - 16, 500 * (x - y), 200 * (y - z)


def distance(one, other):
    return sum((a - b) ** 2 for a, b in zip(one, other, strict=True)) ** 0.5
