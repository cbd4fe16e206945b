"""Where the records of the scenario that is open are kept."""

from __future__ import annotations

from pathlib import Path

from planner.screens.data_folder import data_folder
from planner.screens.drafts import Head


def records_place(head: Head) -> Path:
    """Return the scenario whose journal and history a page writes to.

    A scenario that was opened from a folder or workbook keeps them there, as the command line
    does; a demo or an upload keeps them among this user's drafts.
    """
    if head.place:
        return Path(head.place)
    return data_folder() / "records" / head.draft_id
