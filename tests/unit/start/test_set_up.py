"""What is done to an environment, and when."""

import pytest

from planner.start import set_up
from planner.start.clone import SetUpError, Stamp, read_stamp
from planner.start.set_up import Step, step_for
from tests.unit.start.scenes import PINS, fake_environment, stamp


@pytest.mark.parametrize("is_ours", [True, False])
def test_an_environment_that_is_up_to_date_needs_nothing(clone, is_ours):
    same = stamp(clone)
    step = step_for(found=same, wanted=same, is_there=True, is_ours=is_ours, fits_python=True)
    assert step is Step.NOTHING


def test_other_libraries_are_installed_over_the_old_ones(clone):
    wanted = stamp(clone, "test")
    old = Stamp(base=wanted.base, libraries="old", extras=wanted.extras)
    step = step_for(found=old, wanted=wanted, is_there=True, is_ours=True, fits_python=True)
    assert step is Step.FILL


def test_an_environment_of_another_python_is_made_anew(clone):
    wanted = stamp(clone)
    old = Stamp(base="other", libraries=wanted.libraries, extras=wanted.extras)
    step = step_for(found=old, wanted=wanted, is_there=True, is_ours=True, fits_python=False)
    assert step is Step.MAKE


@pytest.mark.parametrize(
    ("is_there", "is_ours", "fits_python", "expected"),
    [
        (False, False, False, Step.MAKE),  # a fresh clone
        (True, True, True, Step.MAKE),  # half-made
        (True, False, True, Step.FILL),  # made by hand with this Python
        (True, False, False, Step.REFUSE),  # made by hand with another
    ],
)
def test_without_a_stamp_the_step_depends_on_whose_environment_it_is(
    clone, is_there, is_ours, fits_python, expected
):
    step = step_for(
        found=None,
        wanted=stamp(clone),
        is_there=is_there,
        is_ours=is_ours,
        fits_python=fits_python,
    )
    assert step is expected


def run(clone, *extras):
    set_up.set_up(clone, extras=extras, say=lambda _line: None)


def test_the_second_start_installs_nothing(clone, installed):
    run(clone)
    run(clone)
    assert installed == [set()]


def test_extras_are_added_to_those_that_are_there(clone, installed):
    run(clone, "dev")
    run(clone, "test")
    run(clone)
    assert installed == [{"dev"}, {"dev", "test"}]


def test_a_failed_set_up_is_made_anew_by_the_next_start(clone, installed):
    clone.constraints_file.write_text("failing\n", encoding="utf-8")
    with pytest.raises(SetUpError, match="it failed"):
        run(clone)
    assert clone.unfinished_file.exists()
    (clone.environment / "left-over").touch()
    clone.constraints_file.write_text(PINS, encoding="utf-8")
    run(clone)
    assert not (clone.environment / "left-over").exists()
    assert not clone.unfinished_file.exists()
    assert len(installed) == 2


def test_an_environment_made_by_hand_is_filled_and_never_thrown_away(clone, installed):
    fake_environment(clone)
    (clone.environment / "own").touch()
    clone.constraints_file.write_text("failing\n", encoding="utf-8")
    with pytest.raises(SetUpError):
        run(clone)
    clone.constraints_file.write_text(PINS, encoding="utf-8")
    run(clone)
    assert (clone.environment / "own").exists()
    assert read_stamp(clone) == stamp(clone)
    assert len(installed) == 2


def test_an_environment_of_an_unknown_python_made_by_hand_is_refused(clone, installed):
    clone.environment.mkdir()
    (clone.environment / "own").touch()
    with pytest.raises(SetUpError, match="made by hand"):
        run(clone)
    assert (clone.environment / "own").exists()
    assert installed == []


def test_a_file_in_place_of_the_environment_is_a_plain_message(clone, installed):
    clone.environment.write_text("not a folder", encoding="utf-8")
    with pytest.raises(SetUpError, match="made by hand"):
        run(clone)
    assert installed == []
