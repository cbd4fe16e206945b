"""Steps after spraying: finishing and curing."""

from __future__ import annotations

from collections.abc import Iterator

from planner.core.clock import MINUTES_PER_DAY
from planner.core.rounding import up
from planner.model.quality import CureMethod
from planner.model.sourced import Trust
from planner.trade.figure import Figure, Input
from planner.trade.maturity import equivalent_age_h, mean_c, nurse_saul_c_h
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
from planner.trade.work_chain_step import ChainStep, StepKind, ZoneWork, time_words
from planner.trade.work_chain_wetting import no_time


def after_spraying(work: ZoneWork) -> Iterator[ChainStep]:
    """Yield finishing and curing; for a zone that is not planned what it will need."""
    if work.spells:
        yield _finish(work)
        yield _cure(work)
    else:
        yield ChainStep(kind=StepKind.PROTECT, sentence=no_time(work), figures=(WETTING,))


def _finish(work: ZoneWork) -> ChainStep:
    end = work.spells[-1].end_min
    figures = (_finish_figure(work),)
    if work.finish_min <= 0:
        return ChainStep(
            kind=StepKind.FINISH,
            start_min=end,
            sentence="Trim and finish; no time is given for it (finish_min_m2).",
            figures=figures,
        )
    return ChainStep(
        kind=StepKind.FINISH,
        start_min=end,
        end_min=end + work.finish_min,
        minutes=work.finish_min,
        sentence="Trim and finish the last layer.",
        figures=figures,
    )


def _finish_figure(work: ZoneWork) -> Figure:
    face, area = work.face, work.zone.area_m2
    inputs = [] if area is None else [Input(name="area_m2", value=area, source="zones.csv")]
    if face is not None:
        source = f"mixes.csv, {face.mix_id} {face.orientation}"
        inputs.append(Input(name="finish_min_m2", value=face.finish_min_m2, source=source))
    return Figure(
        name="minutes",
        value=float(work.finish_min),
        unit="min",
        formula="finish_min_m2 x area_m2, rounded up",
        inputs=tuple(inputs),
        source="docs/rules.md, rule 1: it fits into the window of the last spell",
        trust=Trust.GIVEN,
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
        times = f"{len(wet)} times" if len(wet) > 1 else "once"
        first = time_words(wet[0][0] - start)
        flags.append(
            f"The site's water reaches the face {times} meanwhile, first after {first}; the"
            " contract and the engineer say whether that may be."
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
    mean = mean_c(seen)
    degree_hours = nurse_saul_c_h(seen, datum_c=cure.datum_c)
    age_d = equivalent_age_h(seen, activation_j_mol=cure.activation_j_mol) / 24.0
    flags, figures = [], [_maturity(work, degree_hours, age_d, mean)]
    if COLD_LOW_C <= mean < COLD_HIGH_C:
        flags.append(
            f"The air means {mean:.1f} °C: UFGS 03311 lengthens curing of marine concrete to"
            f" {cure.days * COLD_FACTOR:g} d."
        )
        figures.append(COLD)
    elif mean < COLD_LOW_C:
        flags.append(f"The air means {mean:.1f} °C: keep it warm, or wait (UFGS: above 5 °C).")
    said = (
        f" At about {mean:.1f} °C it then has {degree_hours:.0f} °C h and the age of"
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
