"""A scenario goes back to its folder whole, with the comments of files that did not change."""

import shutil

import pytest

from planner.scenario.raw import RawTable
from planner.scenario.tables import read_tables
from planner.workflow.demos import demos
from planner.workflow.editing import with_keys, with_table
from planner.workflow.saving import scenario_workbook, scenario_zip, workbook_problem, write_back


@pytest.fixture
def site(tmp_path):
    shutil.copytree(demos()["silo-rings"], tmp_path / "site")
    return tmp_path / "site"


def test_an_unchanged_file_stays_byte_for_byte(site):
    tables = read_tables(site)
    before = {path.name: path.read_bytes() for path in site.iterdir() if path.is_file()}
    write_back(tables, site)
    assert {p.name: p.read_bytes() for p in site.iterdir() if p.is_file()} == before


def test_a_changed_table_leaves_the_comments_of_the_campaign(site):
    shifts = RawTable(columns=("shift", "days", "start", "end"), rows=(("s", "Mon", "6:00", ""),))
    changed = with_table(read_tables(site), "shifts", shifts)
    write_back(changed, site)
    assert read_tables(site) == changed
    assert "# " in (site / "campaign.toml").read_text(encoding="utf-8")


def test_a_removed_table_is_gone_and_strange_files_stay(site):
    (site / "notes.txt").write_text("mine")
    write_back(with_table(read_tables(site), "apart", None), site)
    assert not (site / "apart.csv").exists()
    assert (site / "notes.txt").read_text() == "mine"


def test_a_changed_key_is_written(site):
    changed = with_keys(read_tables(site), {"rules.get_in_min": "25"})
    write_back(changed, site)
    assert read_tables(site).campaign["rules.get_in_min"] == "25"


def test_a_path_that_is_a_workbook_becomes_one(site, tmp_path):
    tables = read_tables(site)
    write_back(tables, tmp_path / "out.xlsx")
    assert read_tables(tmp_path / "out.xlsx") == tables


def test_the_same_tables_give_the_same_bytes(site):
    tables = read_tables(site)
    assert scenario_zip(tables, "a") == scenario_zip(tables, "a")
    assert scenario_workbook(tables) == scenario_workbook(tables)


def test_a_text_that_a_workbook_would_lose_is_told(site):
    tables = read_tables(site)
    assert workbook_problem(tables) == ""
    broken = with_keys(tables, {"campaign.name": "a_x005F_b"})
    assert "campaign.toml::campaign.name" in workbook_problem(broken)


def test_a_price_book_goes_along(site):
    from dataclasses import replace

    changed = replace(read_tables(site), book={"mobilise.site": "14000"})
    write_back(changed, site)
    assert read_tables(site) == changed
    write_back(replace(changed, book={}), site)
    assert not (site / "prices.toml").exists()
