"""A cell that cannot be read."""

from __future__ import annotations


class CellError(ValueError):
    """A cell that cannot be read: a stable code, and what is wrong and would be right."""

    def __init__(self, code: str, message: str) -> None:
        self.code = code
        super().__init__(message)
