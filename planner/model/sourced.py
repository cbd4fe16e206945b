"""How far an outside number can be trusted."""

from __future__ import annotations

from enum import StrEnum


class Trust(StrEnum):
    """Where a number comes from, best first."""

    READ = "read in the source"
    SECOND_HAND = "read in a source that quotes it"
    DERIVED = "worked out from published figures"
    PRACTICE = "common practice"
    MEMORY = "from memory: verify before relying on it"
    GIVEN = "given in the scenario"
