"""The workbook of a plan, read back by openpyxl."""

from datetime import datetime
from io import BytesIO

import openpyxl

from planner.model.identifiers import ZoneId
from planner.plan import measures
from planner.plan.plan import Plan
from planner.reports.plan_book import plan_workbook
from planner.reports.sheets.ground import SheetGround
from tests import builders as make
from tests.unit.reports.plans import two_rigs, two_rigs_plan


def book(ground=None):
    made = ground or SheetGround(two_rigs(), two_rigs_plan())
    return openpyxl.load_workbook(BytesIO(plan_workbook(made)))


def rows(sheet):
    head, *rest = sheet.iter_rows(values_only=True)
    return [dict(zip(head, row, strict=True)) for row in rest]


def test_every_row_of_the_plan_is_there_with_real_times_and_numbers():
    found = book()
    spells = rows(found["Spells"])
    assert len(spells) == 4
    first = spells[0]
    assert first["start"] == datetime(2026, 3, 2, 6, 30)  # noqa: DTZ001 - wall clock
    assert (first["zone"], first["volume_m3"], first["minutes"]) == ("Z1", 2.2, 66)
    assert len(rows(found["Runs"])) == 4
    assert rows(found["Relocations"])[0]["to"] == "P2"
    assert rows(found["Left out"]) == [{"zone": "north-Z4", "reason": "No time is left."}]


def test_the_cost_sheet_adds_up_to_the_cost():
    found = book()
    whole = sum(row["money"] for row in rows(found["Cost"]))
    assert round(whole, 2) == round(measures.cost(two_rigs(), two_rigs_plan()), 2)


def test_heads_are_frozen_and_filtered_and_the_same_plan_gives_the_same_bytes():
    ground = SheetGround(two_rigs(), two_rigs_plan())
    sheet = book(ground)["Spells"]
    assert sheet.freeze_panes == "A2"
    assert sheet.auto_filter.ref.startswith("A1:")
    assert plan_workbook(ground) == plan_workbook(ground)


def test_nothing_of_a_scenario_runs_as_a_formula():
    name = ZoneId('=HYPERLINK("http://x","y")')
    campaign = make.campaign(zones=(make.zone(name),), name="=1+1")
    plan = Plan(runs=(make.run(),), spells=(make.spell(zone=name),))
    found = book(SheetGround(campaign, plan))
    cell = found["Spells"]["D2"]
    assert (cell.data_type, cell.value) == ("s", name)
    assert found["Summary"]["B2"].data_type == "s"
    assert all(
        cell.data_type != "f" for sheet in found for row in sheet.iter_rows() for cell in row
    )
