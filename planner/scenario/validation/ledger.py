"""What every check of a scenario works with."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from planner.core.clock import Clock
from planner.scenario.build import mix_faces
from planner.scenario.draft import Draft, Row
from planner.scenario.findings import Findings


@dataclass(frozen=True, slots=True, kw_only=True)
class Ledger:
    """A draft under check.

    Attributes
    ----------
    draft
        Parsed cells.
    findings
        Gets the problems.
    clock
        The campaign's calendar; None while its dates or zone are wrong.
    known_constituents
        Names of the tidal constituents that can be predicted.
    """

    draft: Draft
    findings: Findings
    clock: Clock | None
    known_constituents: Collection[str]

    @property
    def water_kind(self) -> str:
        """Return the kind of water, empty when it could not be read."""
        return self.draft.keys.text("water.kind")

    def process_of_mix(self) -> dict[str, str]:
        """Return the process of each mix, as its first row says."""
        found: dict[str, str] = {}
        for face in mix_faces(self.draft):
            found.setdefault(face.mix_id, face.process)
        return found

    def error(self, code: str, message: str, *, table: str, row: Row, column: str = "") -> None:
        """Note an error in a row of a table."""
        self.findings.error(
            code, message, file=self.draft.label(table), row=row.place, column=column
        )

    def warn(self, code: str, message: str, *, table: str, row: Row, column: str = "") -> None:
        """Note something odd in a row of a table."""
        self.findings.warn(
            code, message, file=self.draft.label(table), row=row.place, column=column
        )

    def missing(self, message: str, *, table: str, row: Row, column: str) -> None:
        """Note an empty cell that must be filled; once, where the whole column is not there."""
        if column in self.draft.raw.tables[table].columns:
            self.error(
                "missing-value",
                f"the cell is empty; {message}",
                table=table,
                row=row,
                column=column,
            )
        else:
            self.findings.error(
                "missing-column",
                f"the column is missing; {message}",
                file=self.draft.label(table),
                row=1,
                column=column,
            )

    def key_error(self, code: str, message: str, *, key: str) -> None:
        """Note an error in a key of campaign.toml."""
        self.findings.error(
            code,
            message,
            file=self.draft.label("campaign"),
            row=self.draft.raw.lines.get(key),
            column=key,
        )

    def key_warn(self, code: str, message: str, *, key: str) -> None:
        """Note something odd in a key of campaign.toml."""
        self.findings.warn(
            code,
            message,
            file=self.draft.label("campaign"),
            row=self.draft.raw.lines.get(key),
            column=key,
        )

    def table_error(self, code: str, message: str, *, table: str, column: str = "") -> None:
        """Note an error of a whole table."""
        self.findings.error(code, message, file=self.draft.label(table), column=column)

    def table_warn(self, code: str, message: str, *, table: str, column: str = "") -> None:
        """Note something odd about a whole table."""
        self.findings.warn(code, message, file=self.draft.label(table), column=column)
