"""All gates, as a developer and the build server run them: ``python3 tests/check.py``.

Every gate runs, also after one has failed; the tests come last. What follows on the command line
goes to pytest, for example ``python3 tests/check.py tests/unit -x``.
"""

import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

REPOSITORY = Path(__file__).resolve().parents[1]
EXTRAS = ("test", "dev", "browser")


def main(test_arguments: Sequence[str]) -> int:
    """Run the gates and return 0 where all of them pass."""
    inside = environment()
    if inside is None:
        print("== set-up failed", flush=True)
        return 1
    tools = inside.parent
    gates: dict[str, list[str]] = {
        "format": [str(tools / "ruff"), "format", "--check", "."],
        "lint": [str(tools / "ruff"), "check", "."],
        "types": [str(tools / "mypy")],
        "layers": [str(tools / "lint-imports"), "--no-logo"],
        "tests": [sys.executable, "-m", "planner", "test", *test_arguments],
    }
    failed = [name for name, command in gates.items() if not passes(name, command)]
    if failed:
        print(f"== failed: {', '.join(failed)}", flush=True)
    return 1 if failed else 0


def environment() -> Path | None:
    """Set up the environment with all extras and return its interpreter."""
    command = [sys.executable, "-m", "planner.start", *EXTRAS]
    print("== set-up", flush=True)
    done = subprocess.run(command, cwd=REPOSITORY, stdout=subprocess.PIPE, text=True, check=False)
    return Path(done.stdout.strip()) if done.returncode == 0 else None


def passes(name: str, command: Sequence[str]) -> bool:
    """Run one gate and say whether it passed."""
    print(f"== {name}", flush=True)
    return subprocess.run(command, cwd=REPOSITORY, check=False).returncode == 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
