"""``ebbwork why``: what set a spell, what fills a gap, why a zone is left out."""

from __future__ import annotations

from argparse import ArgumentParser
from pathlib import Path
from typing import TYPE_CHECKING

from planner.commands.codes import Exit
from planner.commands.console import RefusedError, say, write_rows
from planner.commands.listings import load, zone_named
from planner.scenario.suggest import did_you_mean

if TYPE_CHECKING:
    from planner.explain.ground import Ground

HEADING = ("about", "answer")
GAP_HEADING = ("rig", "start", "end", "minutes", "cause", "what")


def why_arguments(command: ArgumentParser) -> None:
    """Add the arguments of ``why``, the scenario aside."""
    command.add_argument("plan", metavar="PLAN", type=Path, help="plan folder")
    about = command.add_mutually_exclusive_group(required=True)
    about.add_argument("--zone", metavar="Z", help="what set each spell of this zone")
    about.add_argument("--run", metavar="R", help="what set each spell of this run")
    about.add_argument(
        "--gap",
        metavar="RIG",
        help="what fills the time between the runs of this rig, minute by minute",
    )


def run_why(
    scenario: Path, plan: Path, *, zone: str | None, run: str | None, gap: str | None
) -> Exit:
    """Answer one question about a plan, as CSV on standard output."""
    from planner.explain.ground import Ground  # noqa: PLC0415 - heavy
    from planner.plan.store import read_plan  # noqa: PLC0415 - heavy

    loaded = load(scenario)
    rows, summary = read_plan(plan, loaded.campaign)
    if summary.get("scenario_sha256") != loaded.campaign.fingerprint:
        say("The plan says that it was made from another scenario, or an older one.")
    ground = Ground(loaded.campaign, rows)
    if gap is not None:
        return _gap(ground, gap)
    return _spells(ground, zone, run)


def _spells(ground: Ground, zone: str | None, run: str | None) -> Exit:
    from planner.reports.why import spell_sentences, zone_sentences  # noqa: PLC0415 - heavy

    if zone is not None:
        name = zone_named(ground.campaign, zone)
        write_rows(HEADING, ((name, text) for text in zone_sentences(ground, name)))
        return Exit.DONE
    if run not in ground.runs:
        msg = f"There is no run {run!r} in this plan{did_you_mean(str(run), ground.runs)}"
        raise RefusedError(msg)
    spells = ground.spells_of_run[run]
    write_rows(
        HEADING,
        ((spell.zone, text) for spell in spells for text in spell_sentences(ground, spell)),
    )
    return Exit.DONE


def _gap(ground: Ground, name: str) -> Exit:
    from planner.explain.gap import gaps, why_gap  # noqa: PLC0415 - heavy

    known = {str(rig): rig for rig in ground.rigs}
    if name not in known:
        msg = f"There is no rig {name!r}{did_you_mean(name, known)}"
        raise RefusedError(msg)
    rig, clock = known[name], ground.clock
    write_rows(
        GAP_HEADING,
        (
            (
                rig,
                clock.text(piece.start_min),
                clock.text(piece.end_min),
                piece.minutes,
                piece.kind,
                piece.text,
            )
            for gap in gaps(ground, rig)
            for piece in why_gap(ground, rig, gap.start_min, gap.end_min)
        ),
    )
    return Exit.DONE
