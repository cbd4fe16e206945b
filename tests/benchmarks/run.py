"""Measure the optimiser: ``python -m tests.benchmarks.run CASE --seconds N --seed S``.

CASE is a synthetic case (20, 40, 200, 1000, 5000), a published instance (u120_00, scp41, ...) or
``published`` for all of those.  A row goes to standard output and to results.md beside this file.
The hand rule is the planner's own baseline: zones in table order, each as soon as it can be.
"""

import argparse
import os
import platform
import resource
import sys
import time
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

from planner.access.windows import Access
from planner.checks.check import check_plan
from planner.core.progress import Progress
from planner.model.campaign import Campaign
from planner.model.identifiers import Goal
from planner.optimise.engine import Settings, optimise
from planner.optimise.hand_rule import hand_rule
from planner.optimise.problem import build_problem
from planner.optimise.score import Scored
from planner.options.build import Options
from planner.plan import measures
from planner.plan.plan import Plan, Proof
from planner.reach.hoses import Reach
from tests.benchmarks import instances
from tests.benchmarks.cases import CASES

RESULTS = Path(__file__).with_name("results.md")
HEADING = """# What the optimiser makes of the benchmark cases

Written by `python -m tests.benchmarks.run`; newest last.
For each goal: value of the plan (bound, gap); then the hand rule's value (ratio to the plan's).
Finish in hours; "first" is the time to the first plan; memory is the peak of the whole process.

| case | seed | seconds | first s | planned m³ (bound) | goals | hand rule | valid | MB | machine |
| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |
"""


@dataclass
class Ear:
    """Listens for the first plan."""

    first_s: float | None = None
    lines: list[str] = field(default_factory=list)

    def __call__(self, report: Progress) -> None:
        """Remember when there was a plan first; show progress on standard error."""
        if self.first_s is None and report.best is not None:
            self.first_s = report.elapsed_s
        sys.stderr.write(
            f"{report.elapsed_s:8.1f} s  {report.stage:30} {report.goal:12}"
            f" {report.best!s:>16} {report.bound!s:>16}\n"
        )


def campaign_of(case: str, seed: int) -> Campaign:
    """Return the campaign of a case."""
    if case in CASES:
        return CASES[case](seed)
    if case in instances.names("bin_packing"):
        days = instances.published("bin_packing", case) + 10
        return instances.packing_campaign(instances.read_packing(case), days=days)
    if case in instances.names("set_cover"):
        return instances.covering_campaign(instances.read_covering(case))
    msg = f"{case} is not a case: {', '.join([*CASES, *published_names()])}"
    raise SystemExit(msg)


def published_names() -> list[str]:
    """Return the published instances that lie beside this clone."""
    return [*instances.names("bin_packing"), *instances.names("set_cover")]


def hand_plan(campaign: Campaign) -> Plan:
    """Return the plan of the hand rule."""
    options = Options(campaign=campaign, access=Access(campaign), reach=Reach(campaign))
    board, _ = hand_rule(build_problem(options))
    return Scored(board).plan


def goal_text(campaign: Campaign, plan: Plan, proof: Proof, goal: Goal) -> str:
    """Return value, bound and gap of one goal."""
    value = measures.value(campaign, plan, goal)
    bound = proof.bound[goal]
    gap = abs(value - bound) / max(abs(value), 1e-9)
    return f"{goal} {value:.6g} ({bound:.6g}, {100 * gap:.2f} %)"


def hand_text(campaign: Campaign, plan: Plan, hand: Plan, goal: Goal) -> str:
    """Return the hand rule's value of one goal and its ratio to the plan's."""
    value, theirs = (measures.value(campaign, p, goal) for p in (plan, hand))
    ratio = f"{theirs / value:.3f}" if value else "-"
    return f"{goal} {theirs:.6g} ({ratio})"


def row(case: str, campaign: Campaign, settings: Settings) -> str:
    """Solve a case and return its row."""
    ear = Ear()
    started = time.monotonic()
    plan, proof = optimise(campaign, settings=settings, listener=ear)
    took = time.monotonic() - started
    peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    broken = check_plan(campaign, plan, None)
    hand = hand_plan(campaign)
    planned, bound_m3 = measures.planned_m3(plan), proof.planned_m3_bound
    cells = (
        case,
        str(settings.seed),
        f"{took:.0f} of {settings.seconds:.0f}",
        "-" if ear.first_s is None else f"{ear.first_s:.1f}",
        f"{planned:.6g} ({bound_m3:.6g})",
        "; ".join(goal_text(campaign, plan, proof, goal) for goal in campaign.goals),
        f"{measures.planned_m3(hand):.6g} m³; "
        + "; ".join(hand_text(campaign, plan, hand, goal) for goal in campaign.goals),
        "yes" if not broken else f"{len(broken)} broken, first: {broken[0].message}",
        f"{peak_mb:.0f}",
        f"{os.cpu_count()} x {platform.machine()}, Python {platform.python_version()}",
    )
    return f"| {' | '.join(cells)} |"


def main(arguments: Sequence[str]) -> None:
    """Measure one case, or all published instances."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("case")
    parser.add_argument("--seconds", type=float, default=50.0)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--workers", type=int, default=1)
    parser.add_argument("--goal", help="goals in order, with commas")
    asked = parser.parse_args(arguments)
    settings = Settings(seed=asked.seed, seconds=asked.seconds, workers=asked.workers)
    for case in published_names() if asked.case == "published" else [asked.case]:
        campaign = campaign_of(case, asked.seed)
        if asked.goal:
            goals = tuple(Goal(name) for name in asked.goal.split(","))
            campaign = replace(campaign, goals=goals, may_worsen=(0.0,) * (len(goals) - 1))
        line = row(case, campaign, settings)
        if not RESULTS.exists():
            RESULTS.write_text(HEADING, encoding="utf-8")
        with RESULTS.open("a", encoding="utf-8") as results:
            results.write(line + "\n")
        sys.stdout.write(line + "\n")


if __name__ == "__main__":
    main(sys.argv[1:])
