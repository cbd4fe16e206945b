"""The random campaigns use every rule often enough to mean something, and are real campaigns."""

from collections import Counter
from collections.abc import Iterator

import pytest

from planner.model.campaign import Campaign
from planner.model.identifiers import CrewKind, Goal
from planner.model.limits import ApartKind, ClosureScope
from planner.model.water import WaterKind
from tests.properties.campaigns import drawn, drawn_on_grid
from tests.properties.luck import seeded

SEEDS = range(400)
OFTEN = 8


def features(campaign: Campaign) -> Iterator[str]:
    """Name what is in a campaign."""
    yield from (f"goal {goal}" for goal in campaign.goals)
    yield from {f"closure {closure.scope}" for closure in campaign.closures}
    yield from {f"apart {pair.kind}" for pair in campaign.apart}
    yield from (name for name, on in switches(campaign).items() if on)


def switches(campaign: Campaign) -> dict[str, bool]:
    """Return what is switched on in a campaign, and what is not."""
    rules, prices = campaign.rules, campaign.prices
    return {
        "may_worsen": any(campaign.may_worsen),
        "open limits": bool(campaign.open_limits),
        "gang": rules.relocation_shift is not None,
        "panels": rules.panel_days > 0,
        "hold": rules.strength_hold_h > 0,
        "prepare": rules.prepare_min_h > 0,
        "max open": rules.max_open_days is not None,
        "break-out": campaign.plans_break_out,
        "daily closures": any(c.start_tod is not None for c in campaign.closures),
        "loads": bool(prices.load_min_m3),
        "two spray crews": sum(c.kind is CrewKind.SPRAY for c in campaign.crews) == 2,
        "duties": any(c.duty_max_min is not None for c in campaign.crews),
        "two rigs": len(campaign.rigs) == 2,
        "idle": any(r.idle_max_min is not None for r in campaign.rigs),
        "at": any(r.at is not None for r in campaign.rigs),
        "joints": any(z.joint_allowed for z in campaign.zones),
        "after": any(z.after for z in campaign.zones),
        "ready": any(z.ready_from_min for z in campaign.zones),
        "due": any(z.due_min for z in campaign.zones),
        "priorities": len({z.priority for z in campaign.zones}) == 2,
        "layers": any(z.depth_mm == 100.0 for z in campaign.zones),
        "floats": any(z.water_min_m is not None for z in campaign.zones),
        "wetting": any(z.wets_at_m is not None for z in campaign.zones),
        "two mixes": len({face.mix_id for face in campaign.mixes}) > 1,
        "greatest gap": any(face.layer_gap_max_h is not None for face in campaign.mixes),
        "trimming": any(face.finish_min_m2 for face in campaign.mixes),
    }


@pytest.mark.parametrize("make", [drawn, drawn_on_grid])
def test_every_rule_is_switched_on_in_some_of_the_campaigns(make):
    seen = Counter(name for seed in SEEDS for name in features(make(seeded(seed))))
    wanted = {f"closure {scope}" for scope in ClosureScope} | {f"apart {k}" for k in ApartKind}
    wanted |= {f"goal {goal}" for goal in Goal} | {*switches(make(seeded(0)))}
    assert {name: seen[name] for name in wanted if seen[name] < OFTEN} == {}


def test_free_campaigns_draw_every_kind_of_water():
    seen = {drawn(seeded(seed)).water.kind for seed in SEEDS}
    assert seen == set(WaterKind)


@pytest.mark.parametrize("make", [drawn, drawn_on_grid])
def test_the_same_seed_draws_the_same_campaign(make):
    assert make(seeded(5)) == make(seeded(5))
    assert make(seeded(5)) != make(seeded(6))
