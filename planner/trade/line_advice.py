"""What to look at before a rig works on a line; nothing of it rules the line out."""

from __future__ import annotations

from collections.abc import Mapping

from planner.model.identifiers import Process
from planner.model.machine import Trait
from planner.model.rig import Rig
from planner.trade.figure import Figure
from planner.trade.line_figures import NO_VETO, Line
from planner.trade.machine_figures import machine_of

USUAL_COMPRESSOR_KPA = 700.0
"""Pressure of a common site compressor, 100 psi [kPa]; common practice."""
PLAIN_WET_M = 100.0
"""Wet-mix reaches so far without special lines [m]: common practice."""


def line_advice(
    rig: Rig, line: Line, figures: Mapping[str, Figure], *, closed: bool
) -> tuple[str, ...]:
    """Return advice for a rig on its longest line, the weightiest first.

    Parameters
    ----------
    rig, line
        The rig, and the line that asks most of it.
    figures
        What it wants there, by name.
    closed
        Whether faces that it reaches lie in a closed space.
    """
    found = [
        *_pressure(rig, figures),
        *_compressor(rig, figures),
        *_water(rig, figures),
        *_beyond_kind(rig, line),
        *_kind(rig),
    ]
    if rig.process is Process.WET and line.laid_m > PLAIN_WET_M:
        found.append(
            f"{line.laid_m:.0f} m of line is beyond the {PLAIN_WET_M:g} m that wet mix reaches"
            " without special lines (common practice): steel line, rubber for the last stretch"
        )
    if closed:
        found.append(
            "closed space: ventilation before entry and until the last one is out; follow your"
            " local code for confined spaces"
        )
    return tuple(found)


def _pressure(rig: Rig, figures: Mapping[str, Figure]) -> list[str]:
    wanted = figures.get("gun_kpa")
    if wanted is None or wanted.value is None:
        return []
    have_kpa = USUAL_COMPRESSOR_KPA if rig.air_kpa is None else rig.air_kpa
    if wanted.value <= have_kpa:
        return []
    whose = "a usual compressor" if rig.air_kpa is None else "its compressor"
    text = (
        f"a rule of thumb wants {wanted.value:.0f} kPa at the gun, more than the {have_kpa:.0f}"
        f" kPa of {whose}; {NO_VETO}"
    )
    return [text]


def _compressor(rig: Rig, figures: Mapping[str, Figure]) -> list[str]:
    wanted = figures["air_m3_min"].value
    if wanted is None or rig.air_m3_min is None or rig.air_m3_min >= wanted:
        return []
    text = (
        f"its compressor delivers {rig.air_m3_min:.1f} of the {wanted:.1f} m³/min wanted, blow"
        " pipe and air motors not counted"
    )
    return [text]


def _water(rig: Rig, figures: Mapping[str, Figure]) -> list[str]:
    wanted = figures.get("water_supply_kpa")
    if wanted is None or wanted.value is None:
        return []
    pump = "a booster pump is advised, not required"
    if rig.water_kpa is None:
        return [f"no water_kpa is given: have water_supply_kpa, steady, beside the rig; {pump}"]
    if rig.water_kpa < wanted.value:
        return [f"its water has {rig.water_kpa:.0f} of the {wanted.value:.0f} kPa wanted: {pump}"]
    return []


def _beyond_kind(rig: Rig, line: Line) -> list[str]:
    machine = machine_of(rig)
    if machine is None:
        return []
    found = []
    for trait, value, what in (
        (Trait.LEVEL, line.laid_m, "of hose"),
        (Trait.RISE, line.rise_m, "of rise"),
    ):
        span = machine.span(trait)
        if span is not None and span.high is not None and value > span.high:
            found.append(
                f"{value:.0f} m {what} is beyond what is known of a {machine.title},"
                f" {span.words()} ({span.source}); the reach in rigs.csv is the limit, so ask its"
                " maker"
            )
    return found


def _kind(rig: Rig) -> list[str]:
    machine = machine_of(rig)
    if machine is None:
        return ["no type is named in rigs.csv: a usual bore and crew are assumed"]
    if machine.intermittent:
        return [f"a {machine.title} feeds batch by batch: its stops are part of nozzle_on"]
    return []
