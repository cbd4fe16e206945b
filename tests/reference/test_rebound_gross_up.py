"""Material shot for 1 m³ in place, for the rebound that two published sources give.

Concrete Construction, "Material losses in shotcreting", states the older ranges of ACI 506 for
dry mix: slabs 5-15 %, walls 15-30 %, overhead 25-50 % of the total mix.  S. K. Duggal, Building
Materials, 3rd ed., p. 372, gives 30 % to 65 % by kind of member.  The volumes shot follow from
them by arithmetic: 1 / (1 - R).
"""

import pytest

from planner.trade.quantities import through_nozzle_m3


@pytest.mark.reference
@pytest.mark.parametrize(
    ("where", "rebound", "shot_m3"),
    [
        ("slab, least", 0.05, 1.053),
        ("slab, most", 0.15, 1.176),
        ("wall, most", 0.30, 1.429),
        ("overhead, least", 0.25, 1.333),
        ("overhead, most", 0.50, 2.000),
        ("member of 40 %", 0.40, 1.667),
        ("member of 55 %", 0.55, 2.222),
        ("member of 65 %", 0.65, 2.857),
    ],
)
def test_the_volume_shot_for_a_cubic_metre_in_place_is_as_published(where, rebound, shot_m3):
    assert through_nozzle_m3(1.0, rebound, 0.0) == pytest.approx(shot_m3, abs=5e-4), where


@pytest.mark.reference
def test_multiplying_by_one_plus_rebound_would_be_a_quarter_short_at_half_rebound():
    assert 1.0 * (1 + 0.5) / through_nozzle_m3(1.0, 0.5, 0.0) == pytest.approx(0.75)
