"""Commands as processes of their own: signals, pipes and terminals."""

import json
import os
import signal
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

import pytest

from planner.commands.main import main

COMMAND = (sys.executable, "-m", "planner")


def _start(words: Sequence[str | Path], **options) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [*COMMAND, *words] if isinstance(words, tuple) else words,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        encoding="utf-8",
        **options,
    )


def _read_until(process: subprocess.Popen[str], word: str) -> None:
    assert process.stderr is not None
    for line in process.stderr:
        if word in line:
            return
    pytest.fail(f"the command ended without {word!r}")


PATIENT = """
import sys, time
import planner.workflow.planning as planning
from planner.commands.main import main

find = planning.optimise

def patient(campaign, *, settings, listener):
    found = find(campaign, settings=settings, listener=listener)
    print("found", file=sys.stderr, flush=True)
    while not settings.stop():
        time.sleep(0.01)
    return found

planning.optimise = patient
sys.exit(main(["plan", sys.argv[1], "--seconds", "20"]))
"""


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
@pytest.mark.solver
def test_the_first_signal_ends_the_search_and_keeps_the_plan(
    scenario: Path, number: signal.Signals
) -> None:
    process = _start([sys.executable, "-c", PATIENT, str(scenario)])
    _read_until(process, "found")
    process.send_signal(number)
    _, err = process.communicate(timeout=20)
    assert process.returncode == 130, err
    assert "the best plan so far is kept" in err
    assert "Interrupted: this is the best plan" in err
    assert (scenario / "plan" / "spells.csv").exists()


EMPTY_HANDED = """
import sys, time
import planner.workflow.planning as planning
from planner.commands.main import main
from planner.optimise.engine import NoPlanInTimeError

def empty_handed(campaign, *, settings, listener):
    print("searching", file=sys.stderr, flush=True)
    while not settings.stop():
        time.sleep(0.01)
    raise NoPlanInTimeError

planning.optimise = empty_handed
sys.exit(main(["plan", sys.argv[1], "--seconds", "20"]))
"""


def test_a_signal_before_there_is_a_plan_writes_nothing(scenario: Path) -> None:
    process = _start([sys.executable, "-c", EMPTY_HANDED, str(scenario)])
    _read_until(process, "searching")
    process.send_signal(signal.SIGINT)
    _, err = process.communicate(timeout=20)
    assert process.returncode == 130, err
    assert "Nothing was written" in err
    assert not (scenario / "plan").exists()


STUBBORN = """
import sys, time
import planner.workflow.planning as planning
from planner.commands.main import main

def stubborn(campaign, **_settings):
    print("searching", file=sys.stderr, flush=True)
    while True:
        time.sleep(0.01)

planning.optimise = stubborn
sys.exit(main(["plan", sys.argv[1]]))
"""


def test_the_second_signal_ends_at_once_and_leaves_the_old_plan(scenario: Path) -> None:
    old = scenario / "plan"
    old.mkdir()
    (old / "summary.json").write_text('{"scenario_sha256": "0"}')
    process = _start([sys.executable, "-c", STUBBORN, str(scenario)])
    _read_until(process, "searching")
    process.send_signal(signal.SIGINT)
    _read_until(process, "Once more ends at once")
    process.send_signal(signal.SIGINT)
    _, err = process.communicate(timeout=20)
    assert process.returncode == 130
    assert err == "Interrupted; nothing was written.\n"
    assert [file.name for file in old.iterdir()] == ["summary.json"]
    assert not list(scenario.glob(".plan*"))


@pytest.mark.solver
def test_a_real_search_stops_at_a_signal_with_a_valid_plan(
    repository: Path, tmp_path: Path
) -> None:
    demo = repository / "scenarios" / "quay-soffit"
    process = _start(("plan", demo, "--out", tmp_path / "plan"))
    _read_until(process, "best")
    process.send_signal(signal.SIGTERM)
    _, err = process.communicate(timeout=30)
    assert process.returncode == 130, err
    assert json.loads((tmp_path / "plan" / "summary.json").read_text())["stopped_early"]
    assert main(["check", str(demo), str(tmp_path / "plan")]) == 0


def test_a_reader_that_goes_early_is_no_failure(repository: Path) -> None:
    demo = repository / "scenarios" / "trunk-sewer"
    process = _start(("windows", demo))
    assert process.stdout is not None
    assert process.stdout.readline() == "zone,start,end,minutes\n"
    process.stdout.close()
    _, err = process.communicate(timeout=20)
    assert (process.returncode, err) == (0, "")


def test_tables_leave_in_utf_8_whatever_the_terminal_speaks(scenario: Path) -> None:
    zones = scenario / "zones.csv"
    zones.write_text(zones.read_text().replace("Near", "Bögen-°"), encoding="utf-8")
    surroundings = os.environ | {"PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0"}
    process = _start(("windows", scenario), env=surroundings)
    out, err = process.communicate(timeout=20)
    assert (process.returncode, err) == (0, "")
    assert "Bögen-°," in out


FAULTY = """
import sys
import planner.workflow.listing as listing

def broken(*_arguments):
    raise ZeroDivisionError("a sum went wrong")

listing.Reach = broken
sys.argv = ["ebbwork", "reach", sys.argv[1]]
from planner.commands.main import main
sys.exit(main())
"""


def test_a_fault_of_the_planner_is_one_line_and_an_exit_code_of_its_own(scenario: Path) -> None:
    process = _start([sys.executable, "-c", FAULTY, str(scenario)])
    _, err = process.communicate(timeout=20)
    assert process.returncode == 70
    assert len(err.splitlines()) == 1
    assert err.startswith("This is a fault of the planner, not of your input: ZeroDivisionError: ")


def test_help_loads_no_heavy_library() -> None:
    look = (
        "import sys; from planner.commands.main import main; main(['plan', '--help']); "
        "heavy = {'ortools', 'pandas', 'numpy', 'networkx', 'streamlit', 'plotly', 'openpyxl'}; "
        "sys.exit(', '.join(sorted(heavy & set(sys.modules))) or 0)"
    )
    done = subprocess.run(
        [sys.executable, "-c", look], capture_output=True, text=True, check=False
    )
    assert (done.returncode, done.stderr) == (0, "")
