"""Steps after spraying: protection from wetting, finishing, curing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from planner.core.clock import MINUTES_PER_DAY, MINUTES_PER_HOUR
from planner.core.rounding import up
from planner.model.quality import CureMethod
from planner.model.sourced import Trust
from planner.trade.figure import Figure, Input
from planner.trade.maturity import (
    COLDEST_C,
    WARMEST_C,
    Step,
    equivalent_age_h,
    hours_to_age,
    is_within,
    nurse_saul_c_h,
)
from planner.trade.work_chain_facts import (
    COLD,
    COLD_FACTOR,
    COLD_HIGH_C,
    COLD_LOW_C,
    CONTINUOUS_CURE_D,
    CURED,
    POTABLE,
    WETTING,
)
from planner.trade.work_chain_step import ChainStep, Sprayed, StepKind, ZoneWork

LOOK_AHEAD = 4.0
"""How many times ``protect_h`` the temperature is looked at for the slower time to wetting [1]."""


def after_spraying(work: ZoneWork) -> Iterator[ChainStep]:
    """Yield protection of each spell, finishing, and curing."""
    for spell in work.spells:
        yield from _protect(work, spell)
    if work.spells:
        yield _finish(work)
        yield _cure(work)
    else:
        yield ChainStep(kind=StepKind.PROTECT, sentence=_no_time(work), figures=(WETTING,))


def _no_time(work: ZoneWork) -> str:
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


def _protect(work: ZoneWork, spell: Sprayed) -> Iterator[ChainStep]:
    face = work.face
    if work.zone.wets_at_m is None or face is None or face.protect_h is None:
        if spell is work.spells[-1]:
            yield ChainStep(
                kind=StepKind.PROTECT,
                layer=spell.layer,
                start_min=spell.end_min,
                sentence=f"{_no_time(work)} Keep rain and flowing water off.",
                figures=(WETTING,),
            )
        return
    needed = up(face.protect_h * MINUTES_PER_HOUR)
    wet_at = _next_wetting(work, spell.end_min)
    comes = (
        "the water is not seen to come back in the time looked at"
        if wet_at is None
        else f"the water comes after {(wet_at - spell.end_min) / MINUTES_PER_HOUR:.1f} h"
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
    mean = _mean_c(seen)
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


def _mean_c(steps: Sequence[Step]) -> float:
    hours = sum(step[0] for step in steps)
    return sum(step[0] * step[1] for step in steps) / hours if hours else 0.0


def _compared(
    protect_h: float, took: float | None, spell: Sprayed, wet_at: int | None, mean_c: float
) -> tuple[str, str]:
    """Return how the time at the temperature expected compares: sentence and flag."""
    if took is None:
        return "", f"At about {mean_c:.0f} °C it needs more than {LOOK_AHEAD:g} times as long."
    said = f" At about {mean_c:.0f} °C the same maturity takes {took:.1f} h."
    there_h = None if wet_at is None else (wet_at - spell.end_min) / MINUTES_PER_HOUR
    if there_h is not None and took > there_h and took > protect_h:
        return said, (
            f"It needs {took:.1f} h at the temperature expected, and the water comes after"
            f" {there_h:.1f} h: enter a longer protect_h, or keep the water off."
        )
    return said, ""


def _finish(work: ZoneWork) -> ChainStep:
    end = work.spells[-1].end_min
    if work.finish_min <= 0:
        return ChainStep(
            kind=StepKind.FINISH,
            start_min=end,
            sentence="Trim and finish; no time is given for it (finish_min_m2).",
        )
    return ChainStep(
        kind=StepKind.FINISH,
        start_min=end,
        end_min=end + work.finish_min,
        minutes=work.finish_min,
        sentence="Trim and finish the last layer.",
    )


def _cure(work: ZoneWork) -> ChainStep:
    cure = work.cure
    start = work.spells[-1].end_min + max(0, work.finish_min)
    length = up(cure.days * MINUTES_PER_DAY)
    if cure.method is CureMethod.MOIST:
        how = f"Keep moist for {cure.days:g} d, the first {CONTINUOUS_CURE_D:g} d without a break"
    else:
        how = f"Membrane in two coats that cross; leave it for {cure.days:g} d"
    said, flags, figures = _grown(work, start)
    wet = list(work.wet.clip(start, min(start + length, work.end_min))) if length else []
    if wet:
        first_h = (wet[0][0] - start) / MINUTES_PER_HOUR
        times = f"{len(wet)} times" if len(wet) > 1 else "once"
        flags.append(
            f"The site's water reaches the face {times} meanwhile, first after {first_h:.1f} h;"
            " the contract and the engineer say whether that may be."
        )
        figures.append(POTABLE)
    return ChainStep(
        kind=StepKind.CURE,
        start_min=start,
        end_min=start + length,
        minutes=length,
        sentence=f"{how}.{said}",
        flag=" ".join(flags),
        figures=(CURED[cure.method.value], *figures),
    )


def _grown(work: ZoneWork, start: int) -> tuple[str, list[str], list[Figure]]:
    """Return what the mix reaches by the end of curing, what is cold about it, and figures."""
    cure = work.cure
    hours = cure.days * 24.0
    steps = work.air(start, hours) if hours > 0 else None
    if not steps:
        return "", [], []
    seen = list(steps)
    mean = _mean_c(seen)
    degree_hours = nurse_saul_c_h(seen, datum_c=cure.datum_c)
    age_d = equivalent_age_h(seen, activation_j_mol=cure.activation_j_mol) / 24.0
    flags, figures = [], [_maturity(work, degree_hours, age_d, mean)]
    if COLD_LOW_C <= mean < COLD_HIGH_C:
        flags.append(
            f"The air means {mean:.0f} °C: UFGS 03311 lengthens curing of marine concrete to"
            f" {cure.days * COLD_FACTOR:g} d."
        )
        figures.append(COLD)
    elif mean < COLD_LOW_C:
        flags.append(f"The air means {mean:.0f} °C: keep it warm, or wait (UFGS: above 5 °C).")
    said = (
        f" At about {mean:.0f} °C it then has {degree_hours:.0f} °C h and the age of"
        f" {age_d:.1f} d at 20 °C."
    )
    return said, flags, figures


def _maturity(work: ZoneWork, degree_hours: float, age_d: float, mean_c: float) -> Figure:
    cure = work.cure
    return Figure(
        name="equivalent age at the end of curing",
        value=age_d,
        unit="d",
        formula=f"Arrhenius form of ASTM C1074 at 20 °C; Nurse-Saul {degree_hours:.0f} °C h",
        inputs=(
            Input(name="cure.days", value=cure.days, source="campaign.toml"),
            Input(name="activation_j_mol", value=cure.activation_j_mol, source="campaign.toml"),
            Input(name="datum_c", value=cure.datum_c, source="campaign.toml"),
            Input(name="mean air, °C", value=mean_c, source="temperature, temperature_normals"),
        ),
        source="practice notes on ASTM C1074 (E about 33 500 J/mol, datum 0 °C)",
        trust=Trust.READ,
        note="says nothing of strength without a calibration of the mix",
    )
