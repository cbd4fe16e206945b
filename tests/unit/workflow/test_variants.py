"""Variants: small files of changes, put into a scenario and checked as a scenario is."""

from pathlib import Path

import pytest

from planner.core.problems import InputRefusedError
from planner.scenario.findings import Findings
from planner.scenario.writer import write_folder
from planner.workflow.loading import load_scenario
from planner.workflow.variant_file import variant_of
from planner.workflow.variants import changed, load_variants, variant_paths
from tests.unit.scenario.scenes import scene

CLOSED = {"scope": "rig", "id": "R1", "from": "2027-04-06", "to": "2027-04-06"}


@pytest.fixture
def loaded(tmp_path):
    keys = {"prices.rig_day.R1": "50", "rules.waste": "0.04"}
    write_folder(scene(keys, closures=[CLOSED]), tmp_path / "s")
    (tmp_path / "s" / "prices.toml").write_text("[mobilise.rig]\nR1 = 900\n", encoding="utf-8")
    return load_scenario(tmp_path / "s")


def variant(loaded, text):
    findings = Findings()
    file = variant_of(text, variant="try", file="variants/try.toml", findings=findings)
    findings.raise_errors()
    assert file is not None
    return changed(loaded, file)


def refused(loaded, text):
    with pytest.raises(InputRefusedError) as refusal:
        variant(loaded, text)
    return [problem.line() for problem in refusal.value.problems]


def test_a_cell_a_pattern_of_rows_and_a_key_are_changed(loaded):
    made = variant(
        loaded,
        'name = "Longer hose"\n[change.rigs.R1]\nhose_max_m = 75.5\n'
        '[change.zones."Z*"]\njoint_allowed = true\n[keys]\n"rules.waste" = 0.05\n',
    )
    campaign = made.loaded.campaign
    assert made.name == "Longer hose"
    assert campaign.rigs[0].hose_max_m == 75.5
    assert [zone.joint_allowed for zone in campaign.zones] == [True, True]
    assert campaign.rules.waste == 0.05


def test_an_empty_text_takes_a_key_away(loaded):
    assert variant(loaded, '[keys]\n"rules.waste" = ""\n').loaded.campaign.rules.waste == 0.03


def test_a_row_is_added_like_one_that_stands(loaded):
    made = variant(
        loaded,
        '[[add.rigs]]\nlike = "R1"\nrig = "R2"\nrate_m3_h = 6\n'
        "[keys.prices.rig_day]\nR2 = 70\n[book.mobilise.rig]\nR2 = 10\n",
    )
    first, second = made.loaded.campaign.rigs
    assert (second.rig_id, second.rate_m3_h, second.hose_max_m) == ("R2", 6.0, first.hose_max_m)
    assert made.loaded.campaign.prices.rig_day == {"R1": 50.0, "R2": 70.0}
    assert made.loaded.tables.book["mobilise.rig.R2"] == "10"


def test_a_row_that_goes_takes_its_prices_and_closures_with_it(loaded):
    made = variant(
        loaded,
        '[drop]\nrigs = ["R1"]\n[[add.rigs]]\nrig = "R2"\nprocess = "dry"\n'
        "hose_max_m = 60\nrate_m3_h = 4\n",
    )
    assert [rig.rig_id for rig in made.loaded.campaign.rigs] == ["R2"]
    assert made.loaded.campaign.prices.rig_day == {}
    assert made.loaded.campaign.closures == ()
    assert made.loaded.tables.book == {}


def test_rows_of_a_table_without_a_key_are_named_by_their_number(loaded):
    made = variant(loaded, "[drop]\nclosures = [2]\n")
    assert made.loaded.campaign.closures == ()


def test_a_leg_of_hose_is_named_by_its_ends(loaded):
    made = variant(loaded, '[change.routes."P1/Z2"]\nlength_m = 44\n')
    assert [route.length_m for route in made.loaded.campaign.routes] == [30.0, 44.0]


def test_the_scenario_itself_stays_as_it_was(loaded):
    before = loaded.tables
    variant(loaded, "[change.rigs.R1]\nhose_max_m = 75\n")
    assert loaded.tables == before
    assert loaded.campaign.rigs[0].hose_max_m == 60.0


@pytest.mark.parametrize(
    ("text", "line"),
    [
        (
            "[change.rigs.R2]\nhose_max_m = 7\n",
            "variants/try.toml:2:change.rigs.R2: there is no row R2 in rigs.csv; did you mean",
        ),
        (
            "[change.rigs.R1]\nhose_max = 7\n",
            "variants/try.toml:2:change.rigs.R1.hose_max: rigs.csv has no column hose_max; did",
        ),
        (
            "[change.rig.R1]\nhose_max_m = 7\n",
            'variants/try.toml:1:change.rig: there is no such table; did you mean "rigs"?',
        ),
        (
            '[change.rigs.R1]\n# longer\nhose_max_m = "long"\n',
            'variants/try.toml:3:rigs.R1.hose_max_m: "long" is not a plain number;',
        ),
        (
            '[[add.rigs]]\nlike = "R1"\nrig = "R2"\nprocess = "damp"\n',
            'variants/try.toml:4:rigs.R2.process: "damp" is not one of dry, wet',
        ),
        (
            '[keys]\n"rules.waste" = 3\n',
            "variants/try.toml:2:keys.rules.waste: 3 is above",
        ),
        (
            "[book.mobilise.rig]\nR7 = 3\n",
            "variants/try.toml:2:book.mobilise.rig.R7: R7 is not in rigs.csv",
        ),
        (
            '[drop]\ncrews = ["A"]\n',
            "variants/try.toml: crews.csv:",
        ),
        (
            "changes = 1\n",
            'variants/try.toml:1:changes: there is no such part; did you mean "change"?',
        ),
        ('[drop]\nrigs = "R1"\n', "variants/try.toml:2:drop.rigs: write the rows as a list"),
        ("[change]\nrigs = 3\n", "variants/try.toml:2:change.rigs: write [change.rigs.ROW]"),
        ("[add]\nrigs = 3\n", "variants/try.toml:2:add.rigs: write [[add.rigs]]"),
        ("name = \n", "variants/try.toml:1:: not a TOML file: Invalid value"),
        ("[change.rigs.R1]\nrig = {a = 1}\n", "variants/try.toml:2:change.rigs.R1.rig: is not a"),
    ],
)
def test_a_change_that_does_not_fit_is_refused_at_its_line(loaded, text, line):
    assert refused(loaded, text)[0].startswith(line)


def test_every_problem_of_every_variant_is_told_in_one_go(loaded, tmp_path):
    folder = tmp_path / "s" / "variants"
    folder.mkdir()
    (folder / "a.toml").write_text("[change.rigs.R9]\nhose_max_m = 1\n", encoding="utf-8")
    (folder / "b.toml").write_text("[change.crews.Z]\nshift = 1\n", encoding="utf-8")
    (folder / "a-2.toml").write_text("[keys]\n", encoding="utf-8")
    paths = variant_paths(tmp_path / "s")
    assert list(paths) == ["a", "a-2", "b"]
    with pytest.raises(InputRefusedError) as refusal:
        load_variants(loaded, paths.values())
    assert [problem.file for problem in refusal.value.problems] == [
        "variants/a.toml",
        "variants/b.toml",
    ]


@pytest.mark.parametrize("name", ["quay-soffit", "slope-face"])
def test_the_variants_of_the_demos_fit_their_scenarios(repository: Path, name):
    scenario = repository / "scenarios" / name
    found = load_variants(load_scenario(scenario), variant_paths(scenario).values())
    assert {one.variant for one in found} >= {"dry"}
    assert all(not one.loaded.warnings for one in found)
