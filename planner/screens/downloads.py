"""Files to take away from a page."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory
from zipfile import ZIP_DEFLATED, ZipFile

from planner import __version__
from planner.workflow.loading import Loaded
from planner.workflow.planning import Planned, write_result


def plan_zip(loaded: Loaded, planned: Planned) -> bytes:
    """Return the plan folder as a zip file, the very files that the command line writes."""
    packed = BytesIO()
    with TemporaryDirectory() as name:
        folder = Path(name) / "plan"
        write_result(loaded, planned, folder, version=__version__)
        with ZipFile(packed, "w", ZIP_DEFLATED) as archive:
            for path in sorted(folder.iterdir()):
                archive.write(path, f"plan/{path.name}")
    return packed.getvalue()
