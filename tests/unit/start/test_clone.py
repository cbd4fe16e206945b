"""What an environment is made from."""

import pytest

from planner.start.clone import Clone, read_stamp, wanted_stamp, write_stamp
from tests.unit.start.scenes import PROJECT, fake_environment, stamp


def test_a_stamp_read_back_is_the_stamp_written(clone):
    fake_environment(clone)
    write_stamp(clone, stamp(clone, "test", "dev"))
    assert read_stamp(clone) == stamp(clone, "dev", "test")


def test_a_changed_pin_changes_the_libraries_but_not_the_base(clone):
    before = stamp(clone)
    clone.constraints_file.write_text("numpy==2.4.7\n", encoding="utf-8")
    after = stamp(clone)
    assert after.base == before.base
    assert after.libraries != before.libraries


def test_a_new_dependency_changes_the_libraries(clone):
    before = stamp(clone)
    clone.project_file.write_text(PROJECT.replace("numpy", "numpy>=2"), encoding="utf-8")
    assert stamp(clone).libraries != before.libraries


def test_a_setting_of_another_tool_changes_nothing(clone):
    before = stamp(clone)
    clone.project_file.write_text(PROJECT + "[tool.ruff]\nline-length = 99\n", encoding="utf-8")
    assert stamp(clone) == before


def test_another_python_changes_the_base(clone):
    one = wanted_stamp(clone, extras=frozenset(), python_version="3.11.2")
    other = wanted_stamp(clone, extras=frozenset(), python_version="3.12.1")
    assert one.base != other.base


def test_a_moved_clone_changes_the_base(clone, tmp_path):
    before = stamp(clone)
    moved = clone.root.rename(tmp_path.with_name(tmp_path.name + "-moved"))
    assert stamp(Clone(root=moved)).base != before.base


def test_more_extras_than_wanted_are_enough_and_fewer_are_not(clone):
    assert stamp(clone, "test", "dev").covers(stamp(clone, "test"))
    assert not stamp(clone, "test").covers(stamp(clone, "test", "dev"))


@pytest.mark.parametrize("text", ["", "[]", "{}", '{"base": "a", "libraries": "b", "extras": 3}'])
def test_a_spoilt_stamp_counts_as_none(clone, text):
    fake_environment(clone)
    clone.stamp_file.write_text(text, encoding="utf-8")
    assert read_stamp(clone) is None


def test_an_environment_whose_python_is_gone_has_no_stamp(clone):
    fake_environment(clone)
    write_stamp(clone, stamp(clone))
    clone.python.unlink()
    assert read_stamp(clone) is None
