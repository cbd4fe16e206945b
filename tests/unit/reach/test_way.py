"""The way that a hose takes, end by end."""

from planner.model.rules import ReachBy
from planner.reach.hoses import Reach
from planner.reach.network import Network
from tests import builders as make


def scene():
    return make.campaign(
        reach_by=ReachBy.ROUTES,
        zones=(make.zone("Z1"), make.zone("Z2"), make.zone("Far")),
        routes=(
            make.route("P1", "H1", 10.0, bends=1),
            make.route("H1", "H2", 20.0),
            make.route("P1", "H2", 29.0, bends=2),
            make.route("H2", "Z1", 5.0),
            make.route("Z1", "Z2", 1.0),
        ),
    )


def test_the_way_follows_the_least_length_with_bends():
    network = Network(scene())
    assert network.way("P1", "Z1", 0.0) == ("P1", "H2", "Z1")  # 29 + 5 against 10 + 20 + 5
    assert network.way("P1", "Z1", 3.0) == ("P1", "H1", "H2", "Z1")  # 40 against 38


def test_the_length_of_the_way_is_the_hose_that_reach_tells():
    campaign = scene()
    rig = make.rig(bend_m=3.0)
    run = Reach(campaign).run(campaign.positions[0], campaign.zones[0], rig)
    assert run is not None
    assert run.laid_m == 10.0 + 20.0 + 5.0


def test_no_way_leads_through_another_zone_or_to_an_end_without_routes():
    network = Network(scene())
    assert network.way("P1", "Z2", 0.0) == ()
    assert network.way("P1", "Far", 0.0) == ()
    assert network.way("P9", "Z1", 0.0) == ()
