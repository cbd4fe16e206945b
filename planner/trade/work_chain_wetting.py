"""Protection of fresh concrete from wetting, and what the temperature makes of it."""

from __future__ import annotations

from collections.abc import Iterator

from planner.core.clock import MINUTES_PER_HOUR
from planner.core.rounding import up
from planner.model.sourced import Trust
from planner.trade.figure import Figure, Input
from planner.trade.maturity import (
    COLDEST_C,
    WARMEST_C,
    first_hours,
    hours_to_age,
    is_within,
    mean_c,
)
from planner.trade.work_chain_facts import WETTING
from planner.trade.work_chain_step import ChainStep, Sprayed, StepKind, ZoneWork, time_words

LOOK_AHEAD = 4.0
"""How many times ``protect_h`` the temperature is looked at for the slower time to wetting [1]."""


def no_time(work: ZoneWork) -> str:
    """Return what is known of the time to wetting of a zone."""
    face = work.face
    if work.zone.wets_at_m is None:
        return "The site's water does not reach it (wets_at_m)."
    if face is None:
        return "Its mix is open; each of them needs its own time to wetting (protect_h)."
    if face.protect_h is None:
        return (
            f"No time to wetting is entered for {face.mix_id} (protect_h): it has no published"
            " default, so test, maker or contract must give it."
        )
    return f"Not wetted for {face.protect_h:g} h after spraying (protect_h of {face.mix_id})."


def protect(work: ZoneWork, spell: Sprayed) -> Iterator[ChainStep]:
    """Yield how long the concrete of a spell must not be wetted, and when the water comes.

    Where the water never comes, one step after the last spell says so.
    """
    face = work.face
    if work.zone.wets_at_m is None or face is None or face.protect_h is None:
        if spell is work.spells[-1]:
            yield ChainStep(
                kind=StepKind.PROTECT,
                layer=spell.layer,
                start_min=spell.end_min,
                sentence=f"{no_time(work)} Keep rain and flowing water off.",
                figures=(WETTING,),
            )
        return
    needed = up(face.protect_h * MINUTES_PER_HOUR)
    wet_at = _next_wetting(work, spell.end_min)
    comes = (
        "the water is not seen to come back in the time looked at"
        if wet_at is None
        else f"the water comes after {time_words(wet_at - spell.end_min)}"
    )
    said, flag, figures = _at_temperature(work, spell, wet_at)
    yield ChainStep(
        kind=StepKind.PROTECT,
        layer=spell.layer,
        start_min=spell.end_min,
        end_min=spell.end_min + needed,
        minutes=needed,
        sentence=f"Not wetted for {face.protect_h:g} h (protect_h of {face.mix_id}); {comes}."
        f"{said}",
        flag=flag,
        figures=(*figures, WETTING),
    )


def _next_wetting(work: ZoneWork, minute: int) -> int | None:
    """Return when water next reaches the face [min]; None: not in the time that is known."""
    after = work.wet.clip(minute, work.end_min) if minute < work.end_min else None
    return after.starts[0] if after else None


def _at_temperature(
    work: ZoneWork, spell: Sprayed, wet_at: int | None
) -> tuple[str, str, tuple[Figure, ...]]:
    """Return what the temperature makes of the time to wetting: sentence, flag, figures."""
    face = work.face
    if face is None or face.protect_h is None or face.protect_at_c is None:
        return "", "", ()
    steps = work.air(spell.end_min, face.protect_h * LOOK_AHEAD)
    if steps is None:
        return "", "The temperature after spraying is not known, so it is not looked at.", ()
    seen = list(steps)
    if not is_within(seen):
        beyond = f"Air outside {COLDEST_C:g} to {WARMEST_C:g} °C is expected"
        return "", f"{beyond}: ask the mix's maker how long it must stay dry.", ()
    took = hours_to_age(
        face.protect_h,
        seen,
        activation_j_mol=work.cure.activation_j_mol,
        reference_c=face.protect_at_c,
    )
    mean = mean_c(seen if took is None else first_hours(seen, took))
    figure = Figure(
        name="time to wetting, by maturity",
        value=took,
        unit="h",
        formula="hours until the equivalent age at protect_at_c reaches protect_h",
        inputs=(
            Input(name="protect_h", value=face.protect_h, source=f"mixes.csv, {face.mix_id}"),
            Input(name="protect_at_c", value=face.protect_at_c, source="mixes.csv"),
            Input(
                name="activation_j_mol", value=work.cure.activation_j_mol, source="campaign.toml"
            ),
            Input(name="mean air, °C", value=mean, source="temperature, temperature_normals"),
        ),
        source="Arrhenius form of ASTM C1074; air for the concrete's own temperature",
        trust=Trust.DERIVED,
        note="only a warning: a thin layer follows the air, a thick one warms itself; calibrate",
    )
    return *_compared(face.protect_h, took, spell, wet_at, mean), (figure,)


def _compared(
    protect_h: float, took: float | None, spell: Sprayed, wet_at: int | None, mean_c: float
) -> tuple[str, str]:
    """Return how the time at the temperature expected compares: sentence and flag."""
    if took is None:
        return "", f"At about {mean_c:.1f} °C it needs more than {LOOK_AHEAD:g} times as long."
    said = f" At about {mean_c:.1f} °C the same maturity takes {took:.1f} h."
    there_h = None if wet_at is None else (wet_at - spell.end_min) / MINUTES_PER_HOUR
    if there_h is not None and took > there_h and took > protect_h:
        return said, (
            f"It needs {took:.1f} h at the temperature expected, and the water comes after"
            f" {there_h:.1f} h: enter a longer protect_h, or keep the water off."
        )
    return said, ""
