"""Campaigns with one more of something."""

import pytest

from planner.explain.one_more import Change, changes, with_crew, with_rig
from planner.model.card import Card
from planner.model.identifiers import CrewId, Process
from planner.model.rules import ReachBy
from planner.reach.hoses import Reach
from tests import builders as make


def by_code(campaign: object) -> dict[str, Change]:
    return {change.code: change for change in changes(campaign)}  # type: ignore[arg-type]


def test_each_kind_of_rig_and_crew_is_asked_about_once() -> None:
    campaign = make.campaign(
        rigs=(make.rig("R1", at="P1"), make.rig("R2"), make.rig("R3", rate_m3_h=9.0)),
        crews=(make.crew("C1"), make.crew("C2")),
    )
    assert list(by_code(campaign)) == [
        *("rig:R1", "rig:R3", "crew:C1", "rig:R1+crew:C1", "rig:R3+crew:C1"),
        *("room", "position", "window", "hose"),
    ]


def test_one_more_rig_is_like_the_other_but_stands_nowhere_yet() -> None:
    campaign = make.campaign(rigs=(make.rig("R1", at="P1"), make.rig("R1+")))
    more = with_rig(campaign, campaign.rigs[0]).rigs[-1]
    assert (more.rig_id, more.at, more.rate_m3_h) == ("R1++", None, 5.0)


def test_one_more_crew_holds_the_same_cards() -> None:
    card = Card(crew_id=CrewId("C1"), person="Lee", process=Process.DRY)
    campaign = make.campaign(cards=(card,))
    assert [row.crew_id for row in with_crew(campaign, campaign.crews[0]).cards] == ["C1", "C1+"]


def test_the_position_anywhere_has_no_hose_and_leaves_the_others_as_they_were() -> None:
    campaign = make.campaign(
        reach_by=ReachBy.GRID, zones=(make.zone(), make.zone("Far", x_m=900.0, z_m=4.0))
    )
    changed = by_code(campaign)["position"].campaign
    rig, more = changed.rigs[0], changed.positions[-1]
    reach, before = Reach(changed), Reach(campaign)
    for zone in changed.zones:
        hose = reach.run(more, zone, rig)
        assert hose is not None
        assert (hose.hose_m, hose.rise_m) == (0.0, 0.0)
        old = before.run(campaign.positions[0], zone, campaign.rigs[0])
        new = reach.run(changed.positions[0], zone, rig)
        assert old is not None
        assert new is not None
        assert new.hose_m == pytest.approx(old.hose_m)
    assert not before.reaches(campaign.positions[0], campaign.zones[1], campaign.rigs[0])


def test_windows_grow_by_half_an_hour_and_hoses_by_fifty_metres() -> None:
    campaign = make.campaign(zones=(make.zone(get_in_min=20), make.zone("Z2")))
    found = by_code(campaign)
    first, second = found["window"].campaign.zones
    assert (first.get_in_min, first.get_out_min) == (20 - 15, campaign.rules.get_out_min - 15)
    assert second.get_in_min == campaign.rules.get_in_min - 15
    assert found["hose"].campaign.rigs[0].hose_max_m == 100.0 + 50.0
