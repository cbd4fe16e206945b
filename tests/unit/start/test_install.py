"""The commands that make and fill an environment."""

import sys

import pytest

from planner.start.clone import SetUpError
from planner.start.install import (
    Tools,
    environment_command,
    installer_settings,
    make_environment,
    pip_command,
    version_numbers,
    what_to_install,
    why,
)


def tools(*, has_venv=True, has_ensurepip=True, pip_version=(23, 0, 1)):
    return Tools(
        python=sys.executable,
        has_venv=has_venv,
        has_ensurepip=has_ensurepip,
        pip_version=pip_version,
    )


def test_a_complete_python_gives_the_environment_its_own_pip(clone):
    command = environment_command(clone, tools())
    assert command == [sys.executable, "-m", "venv", str(clone.environment)]


def test_without_ensurepip_the_environment_is_made_without_pip(clone):
    assert "--without-pip" in environment_command(clone, tools(has_ensurepip=False))


@pytest.mark.parametrize("pip_version", [None, (22, 2, 2), (9,)])
def test_without_ensurepip_and_a_pip_that_serves_others_it_says_what_to_install(
    clone, pip_version
):
    lacking = tools(has_ensurepip=False, pip_version=pip_version)
    with pytest.raises(SetUpError, match="python3-venv or python3-pip"):
        environment_command(clone, lacking)


def test_without_the_module_venv_it_says_what_to_install(clone):
    with pytest.raises(SetUpError, match="python3-venv"):
        environment_command(clone, tools(has_venv=False))


def test_the_pip_outside_fills_the_environment_where_it_can(clone):
    command = pip_command(clone, tools(pip_version=(22, 3)))
    assert command[:5] == [sys.executable, "-m", "pip", "--python", str(clone.python)]


def test_an_old_pip_outside_leaves_the_work_to_the_one_inside(clone):
    command = pip_command(clone, tools(pip_version=(21, 0)))
    assert command[:3] == [str(clone.python), "-m", "pip"]


def test_the_project_is_installed_with_its_extras_and_pins(clone):
    assert what_to_install(clone, {"test", "dev"}) == [
        "--constraint",
        str(clone.constraints_file),
        "--editable",
        f"{clone.root}[dev,test]",
    ]


def test_without_extras_no_brackets_are_written(clone):
    assert what_to_install(clone, ())[-1] == str(clone.root)


@pytest.mark.parametrize(
    ("version", "numbers"),
    [("23.0.1", (23, 0, 1)), ("23.0.1+dfsg", (23, 0, 1)), ("26.0rc1", (26,)), ("odd", ())],
)
def test_a_version_is_read_up_to_its_first_word(version, numbers):
    assert version_numbers(version) == numbers


def test_the_users_own_settings_reach_the_installers_except_a_user_install():
    settings = installer_settings({"PIP_USER": "1", "UV_SYSTEM_CERTS": "0", "OTHER": "kept"})
    assert settings["PIP_USER"] == "0"
    assert settings["UV_SYSTEM_CERTS"] == "0"
    assert settings["OTHER"] == "kept"


def test_the_system_certificates_are_used_unless_the_user_says_otherwise():
    assert installer_settings({})["UV_SYSTEM_CERTS"] == "1"


def test_a_missing_network_is_called_so():
    said = (
        "WARNING: Retrying after connection broken by 'NewConnectionError(...)'\n"
        "ERROR: Could not find a version that satisfies the requirement uv\n"
    )
    assert why(said).startswith("the package index cannot be reached")


def test_the_last_error_is_the_reason():
    said = "ERROR: first\nWARNING: aside\nERROR: No space left on device\nnotice\n"
    assert why(said) == "No space left on device"


def test_the_end_of_a_traceback_says_more_than_the_installer():
    said = "  Traceback:\n  FileNotFoundError: no app.py\nerror: metadata-generation-failed\n"
    assert why(said) == "FileNotFoundError: no app.py"


@pytest.mark.parametrize(("said", "reason"), [("", "no reason given"), ("a\nb\n\n", "b")])
def test_without_an_error_line_the_last_line_is_the_reason(said, reason):
    assert why(said) == reason


def test_a_real_environment_without_pip_has_a_python(clone):
    clone.environment.mkdir()
    make_environment(clone, tools(has_ensurepip=False))
    assert clone.python.exists()
    assert "exit code 0" in clone.log_file.read_text(encoding="utf-8")
