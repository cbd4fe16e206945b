"""Stagings side by side, and a break-even that must meet the algebra."""

from dataclasses import replace
from pathlib import Path

import pytest

from planner.estimate.crossing import break_even
from planner.estimate.staging import cheapest
from planner.scenario.reader import campaign_of
from planner.workflow.comparing import (
    How,
    base_variant,
    compare_tasks,
    curve,
    curve_tasks,
    stagings,
)
from planner.workflow.loading import Loaded, load_scenario
from planner.workflow.scaling import Axis
from planner.workflow.sweep import sweep
from planner.workflow.variants import Variant, load_variants, variant_paths
from tests.unit.scenario.scenes import ZONE, scene

WET_MIX = {
    "mix": "wet",
    "process": "wet",
    "orientation": "overhead",
    "rebound": "0",
    "layer_max_mm": "50",
    "layer_gap_min_h": "1",
    "protect_h": "1",
}
DRY_MIX = WET_MIX | {"mix": "dry", "process": "dry", "rebound": "0.5"}
RIG = {"rig": "R1", "hose_max_m": "60", "rate_m3_h": "400", "rise_factor": "1", "bend_m": "1"}


def staging(process: str, *, fixed: str, material: str) -> Variant:
    """A job of one zone of 1 m³ in which only bringing the rig and the material cost money.

    Nothing is wasted, there is no least load, and a rig is fast enough for any volume below.
    """
    tables = scene(
        {"rules.waste": "0", f"prices.material_m3.{process}": material, "campaign.goal": "cost"},
        zones=[ZONE | {"area_m2": "20", "depth_mm": "50", "volume_m3": "1"}],
        routes=[{"from": "P1", "to": "Z1", "length_m": "30"}],
        rigs=[RIG | {"process": process}],
        mixes=[DRY_MIX, WET_MIX],
    )
    tables = replace(tables, book={"mobilise.rig.R1": fixed})
    campaign, _ = campaign_of(tables)
    loaded = Loaded(campaign=campaign, warnings=(), tables=tables)
    return Variant(variant=process, name=process.capitalize(), why="", loaded=loaded)


def test_the_break_even_of_planned_jobs_is_that_of_the_algebra():
    dry = staging("dry", fixed="1000", material="450")  # half rebounds: 900 for each m³ in place
    wet = staging("wet", fixed="16000", material="600")  # nothing does: 600
    how = How(effort=0.01)
    values = (20.0, 45.0, 60.0)
    rows = sweep(curve_tasks(dry, wet, Axis.VOLUME, values, how), workers=1).rows
    made = curve(rows, dry, wet, Axis.VOLUME, ["cost"])
    assert [one.total for one in made.one] == pytest.approx([1000 + 900 * v for v in values])
    assert [one.total for one in made.other] == pytest.approx([16000 + 600 * v for v in values])
    (found,) = made.crossings
    exact = break_even(fixed_one=1000, unit_one=900, fixed_other=16000, unit_other=600)
    assert exact == 50.0
    assert found.at == pytest.approx(exact)
    assert (found.low, found.high) == (45.0, 60.0)


def test_the_best_of_several_seeds_stands_for_a_variant():
    dry = staging("dry", fixed="1000", material="450")
    rows = sweep(compare_tasks([dry], How(seeds=3, effort=0.01)), workers=1).rows
    assert len(rows) == 3
    (one,) = stagings(rows, ["cost"])
    assert one.seed == 1  # all three are the same plan


def test_a_value_that_makes_no_scenario_is_left_out():
    dry = staging("dry", fixed="0", material="1")
    wet = staging("wet", fixed="0", material="1")
    tasks = curve_tasks(dry, wet, Axis.VOLUME, (0.0, 1.0), How())
    assert {task.at for task in tasks} == {1.0}  # a zone of no volume is refused


@pytest.fixture(scope="module")
def planned(repository: Path):
    """The stagings of a demo, planned with very little effort."""

    def plan(name: str, *variants: str):
        scenario = repository / "scenarios" / name
        paths = variant_paths(scenario)
        loaded = load_scenario(scenario)
        found = load_variants(loaded, [paths[variant] for variant in variants])
        how = How(effort=0.05, goals=("cost", "finish"))
        return stagings(sweep(compare_tasks(found, how)).rows, how.goals)

    return plan


@pytest.mark.slow
@pytest.mark.timeout(300)
@pytest.mark.solver
def test_wet_mix_wins_on_the_open_slope(planned):
    found = planned("slope-face", "dry", "wet")
    assert [staging.left_out for staging in found] == [0, 0]
    best = cheapest(found)
    assert best is not None
    assert best.variant == "wet"


@pytest.mark.slow
@pytest.mark.timeout(300)
@pytest.mark.solver
def test_on_the_quay_dry_mix_beats_pumps_on_barges_but_not_trucks_on_the_deck(planned):
    barge, deck, dry = planned("quay-soffit", "wet-barge", "wet-deck", "dry")
    assert barge.left_out == deck.left_out == dry.left_out == 0
    assert dry.total < barge.total
    assert deck.total < dry.total


def test_the_scenario_as_it_stands_is_a_staging_too(repository: Path):
    loaded = load_scenario(repository / "scenarios" / "slope-face")
    assert base_variant(loaded).loaded is loaded
