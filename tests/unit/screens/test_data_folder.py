"""Drafts lie in the user's own data folder, wherever the system keeps such things."""

from pathlib import Path

from planner.screens.data_folder import VARIABLE, data_folder


def test_a_variable_names_another_folder(tmp_path):
    assert data_folder({VARIABLE: str(tmp_path)}, "linux") == tmp_path


def test_linux_keeps_them_under_the_data_home():
    assert data_folder({"XDG_DATA_HOME": "/d"}, "linux") == Path("/d/ebbwork")
    assert data_folder({}, "linux") == Path.home() / ".local" / "share" / "ebbwork"


def test_other_systems_have_places_of_their_own():
    assert data_folder({}, "darwin").parts[-3:] == ("Library", "Application Support", "ebbwork")
    assert data_folder({"LOCALAPPDATA": "/l"}, "win32") == Path("/l/ebbwork")
