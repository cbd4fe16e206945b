"""A process that writes entries and says so, to be killed in the middle.

Called with the file, a name and how many entries; after each acknowledged one it prints its token.
"""

import sys
from datetime import UTC, datetime
from pathlib import Path

from planner.site.entry import Entry
from planner.site.journal import Journal


def main() -> None:
    path, name, count = Path(sys.argv[1]), sys.argv[2], int(sys.argv[3])
    journal = Journal(path)
    for number in range(count):
        token = f"{name}-{number}"
        at = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)
        journal.add(Entry(note=token), by=name, recorded_at=at, token=token)
        print(token, flush=True)  # noqa: T201 - what the test reads


if __name__ == "__main__":
    main()
