"""Scenarios from where people have them, as text to be edited: folders, workbooks, zip files."""

from __future__ import annotations

import zlib
from io import BytesIO
from pathlib import Path, PurePosixPath
from tempfile import TemporaryDirectory
from zipfile import BadZipFile, ZipFile, ZipInfo

from planner.core.problems import InputRefusedError, Problem, Severity
from planner.scenario.dictionary import CAMPAIGN, TABLES, Need
from planner.scenario.raw import RawTable, Tables
from planner.scenario.tables import WORKBOOK_SUFFIX, load_tables
from planner.scenario.writer import OWN_FILES

UPLOAD_BYTES_MAX = 20_000_000
"""Most bytes of an upload; the page server holds to the same."""
UNPACKED_BYTES_MAX = 100_000_000
"""Most bytes of what a zip file holds."""
ENTRIES_MAX = 2_000
"""Most files in a zip file."""

_MENDABLE = frozenset({"missing-file"})
"""Faults of files that can be mended in the editor, so that they do not keep a scenario out."""
_LINK, _KIND = 0o120000, 0o170000
_DAMAGE = (
    BadZipFile,
    zlib.error,
    EOFError,
    NotImplementedError,
    RuntimeError,
    OSError,
    ValueError,
)


def read_for_editing(path: Path) -> Tables:
    """Return the text of a scenario folder or workbook, however wrong its cells are.

    Raises
    ------
    InputRefusedError
        If its files cannot be read as tables, or none of them is a scenario's.
    """
    tables, findings = load_tables(path)
    problems = findings.problems()
    stops = [
        problem
        for problem in problems
        if problem.severity is Severity.ERROR and problem.code not in _MENDABLE
    ]
    if stops:
        raise InputRefusedError(problems)
    if (
        not tables.campaign
        and not tables.book
        and not any(table.columns for table in tables.tables.values())
    ):
        raise InputRefusedError([_no_scenario(path.name)])
    return tables


def read_upload(name: str, content: bytes) -> Tables:
    """Return the text of a scenario from an uploaded workbook or zip file.

    Nothing of it is run, followed or written outside a folder of its own that goes at once.

    Raises
    ------
    InputRefusedError
        If it is too big, no workbook or zip file, or holds no scenario.
    """
    plain = PurePosixPath(name.replace("\\", "/")).name or "upload"
    if len(content) > UPLOAD_BYTES_MAX:
        raise InputRefusedError([_too_big(plain, len(content))])
    suffix = PurePosixPath(plain).suffix.lower()
    with TemporaryDirectory() as folder:
        if suffix == WORKBOOK_SUFFIX:
            path = Path(folder) / f"upload{WORKBOOK_SUFFIX}"
            path.write_bytes(content)
            return _named(path, plain)
        if suffix == ".zip":
            files = _unpacked(plain, content)
            for file, data in files.items():
                (Path(folder) / file).write_bytes(data)
            return _named(Path(folder), plain)
    raise InputRefusedError(
        [
            Problem(
                file=plain,
                message="this is neither an .xlsx workbook nor a .zip of a scenario's tables",
                code="not-a-scenario",
            )
        ]
    )


def _named(path: Path, name: str) -> Tables:
    """Read an upload; problems name it as the user knows it."""
    try:
        return read_for_editing(path)
    except InputRefusedError as refused:
        raise InputRefusedError(
            [
                Problem(
                    file=name if problem.file == path.name else problem.file,
                    row=problem.row,
                    column=problem.column,
                    message=problem.message,
                    code=problem.code,
                    severity=problem.severity,
                )
                for problem in refused.problems
            ]
        ) from None


def _too_big(name: str, size: int) -> Problem:
    return Problem(
        file=name,
        message=f"{size / 1e6:.0f} MB; at most {UPLOAD_BYTES_MAX / 1e6:.0f} MB are taken, and a"
        " large scenario folder can be opened by its path instead",
        code="upload-too-big",
    )


def _no_scenario(name: str) -> Problem:
    return Problem(
        file=name,
        message=f"no scenario is in it; it should hold {CAMPAIGN}.toml and tables such as"
        " zones.csv (or sheets of these names)",
        code="not-a-scenario",
    )


def _unpacked(name: str, content: bytes) -> dict[str, bytes]:
    """Return the scenario's files of a zip file by their plain names."""
    try:
        with ZipFile(BytesIO(content)) as archive:
            entries = archive.infolist()
            problems = _odd_entries(name, entries)
            if problems:
                raise InputRefusedError(problems)
            return _read(name, archive, _scenario_entries(name, entries))
    except _DAMAGE as error:
        broken = Problem(
            file=name,
            message=f"this zip file cannot be unpacked ({type(error).__name__}); pack the"
            " scenario's tables again, without a password",
            code="zip-broken",
        )
        raise InputRefusedError([broken]) from error


def _odd_entries(name: str, entries: list[ZipInfo]) -> list[Problem]:
    size = sum(entry.file_size for entry in entries)
    if len(entries) > ENTRIES_MAX or size > UNPACKED_BYTES_MAX:
        return [
            Problem(
                file=name,
                message=f"unpacked it would be {size} bytes in {len(entries)} files; at most"
                f" {UNPACKED_BYTES_MAX} in {ENTRIES_MAX}; pack the scenario's tables alone",
                code="zip-too-large",
            )
        ]
    found = []
    for entry in entries:
        why = _odd(entry)
        if why:
            shown = "".join(char if char.isprintable() else "?" for char in entry.filename)[:80]
            found.append(
                Problem(
                    file=name,
                    message=f'"{shown}" {why}; nothing was unpacked. Pack the tables by their'
                    " plain names",
                    code="zip-odd-path",
                )
            )
    return found[:20]


def _odd(entry: ZipInfo) -> str:
    """Return why an entry is not taken, or nothing."""
    path = entry.filename
    if "\\" in path or path.startswith("/") or path[1:2] == ":":
        return "is not a plain path inside the zip file"
    if ".." in PurePosixPath(path).parts:
        return "leads out of the zip file"
    if (entry.external_attr >> 16) & _KIND == _LINK:
        return "is a link, not a file"
    if entry.flag_bits & 1:
        return "needs a password"
    return ""


def _scenario_entries(name: str, entries: list[ZipInfo]) -> dict[str, ZipInfo]:
    """Return the tables of the one scenario in a zip file, in whichever folder it lies."""
    folders: dict[PurePosixPath, dict[str, ZipInfo]] = {}
    for entry in entries:
        path = PurePosixPath(entry.filename)
        if path.name in OWN_FILES and not entry.is_dir():
            folders.setdefault(path.parent, {})[path.name] = entry
    campaign = f"{CAMPAIGN}.toml"
    whole = [folder for folder in folders if campaign in folders[folder]]
    candidates = whole or list(folders)
    if not candidates:
        raise InputRefusedError([_no_scenario(name)])
    if len(candidates) > 1:
        told = ", ".join(sorted(str(folder) for folder in candidates)[:6])
        problem = Problem(
            file=name,
            message=f"it holds {len(candidates)} scenarios ({told}); pack one alone",
            code="zip-many-scenarios",
        )
        raise InputRefusedError([problem])
    return folders[candidates[0]]


def _read(name: str, archive: ZipFile, entries: dict[str, ZipInfo]) -> dict[str, bytes]:
    """Unpack entries; what they really hold counts, not what they say of their size."""
    files: dict[str, bytes] = {}
    left = UNPACKED_BYTES_MAX
    for file, entry in entries.items():
        with archive.open(entry) as packed:
            data = packed.read(left + 1)
        left -= len(data)
        if left < 0:
            problem = Problem(
                file=name,
                message=f"unpacked it is over {UNPACKED_BYTES_MAX} bytes; pack the scenario's"
                " tables alone",
                code="zip-too-large",
            )
            raise InputRefusedError([problem])
        files[file] = data
    return files


def blank_tables() -> Tables:
    """Return a scenario with nothing in it but the headings of the tables that all need."""
    needed = [table for table in TABLES if table.need is Need.ALWAYS]
    return Tables(
        campaign={},
        tables={
            table.name: RawTable(
                columns=tuple(column.name for column in table.columns if column.is_required)
            )
            for table in needed
        },
    )
