"""The built-in mixes lie inside the published ranges and leave open what nobody published."""

import pytest

from planner.model.identifiers import Orientation, Process
from planner.scenario.builtin_mixes import BUILT_IN_FACES, BUILT_IN_MIXES
from tests.unit.scenario.scenes import MIX, read, scene

# Rebound by orientation as quoted from ACI 506R (dry: older ranges; wet: from memory).
RANGES = {
    (Process.DRY, Orientation.FLOOR): (0.05, 0.15),
    (Process.DRY, Orientation.VERTICAL): (0.15, 0.30),
    (Process.DRY, Orientation.OVERHEAD): (0.25, 0.50),
    (Process.WET, Orientation.FLOOR): (0.0, 0.05),
    (Process.WET, Orientation.VERTICAL): (0.05, 0.10),
    (Process.WET, Orientation.OVERHEAD): (0.10, 0.20),
}


def test_there_is_a_dry_and_a_wet_mix_for_every_orientation():
    assert {(face.process, face.orientation) for face in BUILT_IN_MIXES} == set(RANGES)
    assert {face.mix_id for face in BUILT_IN_MIXES} == {"dry", "wet"}
    assert all(str(face.mix_id) == face.process.value for face in BUILT_IN_MIXES)


@pytest.mark.parametrize("face", BUILT_IN_MIXES, ids=lambda f: f"{f.mix_id}-{f.orientation}")
def test_rebound_lies_inside_the_published_range(face):
    low, high = RANGES[face.process, face.orientation]
    assert low <= face.rebound <= high


@pytest.mark.parametrize("face", BUILT_IN_MIXES, ids=lambda f: f"{f.mix_id}-{f.orientation}")
def test_nothing_is_said_of_layer_gaps_and_protection(face):
    assert (face.layer_gap_min_h, face.layer_gap_max_h, face.protect_h) == (None, None, None)


def test_every_value_has_its_source_beside_it():
    for entry in BUILT_IN_FACES:
        assert "ACI 506" in entry.rebound_source
        assert entry.layer_source
        assert entry.rest_source


def test_overhead_layers_are_thinner_than_vertical_ones():
    by_face = {face.orientation: face.layer_max_mm for face in BUILT_IN_MIXES}
    # published: 25 to 50 mm overhead, up to 100 or 150 mm on a wall
    assert 25 <= by_face[Orientation.OVERHEAD] <= 50
    assert 100 <= by_face[Orientation.VERTICAL] <= 150


def test_the_mixes_of_the_scenario_replace_them():
    assert read(scene()).mixes == BUILT_IN_MIXES
    own = read(scene(mixes=[MIX])).mixes
    assert [(face.mix_id, face.rebound) for face in own] == [("dry", 0.35)]
