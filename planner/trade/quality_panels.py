"""Panels of the quality plan: before the work starts, and while it goes on.

Counts and ages are the contract's (``quality.*`` in campaign.toml); the sources of the defaults
stand in docs/quality.md.  The plan knows crews, not who holds the nozzle: a crew counts as
``quality.operators`` nozzle operators.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence

from planner.core.rounding import up
from planner.model.identifiers import CrewId, MixId
from planner.model.quality import Hold, Quality
from planner.model.sourced import Trust
from planner.trade.figure import Figure, Input
from planner.trade.quality_trial import (
    ACI_506_2,
    PREFIX,
    Placed,
    SprayKind,
    Trial,
    TrialKind,
    days_later,
    due_figure,
    given,
    hold_name,
    pre_name,
)

UFGS_PANELS = "UFGS 03371, 1.8"


def pre_construction(
    kinds: Iterable[SprayKind], panels: Mapping[SprayKind, int], quality: Quality
) -> list[Trial]:
    """Return the tests of the pre-construction panels, one panel for each kind.

    Parameters
    ----------
    kinds
        Crew, mix and orientation that are sprayed.
    panels
        End of the panel's run, where one is planned [min].
    """
    found = []
    for kind in kinds:
        made = panels.get(kind)
        found.append(_pre(kind, made, quality.age_d, quality.strength_mpa, quality, at=""))
        name = hold_name(kind, quality)
        if Hold.PANELS in quality.holds and name != found[-1].name:
            age = quality.age_d if quality.hold_age_d is None else quality.hold_age_d
            mpa = quality.strength_mpa if quality.hold_mpa is None else quality.hold_mpa
            found.append(_pre(kind, made, age, mpa, quality, at=f"{age:g}d"))
    return found


def _pre(
    kind: SprayKind,
    made: int | None,
    age_d: float,
    mpa: float | None,
    quality: Quality,
    *,
    at: str,
) -> Trial:
    crew, mix, orientation = kind
    pieces = quality.cores if at else quality.pre_cores
    counted = Figure(
        name="cores",
        value=float(pieces),
        unit="1",
        formula="one panel for each crew, mix and orientation; cores from each",
        inputs=(given("quality.cores" if at else "quality.pre_cores", pieces),),
        source=ACI_506_2 if at else f"{UFGS_PANELS}: each crew, mixture and position; 5 cores",
        trust=Trust.SECOND_HAND if at else Trust.READ,
        note="made in the position of the work, with its reinforcement",
    )
    return Trial(
        name=pre_name(kind, at=at),
        kind=TrialKind.PRE,
        crew=crew,
        mix=mix,
        orientation=orientation,
        made_min=made,
        due_min=days_later(made, age_d),
        pieces=pieces,
        specified_mpa=mpa,
        age_d=age_d,
        figures=(counted, due_figure(age_d, "quality.hold_age_d" if at else "quality.age_d")),
    )


def panel_count(*, days: int, volume_m3: float, operators: int, production_m3: float) -> int:
    """Return how many production panels a crew makes of a mix [1].

    For each nozzle operator one on each day worked, or one for each ``production_m3``, whichever
    gives more (ACI 506.2 as the American Shotcrete Association states it; one reading of the
    clause).  Operators of a crew share its volume equally.

    Examples
    --------
    >>> 2 * panel_count(days=4, volume_m3=50.0, operators=1, production_m3=38.0)
    8
    >>> panel_count(days=2, volume_m3=200.0, operators=1, production_m3=38.0)
    6
    """
    return operators * max(days, up(volume_m3 / operators / production_m3))


def spread(count: int, volumes_m3: Sequence[float]) -> list[int]:
    """Return how many panels each day makes: one at least, then where most is placed for each.

    Examples
    --------
    >>> spread(6, [150.0, 50.0])
    [4, 2]
    """
    made = [1] * len(volumes_m3)
    for _ in range(count - len(volumes_m3)):
        fullest = max(range(len(made)), key=lambda day: (volumes_m3[day] / made[day], -day))
        made[fullest] += 1
    return made


def production(placed: Iterable[Placed], quality: Quality) -> list[Trial]:
    """Return the production panels: mix by mix, crew by crew, on the days on which they spray."""
    by_crew: dict[tuple[MixId, CrewId], dict[str, list[Placed]]] = defaultdict(
        lambda: defaultdict(list)
    )
    for one in placed:
        by_crew[one.mix, one.crew][one.day].append(one)
    found = []
    for (mix, crew), days in sorted(by_crew.items()):
        found += _of_crew(mix, crew, days, quality)
    return found


def _of_crew(
    mix: MixId, crew: CrewId, days: Mapping[str, Sequence[Placed]], quality: Quality
) -> list[Trial]:
    order = sorted(days)
    volumes = [sum(one.volume_m3 for one in days[day]) for day in order]
    count = panel_count(
        days=len(order),
        volume_m3=sum(volumes),
        operators=quality.operators,
        production_m3=quality.production_m3,
    )
    figures = (
        _panels(count, len(order), sum(volumes), quality),
        _cores(quality),
        due_figure(quality.age_d, "quality.age_d"),
    )
    found = []
    for day, number in zip(order, spread(count, volumes), strict=True):
        ended = max(one.end_min for one in days[day])
        found += [
            Trial(
                name=f"{PREFIX[TrialKind.PRODUCTION]}/{mix}/{crew}/{day}/{k}",
                kind=TrialKind.PRODUCTION,
                crew=crew,
                mix=mix,
                made_min=ended,
                due_min=days_later(ended, quality.age_d),
                pieces=quality.cores,
                specified_mpa=quality.strength_mpa,
                age_d=quality.age_d,
                figures=figures,
            )
            for k in range(1, number + 1)
        ]
    return found


def _panels(count: int, days: int, volume_m3: float, quality: Quality) -> Figure:
    return Figure(
        name="panels",
        value=float(count),
        unit="1",
        formula="operators x max(days worked, ceil(volume / operators / production_m3))",
        inputs=(
            Input(name="days worked", value=float(days), source="plan: spells of crew and mix"),
            Input(name="volume_m3", value=volume_m3, source="plan: spells of crew and mix"),
            given("quality.operators", quality.operators),
            given("quality.production_m3", quality.production_m3),
        ),
        source=f"{ACI_506_2}: each mix, nozzle operator and day, or each 50 yd³, whichever is"
        " more; one reading of the clause",
        trust=Trust.SECOND_HAND,
        note="sprayed vertical unless the contract says otherwise; 406 x 406 x 127 mm at least",
    )


def _cores(quality: Quality) -> Figure:
    return Figure(
        name="cores",
        value=float(quality.cores),
        unit="1",
        formula="cores from each panel",
        inputs=(given("quality.cores", quality.cores),),
        source=f"{ACI_506_2}: three at least, 75 mm or more across, without steel",
        trust=Trust.SECOND_HAND,
    )
