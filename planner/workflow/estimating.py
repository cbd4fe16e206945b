"""From a plan to its estimate, and to the files that a client reads."""

from __future__ import annotations

from pathlib import Path

from planner.checks.violation import Violation
from planner.estimate.bill import estimate
from planner.estimate.line import Estimate
from planner.plan.plan import Plan
from planner.scenario.price_book import price_book_of
from planner.scenario.replace import replace_file
from planner.workflow.checking import Checked, check_folder
from planner.workflow.loading import Loaded


class BrokenPlanError(Exception):
    """A plan that breaks rules is not priced: nobody can work to it."""

    def __init__(self, violations: tuple[Violation, ...]) -> None:
        self.violations = violations
        super().__init__(f"the plan breaks {len(violations)} rules")


def priced_plan(loaded: Loaded, plan: Plan) -> Estimate:
    """Return what a valid plan of a scenario would cost, with the rates of its price book."""
    return estimate(loaded.campaign, plan, price_book_of(loaded.tables))


def priced_folder(loaded: Loaded, folder: Path) -> tuple[Checked, Estimate]:
    """Return a plan folder as it was checked, and its estimate.

    Raises
    ------
    BrokenPlanError
        If the plan breaks a rule of the scenario as it is now.
    planner.core.problems.InputRefusedError
        If the folder cannot be read as a plan.
    """
    checked = check_folder(loaded, folder)
    broken = tuple(found for found in checked.violations if found.rule != "summary")
    if broken:
        raise BrokenPlanError(broken)
    return checked, priced_plan(loaded, checked.plan)


class Files:
    """The estimate of a plan as files, each made only when it is asked for."""

    def __init__(self, loaded: Loaded, plan: Plan, priced: Estimate, *, version: str) -> None:
        self._campaign = loaded.campaign
        self._plan = plan
        self._priced = priced
        self._version = version

    def pdf(self) -> bytes:
        """Return the PDF's bytes."""
        from planner.reports.estimate_pdf import estimate_pdf  # noqa: PLC0415 - slow to import

        return estimate_pdf(self._campaign, self._plan, self._priced, version=self._version)

    def xlsx(self) -> bytes:
        """Return the workbook's bytes."""
        from planner.reports.estimate_book import estimate_workbook  # noqa: PLC0415 - slow

        return estimate_workbook(self._campaign, self._plan, self._priced)

    def write(self, *, pdf: Path | None, xlsx: Path | None) -> None:
        """Write the files that are asked for; an old one stays until the new one is whole."""
        if xlsx is not None:
            replace_file(xlsx, self.xlsx())
        if pdf is not None:
            replace_file(pdf, self.pdf())
