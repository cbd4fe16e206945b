"""Start Ebbwork with whatever ``python3`` there is; set it up first where that is needed.

The lines above the imports from the package also run on Pythons that are too old for it.
"""

import sys

if sys.version_info < (3, 11):  # noqa: UP036 - a fresh machine may have an older one
    sys.stderr.write(
        f"Ebbwork needs Python 3.11 or newer and this is {sys.version_info[0]}."
        f"{sys.version_info[1]}: start it with a newer one, for example python3.11 -m planner\n"
    )
    sys.exit(4)

from planner.start.clone import SetUpError
from planner.start.hand_over import clone_with_tests, prepare, run_tests

EXIT_NOT_SET_UP = 4
EXIT_INTERRUPTED = 130


def main(arguments: list[str]) -> int:
    """Set up what is missing, then run the tests or the command that was asked for.

    Parameters
    ----------
    arguments
        What follows ``python3 -m planner`` on the command line.

    Returns
    -------
    int
        The exit code: that of the command, or 4 where the set-up failed.
    """
    wants_tests = arguments[:1] == ["test"]
    try:
        if wants_tests:
            clone_with_tests()
            prepare(arguments, extras=("test",))
            return run_tests(arguments[1:])
        prepare(arguments)
    except SetUpError as failed:
        sys.stderr.write(f"{failed}\n")
        return EXIT_NOT_SET_UP
    except KeyboardInterrupt:
        sys.stderr.write("Interrupted; the next start sets up anew what is unfinished.\n")
        return EXIT_INTERRUPTED
    from planner.commands.main import main as run_command  # noqa: PLC0415 - needs the libraries

    return run_command()


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
