"""Records lie beside the scenario, so that saving it never moves them."""

from pathlib import Path

import pytest

from planner.site.place import history_folder, journal_path, site_folder


def test_a_folder_and_a_workbook_have_a_folder_beside_them(tmp_path):
    folder = tmp_path / "quay.v2"
    folder.mkdir()
    assert site_folder(folder) == tmp_path / "quay.v2-site"
    assert journal_path(tmp_path / "quay.xlsx") == tmp_path / "quay-site" / "journal.sqlite"
    assert history_folder(folder).parent == site_folder(folder)


def test_a_path_that_ends_in_a_dot_is_the_folder_it_stands_for(tmp_path, monkeypatch):
    folder = tmp_path / "quay"
    folder.mkdir()
    monkeypatch.chdir(folder)
    assert site_folder(Path()) == tmp_path / "quay-site"


@pytest.mark.parametrize("name", ["quay", "quay/"])
def test_a_trailing_slash_does_not_matter(tmp_path, name):
    assert site_folder(tmp_path / name) == tmp_path / "quay-site"
