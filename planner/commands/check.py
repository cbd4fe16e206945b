"""``ebbwork check``: problems of a scenario, and broken rules of a plan."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from planner.checks.violation import Violation
from planner.commands.codes import Exit
from planner.commands.console import say, say_problems, write_rows
from planner.commands.targets import default_target
from planner.commands.words import SAFETY, count
from planner.plan.store import is_plan_folder
from planner.trade.cautions_in_plan import cautions_in_plan

if TYPE_CHECKING:
    from planner.workflow.checking import Checked
    from planner.workflow.loading import Loaded

HEADING = ("rule", "table", "row", "amount", "message")


def run_check(scenario: Path, folder: Path | None) -> Exit:
    """Check a scenario, and a plan for it where one is given."""
    from planner.workflow.loading import load_scenario  # noqa: PLC0415 - heavy

    loaded = load_scenario(scenario)
    say_problems(loaded.warnings)
    if folder is None:
        _tell_scenario(loaded, scenario)
        return Exit.DONE
    from planner.workflow.checking import check_folder  # noqa: PLC0415 - heavy

    checked = check_folder(loaded, folder)
    write_rows(HEADING, map(_cells, checked.violations))
    _tell_plan(loaded, checked)
    return Exit.PARTLY if checked.violations else Exit.DONE


def _cells(violation: Violation) -> tuple[object, ...]:
    row = "" if violation.row is None else violation.row
    return violation.rule, violation.table, row, violation.amount, violation.message


def _tell_scenario(loaded: Loaded, scenario: Path) -> None:
    campaign = loaded.campaign
    say(
        f"{campaign.name}: {count(len(campaign.zones), 'zone')}, "
        f"{count(len(campaign.rigs), 'rig')}, {count(len(campaign.positions), 'position')}, "
        f"{campaign.clock.days} days. {_no_errors(loaded)}"
    )
    beside = default_target(scenario)
    if is_plan_folder(beside):
        say(f"There is a plan in {beside}; to check it, name it after the scenario.")


def _no_errors(loaded: Loaded) -> str:
    if not loaded.warnings:
        return "No problem found."
    return f"No error found; {count(len(loaded.warnings), 'warning')} above."


def _tell_plan(loaded: Loaded, checked: Checked) -> None:
    if not checked.same_scenario:
        say(
            "The plan was made from another state of this scenario (its scenario_sha256 differs); "
            "it was checked against the scenario as it is now."
        )
    volume_m3 = sum(spell.volume_m3 for spell in checked.plan.spells)
    zones = {spell.zone for spell in checked.plan.spells}
    planned = f"{count(len(zones), 'zone')} and {volume_m3:.2f} m³ planned"
    if checked.violations:
        rules = sorted({v.rule for v in checked.violations}, key=lambda rule: (len(rule), rule))
        broken = count(len(checked.violations), "broken rule")
        say(f"{broken} (of {', '.join(rules)}) in {loaded.campaign.name}; {planned}.")
    else:
        say(f"No rule is broken: {planned}.")
    _tell_cautions(loaded, checked)
    say(SAFETY)


def _tell_cautions(loaded: Loaded, checked: Checked) -> None:
    """Say how many spells ask for a second look, though they break no rule."""
    from planner.reports.cautions import tally  # noqa: PLC0415 - heavy

    found = cautions_in_plan(loaded.campaign, checked.plan.spells)
    if found:
        say(f"{tally(found)} To list them: equipment SCENARIO --cautions PLAN.")
