"""Set up the environment for development: ``python3 -m planner.start test dev browser``.

The path of its interpreter is written to standard output.
"""

import sys
from collections.abc import Sequence

from planner.start.clone import SetUpError, this_clone
from planner.start.hand_over import say
from planner.start.set_up import set_up

EXIT_NOT_SET_UP = 4


def main(extras: Sequence[str]) -> int:
    """Set up the environment with the extras named, and return the exit code."""
    clone = this_clone()
    if clone is None:
        say("An installed package needs no set-up; this is for a clone.")
        return EXIT_NOT_SET_UP
    try:
        set_up(clone, extras=extras, say=say)
    except SetUpError as failed:
        say(str(failed))
        return EXIT_NOT_SET_UP
    print(clone.python)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
