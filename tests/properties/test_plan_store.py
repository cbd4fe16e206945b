"""A plan that is written and read again is the same plan."""

import tempfile
from datetime import date
from pathlib import Path

import pytest
from hypothesis import event, given
from hypothesis import strategies as st

from planner.model.identifiers import Orientation
from planner.plan.plan import Plan, RunKind, Unplanned
from planner.plan.store import read_plan, write_plan
from tests.builders import (
    break_out,
    campaign,
    clock,
    crew,
    position,
    proof,
    relocation,
    rig,
    run,
    spell,
    zone,
)

# a fortnight with the change to summer time in it
SCENE = campaign(
    clock=clock(first_day=date(2026, 3, 23), last_day=date(2026, 4, 5)),
    zones=(zone("Z1"), zone("Zone, 2")),
    positions=(position("P1"), position("P2")),
    rigs=(rig("R1"), rig('R"2')),
    crews=(crew("C1"), crew("C 2")),
)
zones = st.sampled_from(["Z1", "Zone, 2"])
positions = st.sampled_from(["P1", "P2"])
rigs = st.sampled_from(["R1", 'R"2'])
crews = st.sampled_from(["C1", "C 2"])
stretches = st.tuples(st.integers(0, 14 * 1440), st.integers(1, 1440)).map(
    lambda pair: {"start_min": pair[0], "end_min": pair[0] + pair[1]}
)
numbers = st.floats(0.0, 1e9, allow_nan=False)
words = (
    st.text(st.characters(codec="utf-8", exclude_characters="\0"), min_size=1)
    .map(str.strip)
    .filter(bool)
)


def rows(build, **fields):
    """Up to four rows; the name of a run goes in front."""

    def row(part, when):
        named = {key: value for key, value in part.items() if key != "name"}
        return build(*([part["name"]] if "name" in part else []), **named, **when)

    return st.lists(st.builds(row, st.fixed_dictionaries(fields), stretches), max_size=4).map(
        tuple
    )


spells = rows(
    spell,
    name=words,
    rig=rigs,
    crew=crews,
    position=positions,
    zone=zones,
    layer=st.integers(1, 9),
    volume_m3=numbers,
    hose_m=numbers,
    hose_laid_m=numbers,
)
runs = rows(
    run,
    name=words,
    rig=rigs,
    crew=crews,
    position=positions,
    kind=st.sampled_from(RunKind),
    orientation=st.none() | st.sampled_from(Orientation),
)
plans = st.builds(
    Plan,
    spells=spells,
    runs=runs,
    relocations=rows(
        relocation,
        rig=rigs,
        crew=st.none() | crews,
        from_position=positions,
        to_position=positions,
    ),
    break_outs=rows(break_out, crew=crews, zone=zones, volume_m3=numbers),
    unplanned=st.lists(st.builds(Unplanned, zone=zones, reason=words), max_size=3).map(tuple),
)


@pytest.mark.property
@given(plans)
def test_writing_and_reading_a_plan_is_the_identity(plan):
    event(f"kinds of rows={sum(map(bool, (plan.spells, plan.runs, plan.relocations)))}")
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place) / "plan"
        write_plan(folder, SCENE, plan, proof(), "0.1.0")
        assert read_plan(folder, SCENE)[0] == plan
        first = {path.name: path.read_bytes() for path in folder.iterdir()}
        write_plan(folder, SCENE, plan, proof(), "0.1.0")
        assert {path.name: path.read_bytes() for path in folder.iterdir()} == first
