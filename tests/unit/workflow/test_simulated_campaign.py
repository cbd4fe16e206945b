"""A campaign that is worked week by week with losses, recorded, re-planned and issued.

What is really sprayed is drawn from a seeded generator: a spell may be lost, cut short, or done.
A week is what the plan asks for in the seven days from the latest record on.
"""

from pathlib import Path

import numpy as np
import pytest

from planner.optimise.engine import Settings
from planner.trade.faces import faces_for
from planner.trade.remaining import remaining_layers
from planner.workflow.issuing import issue_plan, issued_plans
from planner.workflow.loading import load_scenario
from planner.workflow.planning import plan_scenario, write_result
from planner.workflow.site import Writer, export, journal_of, record, standing

WEEK_MIN = 7 * 24 * 60
TABLES = {
    "campaign.toml": """[campaign]
name = "Twelve weeks"
start = 2026-03-02
end = 2026-06-12
time_zone = "Europe/London"
goal = ["finish", "relocations"]
[water]
kind = "none"
[reach]
by = "grid"
""",
    "positions.csv": "position,x_m,y_m,z_m\nWest,0,0,0\nEast,60,0,0\n",
    "rigs.csv": "rig,process,hose_max_m,rate_m3_h,start_up_min,clean_up_min,move_min\n"
    "R1,dry,50,3,15,15,60\n",
    "crews.csv": "crew,kind,shift\nAsh,spray,short\n",
    "shifts.csv": "shift,days,start,end\nshort,Mon;Tue;Wed,08:00,11:30\n",
    "mixes.csv": "mix,process,orientation,rebound,layer_max_mm,layer_gap_min_h,protect_h\n"
    "lean,dry,vertical,0.25,60,12,0\n",
}


def scenario(folder: Path, zones: int) -> Path:
    folder.mkdir()
    rows = ["zone,x_m,y_m,z_m,area_m2,depth_mm,orientation,joint_allowed"]
    rows += [f"Z{k:02d},{k * 60 / zones:.1f},4,2,16,100,vertical,yes" for k in range(zones)]
    for name, text in {**TABLES, "zones.csv": "\n".join(rows) + "\n"}.items():
        (folder / name).write_text(text, encoding="utf-8")
    return folder


def work_a_week(folder, loaded, plan, week, draw):
    """Record what was sprayed of the plan's spells of a week; return how many entries."""
    clock, written = loaded.campaign.clock, 0
    begin = loaded.campaign.start_min  # a plan begins at the latest record
    spells = [s for s in plan.spells if s.start_min < begin + WEEK_MIN]
    for spell in sorted(spells, key=lambda row: row.start_min):
        luck = draw.uniform()
        cells = {"crew": "Ash", "stop": clock.text(spell.end_min)}
        if luck < 0.15:  # the shift is lost
            cells |= {"lost_min": "60", "lost_reason": "weather"}
        else:
            share = 1.0 if luck < 0.7 else float(draw.uniform(0.4, 0.9))
            cells |= {
                "zone": str(spell.zone),
                "layer": str(spell.layer),
                "placed_m3": f"{share * spell.volume_m3:.6f}",
                "start": clock.text(spell.start_min),
                "rig": str(spell.rig),
                "position": str(spell.position),
            }
        writer = Writer(by="Ann", at=clock.local(spell.end_min), token=f"{week}-{written}")
        record(folder, loaded.campaign, cells, writer)
        written += 1
    return written


def run(folder, zones, weeks, seed):
    """Plan, issue, work, record and carry over until nothing is left; return the weeks it took."""
    folder = scenario(folder, zones)
    draw, entries = np.random.default_rng(seed), 0
    for week in range(weeks):
        loaded = load_scenario(folder)
        planned = plan_scenario(loaded, Settings(effort=0.5, seconds=30.0))
        assert planned.violations == ()
        assert planned.plan.unplanned == ()
        write_result(loaded, planned, folder / "plan", version="0")
        writer = Writer(by="Bo", at=loaded.campaign.clock.local(week * WEEK_MIN), token="")
        issue_plan(folder, loaded, folder / "plan", writer, note=f"week {week}")
        entries += work_a_week(folder, loaded, planned.plan, week, draw)
        assert len(journal_of(folder).stored()) == entries
        if entries:
            export(folder, load_scenario(folder), replace_rows=False)
        if left_m3(folder) < 1e-3 * zones:
            assert len(issued_plans(folder)) == week + 1
            return week + 1
    return None


def left_m3(folder):
    campaign = load_scenario(folder).campaign
    return sum(
        layer.volume_m3
        for zone in campaign.zones
        for face in faces_for(campaign, zone).values()
        for layer in remaining_layers(campaign, zone, face)
    )


def test_a_short_campaign_with_losses_is_finished_by_plans_that_keep_every_rule(tmp_path):
    weeks = run(tmp_path / "s", zones=8, weeks=8, seed=3)
    assert weeks is not None
    assert weeks > 1
    found = standing(tmp_path / "s", load_scenario(tmp_path / "s").campaign, None)
    assert found.learnt.rate.count > 5
    assert (found.learnt.loss.raw or 0.0) > 0.0


@pytest.mark.slow
@pytest.mark.timeout(400)
def test_twelve_weeks_with_losses_end_with_every_zone_done(tmp_path):
    weeks = run(tmp_path / "s", zones=26, weeks=14, seed=12)
    assert weeks is not None
    assert weeks >= 8
