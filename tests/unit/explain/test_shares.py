"""Where the rigs' time goes: every minute once, in small scenes with sums done by hand."""

from planner.explain.cause import CauseKind
from planner.explain.ground import Ground
from planner.explain.shares import Share, share_of, shares
from planner.model.identifiers import CrewId, PositionId, RigId, ZoneId
from planner.plan.plan import Plan
from tests import builders as make

R1, R2 = RigId("R1"), RigId("R2")


def minutes(ground: Ground, rig: RigId = R1) -> dict[Share, int]:
    return {row.share: row.minutes for row in shares(ground) if row.rig == rig}


def test_one_run_is_split_into_its_parts_and_the_night_before_it() -> None:
    ground = Ground(make.campaign(), Plan(runs=(make.run(),), spells=(make.spell(),)))
    assert minutes(ground) == {
        Share.SPRAYING: 66,
        Share.START_AND_CLEAN: 20 + 15,
        Share.CHANGES: 10,
        Share.SHIFT: 360,  # 00:00 to 06:00
    }
    assert {row.whole_min for row in shares(ground)} == {471}


def test_each_rig_has_the_time_to_the_end_of_the_last_run_of_any() -> None:
    campaign = make.campaign(
        zones=(make.zone(), make.zone("Z2")),
        rigs=(make.rig(), make.rig("R2")),
        crews=(make.crew(), make.crew("C2")),
    )
    second = {"rig": R2, "crew": CrewId("C2")}
    plan = Plan(
        runs=(make.run(), make.run("2", start_min=460, end_min=571, **second)),
        spells=(
            make.spell(),
            make.spell("2", zone=ZoneId("Z2"), start_min=490, end_min=556, **second),
        ),
    )
    ground = Ground(campaign, plan)
    assert sum(minutes(ground, R1).values()) == sum(minutes(ground, R2).values()) == 571
    # R1 could still spray Z2, but not in the 100 min that are left: that takes 111
    assert minutes(ground, R1)[Share.TOO_SHORT] == 571 - 471
    assert minutes(ground, R2)[Share.SHIFT] == 360


def test_relocations_waits_in_a_run_and_unused_rigs_have_shares_of_their_own() -> None:
    campaign = make.campaign(
        zones=(make.zone(), make.zone("Z2", x_m=300.0)),
        positions=(make.position(), make.position("P2", x_m=300.0)),
        rigs=(make.rig(), make.rig("R2")),
    )
    there = {"position": PositionId("P2")}
    plan = Plan(
        runs=(make.run(), make.run("2", start_min=540, end_min=660, **there)),
        spells=(
            make.spell(),
            # start-up to 560, then 9 min of waiting, 10 min of change
            make.spell("2", zone=ZoneId("Z2"), start_min=579, end_min=645, **there),
        ),
        relocations=(make.relocation(),),
    )
    found = minutes(Ground(campaign, plan))
    assert found[Share.RELOCATIONS] == 60
    assert found[Share.IN_RUN] == 9
    assert sum(found.values()) == 660
    assert Share.SPRAYING not in minutes(Ground(campaign, plan), R2)
    assert sum(minutes(Ground(campaign, plan), R2).values()) == 660


def test_without_a_plan_there_is_nothing_to_share_out() -> None:
    assert shares(Ground(make.campaign(), Plan())) == ()


def test_every_cause_has_a_share_and_waiting_for_others_takes_the_rest() -> None:
    assert share_of(CauseKind.WINDOW) is Share.WATER
    assert share_of(CauseKind.LAYER_GAP) is Share.LAYERS
    waiting = {kind for kind in CauseKind if share_of(kind) is Share.OTHER_WORK}
    assert {CauseKind.AFTER, CauseKind.BREAK_OUT, CauseKind.READY, CauseKind.RESOURCE} <= waiting
    assert not waiting & {CauseKind.SPELL, CauseKind.RELOCATION, CauseKind.SHIFT}
