"""A plan is lived many times: inputs are found, the plan is checked, the study is made."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

from planner.checks.check import check_plan
from planner.checks.violation import Violation
from planner.core.problems import InputRefusedError, Problem
from planner.model.campaign import Campaign
from planner.plan.plan import Plan
from planner.plan.store import read_plan
from planner.risk.inputs import RiskInputs, usual
from planner.risk.inputs_file import FILE, Given, read_inputs, with_allowance
from planner.risk.study import Settings, Study, study
from planner.workflow.loading import Loaded
from planner.workflow.residual_file import read_residual


class BrokenPlanError(Exception):
    """A plan breaks rules of its scenario; nobody could live it.

    Parameters
    ----------
    violations
        The broken rules.
    """

    def __init__(self, violations: tuple[Violation, ...]) -> None:
        self.violations = violations
        super().__init__(f"{len(violations)} broken rules")


class NothingPlannedError(Exception):
    """A plan without a spell: there is nothing to live."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lived:
    """A study, and whether the plan was made from this very scenario."""

    study: Study
    same_scenario: bool


def inputs_beside(scenario: Path) -> Path:
    """Return where the risk inputs of a scenario folder or workbook are looked for."""
    return (scenario if scenario.is_dir() else scenario.parent) / FILE


def risk_inputs(campaign: Campaign, scenario: Path, chosen: Path | None = None) -> RiskInputs:
    """Return what is drawn for a scenario.

    Parameters
    ----------
    campaign
        For its weather_allowance.csv.
    scenario
        Folder or workbook, beside which risk.toml is looked for.
    chosen
        Another file; None: risk.toml where there is one, else the defaults.

    Raises
    ------
    planner.core.problems.InputRefusedError
        If a file cannot be used.
    OSError
        If one cannot be read.
    """
    path = chosen if chosen is not None else inputs_beside(scenario)
    if chosen is None and not path.is_file():
        return with_allowance(Given(inputs=usual()), campaign.weather_allowance)
    if not path.is_file():
        message = (
            "there is no such file; name one with keys as in docs/risk.md, or leave out --inputs"
        )
        raise InputRefusedError([Problem(file=path.name, message=message, code="no-inputs")])
    given = read_inputs(path)
    inputs = with_allowance(given, campaign.weather_allowance)
    if given.residual is None:
        return inputs
    place = path.parent / given.residual
    if not place.is_file():
        problem = Problem(
            file=path.name,
            column="surge.residual",
            message=f'there is no file "{given.residual}" beside {path.name}; write one with'
            " ebbwork tide residual SCENARIO LEVELS --residual FILE",
            code="no-residual",
        )
        raise InputRefusedError([problem])
    return replace(inputs, residual=read_residual(place))


def study_folder(loaded: Loaded, folder: Path, inputs: RiskInputs, settings: Settings) -> Lived:
    """Return what may come of the plan in a folder.

    Raises
    ------
    planner.core.problems.InputRefusedError
        If the folder cannot be read as a plan.
    BrokenPlanError
        If the plan breaks a rule.
    NothingPlannedError
        If it holds no spell.
    planner.risk.site.StoppedError
        If it was stopped.
    """
    plan, figures = read_plan(folder, loaded.campaign)
    same = figures.get("scenario_sha256") == loaded.campaign.fingerprint
    violations = tuple(check_plan(loaded.campaign, plan, None))
    if violations:
        raise BrokenPlanError(violations)
    return Lived(study=study_plan(loaded.campaign, plan, inputs, settings), same_scenario=same)


def study_plan(campaign: Campaign, plan: Plan, inputs: RiskInputs, settings: Settings) -> Study:
    """Return what may come of a valid plan.

    Raises
    ------
    NothingPlannedError
        If it holds no spell.
    planner.risk.site.StoppedError
        If it was stopped.
    """
    if not plan.spells:
        raise NothingPlannedError
    return study(campaign, plan, inputs, settings)
