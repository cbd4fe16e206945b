"""Frames for the page on equipment say what the rows say."""

import pytest

from planner.model.machines import MACHINES
from planner.workflow import equipment_frames as frames
from planner.workflow.equipment import equipment
from planner.workflow.equipment_rows import SHORT_HEADING
from tests.builders import campaign, rig
from tests.unit.trade.sites import sewer


def test_every_heading_has_its_words():
    assert set(frames.HEADINGS) == set(SHORT_HEADING)


def test_lines_and_advice_stand_in_rows():
    rows = equipment(sewer())
    lines = frames.equipment_frame(rows)
    assert list(lines["Hardest zone"]) == ["S50"]
    assert list(lines["Fresh air (m³/min)"]) == [57]
    advice = frames.advice_frame(rows)
    assert set(advice["Rows"]) == {"1"}
    assert advice["Advice"].str.contains("booster").sum() == 1


def test_a_row_tells_value_how_and_source_of_each_number():
    (row,) = equipment(sewer())
    why = frames.why_frame(row).set_index("Number")
    # 310.264 + 2.262 x (50 - 30.48) = 354.42 kPa
    assert why["Value"]["gun_kpa"] == "354.42 kPa"
    assert "from laid_m = 50 (routes of the scenario)" in why["How"]["gun_kpa"]
    assert why["Source"]["gun_kpa"].endswith("long lines are tried before the campaign")
    assert why["Value"]["zones"] == "3"


def test_a_rig_that_reaches_nothing_tells_no_number():
    (row,) = equipment(campaign(rigs=(rig(hose_max_m=1.0),)))
    assert len(frames.why_frame(row)) == 0


@pytest.mark.parametrize("kind", MACHINES, ids=lambda kind: kind.type_id)
def test_every_kind_has_its_title_its_words_and_its_values(kind):
    assert frames.kinds()[kind.type_id].lower() == kind.title
    words = frames.kind_words(kind.type_id)
    assert ("batch by batch." in words[-16:]) == kind.intermittent
    frame = frames.kind_frame(kind.type_id)
    assert len(frame) == len(kind.spans)
    assert frame["Source"].str.len().min() > 10
