"""The steps from tables to a checked plan folder, on the smallest scene."""

from dataclasses import replace
from pathlib import Path

import pytest

from planner.model.identifiers import Goal, ZoneId
from planner.optimise.engine import Settings
from planner.plan.plan import Plan
from planner.plan.search_log import read_search
from planner.workflow.checking import check_folder
from planner.workflow.demos import demos
from planner.workflow.listing import reach_rows, windows_rows
from planner.workflow.loading import Loaded, load_scenario, with_goals
from planner.workflow.planning import (
    PlannerFaultError,
    closing_s,
    plan_scenario,
    write_faulty,
    write_result,
)
from tests import builders

SETTINGS = Settings(seconds=10.0)


@pytest.fixture
def loaded() -> Loaded:
    """One zone, one rig, one position; the only goal is proven at once."""
    demo = load_scenario(demos()["silo-rings"])
    return with_goals(replace(demo, campaign=builders.campaign()), (Goal.FINISH,))


def test_a_scenario_is_loaded_with_its_warnings_and_its_text() -> None:
    loaded = load_scenario(demos()["silo-rings"])
    assert len(loaded.campaign.zones) == 56
    assert len(loaded.tables.tables["zones"].rows) == 56
    assert loaded.warnings == ()


def test_other_goals_are_strict_and_leave_the_fingerprint() -> None:
    loaded = load_scenario(demos()["silo-rings"])
    other = with_goals(loaded, (Goal.COST, Goal.LATE))
    assert (other.campaign.goals, other.campaign.may_worsen) == ((Goal.COST, Goal.LATE), (0.0,))
    assert loaded.campaign.may_worsen == (0.03, 0.0)
    assert other.campaign.fingerprint == loaded.campaign.fingerprint


@pytest.mark.solver
def test_a_plan_is_checked_written_and_found_valid_again(loaded: Loaded, tmp_path: Path) -> None:
    planned = plan_scenario(loaded, SETTINGS)
    assert planned.violations == ()
    write_result(loaded, planned, tmp_path / "plan", version="9")
    checked = check_folder(loaded, tmp_path / "plan")
    assert checked.violations == ()
    assert checked.plan == planned.plan
    assert checked.summary["version"] == "9"
    assert checked.same_scenario


def written(loaded: Loaded, folder: Path) -> dict[str, str]:
    """Plan, write, and return every file; summary.json without its seconds."""
    planned = plan_scenario(loaded, Settings(seconds=60.0, effort=0.2))
    write_result(loaded, planned, folder, version="9")
    files = {path.name: path.read_text(encoding="utf-8") for path in folder.iterdir()}
    kept = [row for row in files["summary.json"].splitlines() if '"seconds"' not in row]
    assert len(kept) == len(files["summary.json"].splitlines()) - 1
    return files | {"summary.json": "\n".join(kept)}


@pytest.fixture
def rows_of_zones(loaded: Loaded) -> Loaded:
    """Eight zones of two layers in two groups, each with a position; two rigs, two crews."""
    zones = tuple(
        builders.zone(f"Z{k}", x_m=10.0 * k + (300.0 if k > 4 else 0.0), depth_mm=110.0 + 5 * k)
        for k in range(1, 9)
    )
    campaign = builders.campaign(
        zones=zones,
        positions=(builders.position("P1"), builders.position("P2", x_m=370.0)),
        rigs=(builders.rig("R1"), builders.rig("R2", rate_m3_h=4.0, at="P1")),
        crews=(builders.crew("C1"), builders.crew("C2")),
        goals=(Goal.FINISH, Goal.RELOCATIONS, Goal.COST),
        may_worsen=(0.0, 0.0),
    )
    return replace(loaded, campaign=campaign)


@pytest.mark.solver
def test_plan_folders_are_the_same_byte_for_byte_but_for_the_seconds(
    rows_of_zones: Loaded, tmp_path: Path
) -> None:
    one = written(rows_of_zones, tmp_path / "one")
    other = written(rows_of_zones, tmp_path / "other")
    courses = [
        [(step.goal, step.value, step.bound) for step in read_search(tmp_path / name)]
        for name in ("one", "other")
    ]
    assert len(courses[0]) > 2
    assert courses[0] == courses[1]
    assert one.pop("search.csv")
    assert other.pop("search.csv")
    assert one == other


@pytest.mark.solver
def test_the_search_ends_with_the_values_and_bounds_of_the_plan(loaded: Loaded) -> None:
    planned = plan_scenario(loaded, SETTINGS)
    last = planned.search[-1]
    assert last.goal == Goal.FINISH
    assert last.value == pytest.approx(planned.proof.bound[Goal.FINISH], abs=1e-6)  # proven


@pytest.mark.solver
def test_a_plan_that_breaks_a_rule_is_never_written_as_a_plan(
    loaded: Loaded, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    planned = plan_scenario(loaded, SETTINGS)
    monkeypatch.setattr(
        "planner.workflow.planning.optimise", lambda *_, **__: (Plan(), planned.proof)
    )
    careless = plan_scenario(loaded, SETTINGS)  # neither planned nor given a reason
    assert careless.violations
    with pytest.raises(PlannerFaultError):
        write_result(loaded, careless, tmp_path / "plan", version="9")
    assert not (tmp_path / "plan").exists()
    write_faulty(loaded, careless, tmp_path / "plan.faulty", version="9")
    assert (tmp_path / "plan.faulty" / "summary.json").exists()


def test_the_time_kept_back_for_the_end_grows_with_the_zones() -> None:
    few, many = builders.campaign(), builders.campaign()
    many = replace(many, zones=tuple(builders.zone(f"Z{k}") for k in range(1000)))
    assert 0 < closing_s(few) < closing_s(many) < 10


def test_windows_are_listed_in_local_time_for_one_zone_or_for_all() -> None:
    campaign = builders.campaign(zones=(builders.zone("A"), builders.zone("B")))
    rows = list(windows_rows(campaign))
    assert [row.zone for row in rows] == ["A", "B"]
    assert rows[0].start == "2026-03-02T00:00:00+00:00"
    assert rows[0].minutes == 14 * 24 * 60
    assert [row.zone for row in windows_rows(campaign, ZoneId("B"))] == ["B"]


def test_reach_lists_hose_and_rate_of_each_mix_that_goes() -> None:
    rows = list(reach_rows(builders.campaign()))
    assert [(row.position, row.zone) for row in rows] == [("P1", "Z1")]
    row = rows[0]
    assert row.hose_m == pytest.approx(10.0 * builders.campaign().reach_slack)
    assert row.hose_laid_m == row.hose_m  # the builders' dry rig has no metres for rise or bends


def test_a_zone_out_of_reach_is_not_listed() -> None:
    far = builders.zone("Far", x_m=1e4)
    assert list(reach_rows(builders.campaign(zones=(far,)))) == []
