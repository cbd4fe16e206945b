"""Whatever stands in the cells, drafts, sheets and files of keys give it back as it was."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.scenario.campaign_file import campaign_toml, read_campaign_toml
from planner.scenario.dictionary import TABLES
from planner.scenario.findings import Findings
from planner.scenario.raw import Form, RawTable, Tables
from planner.scenario.toml_patch import patched
from planner.screens.draft_content import content_of, manifest_of, packed, tables_of
from planner.workflow import sheet

pytestmark = pytest.mark.property

cells = st.text(max_size=12)
tidy_cells = cells.map(lambda text: text.strip().replace("\r", "")).filter(
    lambda text: "\x00" not in text
)
names = st.lists(st.sampled_from(["zone", "depth_mm", "a b", "=x", "é"]), unique=True, min_size=1)
keys = st.sampled_from(
    ["campaign.name", "campaign.goal", "rules.waste", "prices.rig_day.R 1", "colour", "water.kind"]
)


@st.composite
def raw_tables(draw):
    columns = tuple(draw(names))
    row = st.tuples(*(cells for _ in columns))
    return RawTable(columns=columns, rows=tuple(draw(st.lists(row, max_size=5))))


scenarios = st.builds(
    Tables,
    campaign=st.dictionaries(keys, cells, max_size=4),
    tables=st.dictionaries(
        st.sampled_from([table.name for table in TABLES]), raw_tables(), max_size=3
    ),
    form=st.sampled_from(Form),
    book=st.dictionaries(st.sampled_from(["mobilise.site", "extra.day.x"]), cells, max_size=2),
)


@given(scenarios)
def test_a_draft_gives_its_tables_back(tables):
    kept = tables_of(manifest_of(tables), packed(tables))
    assert kept == tables
    assert kept.form == tables.form
    assert list(kept.campaign) == list(tables.campaign)


@given(scenarios, scenarios)
def test_contents_are_the_same_just_where_the_tables_are(one, other):
    same = one == other and [*one.campaign] == [*other.campaign] and [*one.book] == [*other.book]
    assert (content_of(one) == content_of(other)) == same
    assert content_of(one) == content_of(replace(one, form=Form.WORKBOOK))


@given(
    raw_tables(),
    st.dictionaries(
        st.integers(0, 8),
        st.dictionaries(st.sampled_from(["zone", "depth_mm", "priority"]), tidy_cells, max_size=3),
        max_size=4,
    ),
)
def test_edits_change_the_cells_named_and_no_others(raw, edits):
    zones = next(table for table in TABLES if table.name == "zones")
    changed = sheet.with_edits(raw, zones, edits)

    def at(table, row, name):
        if row >= len(table.rows) or name not in table.columns:
            return ""
        return table.rows[row][table.columns.index(name)]

    for row in range(12):
        for name in {*raw.columns, "zone", "depth_mm", "priority"}:
            wanted = edits.get(row, {}).get(name, at(raw, row, name))
            found = at(changed, row, name)
            assert found == wanted or not wanted.strip()


@given(
    st.dictionaries(keys, tidy_cells.filter(str.isprintable), max_size=5),
    st.dictionaries(keys, tidy_cells.filter(str.isprintable), max_size=5),
)
def test_a_file_of_keys_that_is_patched_says_what_it_should_or_is_not_patched(before, after):
    text = campaign_toml(before)
    result = patched(text, after, campaign_toml)
    if result is not None:
        assert read_campaign_toml(result, file="", findings=Findings()) == after
