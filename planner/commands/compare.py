"""``ebbwork compare``: several stagings of one job, and where the cheaper one changes."""

from __future__ import annotations

import argparse
from argparse import Namespace
from collections.abc import Sequence
from dataclasses import astuple, fields
from pathlib import Path
from typing import TYPE_CHECKING

from planner import __version__
from planner.commands.codes import Exit
from planner.commands.console import RefusedError, say, say_problems, write_rows
from planner.commands.interrupts import Interrupts
from planner.commands.listings import load
from planner.commands.words import SAFETY
from planner.scenario.suggest import did_you_mean

if TYPE_CHECKING:
    from planner.workflow.comparing import Curve, How
    from planner.workflow.loading import Loaded
    from planner.workflow.sweep import SweepProgress, Swept
    from planner.workflow.sweep_task import Row, Task
    from planner.workflow.variants import Variant

AXES = ("volume", "distance", "window")
EFFORT = 5.0


def compare_arguments(command: argparse.ArgumentParser) -> None:
    """Add the arguments of ``compare``, the scenario and those of the search aside."""
    command.add_argument(
        "--variants",
        metavar="a,b",
        help="only these of SCENARIO/variants (default: all, and the scenario as it stands)",
    )
    command.add_argument(
        "--break-even",
        metavar="a,b",
        help="scale the job with these two until the cheaper one changes; lists the curve",
    )
    command.add_argument(
        "--by",
        metavar="x,y",
        default=",".join(AXES),
        help=f"what is scaled for --break-even, out of {', '.join(AXES)} (default: all)",
    )
    command.add_argument(
        "--at",
        metavar="x,y",
        help="values to plan, for one --by (default: some that fit; see docs/compare.md)",
    )
    command.add_argument(
        "--cluster",
        metavar="local|ADDRESS",
        default="",
        help="plan on Dask: worker processes on this machine, or a scheduler's address"
        " (default: threads)",
    )
    command.add_argument(
        "--out",
        metavar="FILE",
        type=Path,
        help="keep every plan's figures in a Parquet file; a stopped comparison goes on from it",
    )
    command.add_argument(
        "--pdf", metavar="FILE", type=Path, help="write table and charts as a PDF as well"
    )


def run_compare(arguments: Namespace, interrupts: Interrupts) -> Exit:
    """Plan every staging and list what came of it."""
    from planner.workflow.comparing import How  # noqa: PLC0415 - heavy
    from planner.workflow.sweep_task import NO_LIMIT_S  # noqa: PLC0415 - heavy

    loaded = load(arguments.scenario)
    variants = _variants(loaded, arguments.scenario, arguments.variants)
    how = How(
        seeds=arguments.seeds,
        effort=arguments.effort,
        seconds=arguments.seconds or NO_LIMIT_S,
        goals=tuple(goal.value for goal in arguments.goal or ()),
    )
    with interrupts.kept():
        if arguments.break_even:
            return _break_even(arguments, loaded, variants, how, interrupts)
        return _side_by_side(arguments, loaded, variants, how, interrupts)


def _variants(loaded: Loaded, scenario: Path, wanted: str | None) -> list[Variant]:
    from planner.workflow.comparing import base_variant  # noqa: PLC0415 - heavy
    from planner.workflow.demos import VARIANTS  # noqa: PLC0415 - heavy
    from planner.workflow.variants import load_variants, variant_paths  # noqa: PLC0415

    paths = variant_paths(scenario)
    if not paths:
        msg = f"{scenario} has no {VARIANTS}/*.toml to compare; docs/compare.md shows one"
        raise RefusedError(msg)
    names = list(paths) if wanted is None else _words(wanted)
    for name in names:
        if name not in paths and name != "base":
            known = ["base", *paths]
            msg = f"There is no variant {name!r}{did_you_mean(name, known)}; there are: " + (
                ", ".join(known)
            )
            raise RefusedError(msg)
    base = [base_variant(loaded)] if wanted is None or "base" in names else []
    found = load_variants(loaded, [paths[name] for name in names if name in paths])
    for variant in found:
        say_problems(variant.loaded.warnings)
    return [*base, *found]


def _words(text: str) -> list[str]:
    return list(dict.fromkeys(word.strip() for word in text.split(",") if word.strip()))


def _side_by_side(
    arguments: Namespace,
    loaded: Loaded,
    variants: Sequence[Variant],
    how: How,
    interrupts: Interrupts,
) -> Exit:
    from planner.reports.comparison import CompareRow, compare_rows, verdict  # noqa: PLC0415
    from planner.workflow.comparing import compare_tasks, stagings  # noqa: PLC0415 - heavy

    swept = _sweep(compare_tasks(variants, how), arguments, interrupts)
    found = stagings(swept.rows, _goals(loaded, how))
    write_rows([f.name for f in fields(CompareRow)], map(astuple, compare_rows(found)))
    for sentence in verdict(found) if found or not swept.stopped else ():
        say(sentence)
    _write_pdf(arguments.pdf, loaded, swept.rows, how, [])
    return _end(swept, arguments)


def _break_even(
    arguments: Namespace,
    loaded: Loaded,
    variants: Sequence[Variant],
    how: How,
    interrupts: Interrupts,
) -> Exit:
    from planner.reports.comparison import CurveRow, curve_rows  # noqa: PLC0415 - heavy
    from planner.workflow.comparing import curve, curve_tasks  # noqa: PLC0415 - heavy
    from planner.workflow.scaling import Axis, scale_of  # noqa: PLC0415 - heavy

    one, other = _pair(arguments.break_even, variants)
    axes = [Axis(word) for word in _axes(arguments.by)]
    values = {axis: scale_of(one.loaded.campaign, axis).values for axis in axes}
    if arguments.at is not None:
        if len(axes) != 1:
            raise RefusedError("--at goes with one --by, for example --by volume --at 0.5,1,2")
        values = {axes[0]: _numbers(arguments.at)}
    tasks = [task for axis in axes for task in curve_tasks(one, other, axis, values[axis], how)]
    swept = _sweep(tasks, arguments, interrupts)
    goals = _goals(loaded, how)
    curves = [curve(swept.rows, one, other, axis, goals) for axis in axes]
    rows = [
        row
        for made in curves
        for found in (made.one, made.other)
        for row in curve_rows(made.scale.axis.value, made.scale.unit, found)
    ]
    write_rows([field.name for field in fields(CurveRow)], map(astuple, rows))
    for made in curves:
        say(f"By {made.scale.axis.value} ({made.scale.meaning}): {_words_of(made)}")
    _write_pdf(arguments.pdf, loaded, swept.rows, how, curves)
    return _end(swept, arguments)


def _words_of(made: Curve) -> str:
    from planner.reports.comparison import crossing_words  # noqa: PLC0415 - heavy

    return crossing_words(made.one, made.other, made.crossings, made.scale.unit)


def _goals(loaded: Loaded, how: How) -> tuple[str, ...]:
    return how.goals or tuple(goal.value for goal in loaded.campaign.goals)


def _pair(text: str, variants: Sequence[Variant]) -> tuple[Variant, Variant]:
    known = {variant.variant: variant for variant in variants}
    names = _words(text)
    odd = next((name for name in names if name not in known), None)
    if odd is not None or len(names) != 2:
        hint = did_you_mean(odd, known) if odd else ""
        msg = f"--break-even wants two of {', '.join(known)}, as in dry,wet; got {text!r}{hint}"
        raise RefusedError(msg)
    return known[names[0]], known[names[1]]


def _axes(text: str) -> list[str]:
    words = _words(text)
    for word in words:
        if word not in AXES:
            msg = f"--by wants some of {', '.join(AXES)}; got {word!r}{did_you_mean(word, AXES)}"
            raise RefusedError(msg)
    return words


def _numbers(text: str) -> tuple[float, ...]:
    from planner.scenario.values import number_of  # noqa: PLC0415 - heavy

    found = [number_of(word) for word in _words(text)]
    numbers = tuple(number for number in found if number is not None and number >= 0.0)
    if len(numbers) != len(found) or not numbers:
        msg = f"--at wants numbers that are not below 0, as in 0.5,1,2; got {text!r}"
        raise RefusedError(msg)
    return tuple(sorted(numbers))


def _sweep(tasks: Sequence[Task], arguments: Namespace, interrupts: Interrupts) -> Swept:
    from planner.workflow.executors import ClusterError  # noqa: PLC0415 - heavy
    from planner.workflow.sweep import sweep  # noqa: PLC0415 - heavy
    from planner.workflow.sweep_store import NotASweepError, Store  # noqa: PLC0415 - heavy

    store = None if arguments.out is None else Store(arguments.out)
    try:
        return sweep(
            tasks,
            where=arguments.cluster,
            workers=arguments.workers,
            store=store,
            listener=_tell,
            stop=interrupts.stop,
        )
    except ClusterError as refused:
        raise RefusedError(str(refused)) from refused
    except NotASweepError as refused:
        msg = f"{arguments.out} is not the file of a comparison: {refused}; give --out another"
        raise RefusedError(msg) from refused


def _tell(progress: SweepProgress) -> None:
    row = progress.latest
    if row is None:
        if progress.known:
            say(f"{progress.known} of {progress.total} plans are known already.")
        return
    say(f"{progress.done:4d} of {progress.total}  {_said(row)}")


def _said(row: Row) -> str:
    at = f" {row['axis']} {row['at']:g}" if row["axis"] else ""
    total = row.get("total")
    what = "no plan in time" if not isinstance(total, float) else f"estimate {total:.0f}"
    return f"{row['variant']}{at}, seed {row['seed']}: {what}"


def _write_pdf(
    path: Path | None, loaded: Loaded, rows: Sequence[Row], how: How, curves: Sequence[Curve]
) -> None:
    if path is None:
        return
    from planner.scenario.replace import replace_file  # noqa: PLC0415 - heavy
    from planner.workflow.comparison_files import comparison_file  # noqa: PLC0415 - heavy

    goals = _goals(loaded, how)
    replace_file(path, comparison_file(loaded, rows, curves, goals, version=__version__))
    say(f"Written to {path}")


def _end(swept: Swept, arguments: Namespace) -> Exit:
    say(SAFETY)
    if arguments.out is not None and not swept.stopped:
        say(f"Every plan's figures are in {arguments.out}")
    if swept.stopped:
        again = "; the same command goes on from there" if arguments.out is not None else ""
        say(f"Stopped with {len(swept.rows)} plans{again}.")
        return Exit.INTERRUPTED
    left_out = any(row.get("left_out") or row.get("finish") is None for row in swept.rows)
    return Exit.PARTLY if left_out else Exit.DONE
