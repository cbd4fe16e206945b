"""Bytes of a file as text, with a problem instead of an exception."""

from __future__ import annotations

from pathlib import Path

from planner.scenario.findings import Findings

_UTF16_MARKS = (b"\xff\xfe", b"\xfe\xff")


def read_text(path: Path, *, file: str, most: int, findings: Findings) -> str | None:
    """Return the text of a UTF-8 file without byte-order mark, or None.

    Parameters
    ----------
    path
        The file.
    file
        Its name in problems.
    most
        Most bytes it may have [bytes].
    findings
        Gets what stands in the way.
    """
    data = read_bytes(path, file=file, most=most, findings=findings)
    if data is None:
        return None
    if data[:2] in _UTF16_MARKS:
        findings.error(
            "not-utf-8", "the file is UTF-16; save it as UTF-8 (CSV UTF-8)", file=file, row=1
        )
        return None
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        # error.start counts after the byte-order mark has been taken off.
        body = data.removeprefix(b"\xef\xbb\xbf")
        line_start = body.rfind(b"\n", 0, error.start) + 1
        findings.error(
            "not-utf-8",
            f"byte {error.start - line_start + 1} of this line is 0x{body[error.start]:02X},"
            " which is not UTF-8; save the file as UTF-8",
            file=file,
            row=body.count(b"\n", 0, error.start) + 1,
        )
        return None


def read_bytes(path: Path, *, file: str, most: int, findings: Findings) -> bytes | None:
    """Return the bytes of a file, or None with a problem."""
    try:
        if not path.is_file():
            findings.error("not-a-file", "this must be a plain file", file=file)
            return None
        size = path.stat().st_size
        if size > most:
            findings.error("file-too-large", f"{size} bytes; at most {most} are read", file=file)
            return None
        return path.read_bytes()
    except OSError as error:
        findings.error("cannot-read", f"cannot be read: {error.strerror or error}", file=file)
        return None
