"""Exit codes (contract, section 6); FAULT is an addition."""

from __future__ import annotations

from enum import IntEnum


class Exit(IntEnum):
    """What a command says to the shell that called it."""

    DONE = 0
    """Done, all planned; or no problem found."""
    PARTLY = 1
    """Done, but zones are unplanned or rules are broken."""
    REFUSED = 2
    """The input, an argument or a path was refused; nothing was written."""
    NO_PLAN = 3
    """No plan in the time given; no folder written."""
    FAULT = 70
    """A fault of the planner itself, never of the input; no plan folder written."""
    INTERRUPTED = 130
    """Interrupted; the best plan so far, where there was one, is written."""
