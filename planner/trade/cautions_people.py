"""Cautions about crews: fatigue and rest between tides, night, breaking out."""

from __future__ import annotations

from planner.core.clock import MINUTES_PER_DAY, MINUTES_PER_HOUR
from planner.model.crew import Crew, Shift
from planner.model.identifiers import CrewKind
from planner.model.sourced import Trust
from planner.model.water import WaterKind
from planner.trade.caution import Asked, Caution, Scope

NIGHT_FROM, NIGHT_TO = 22 * MINUTES_PER_HOUR, 6 * MINUTES_PER_HOUR
"""22:00 to 06:00, as the contract counts night runs [minutes of the day]."""


def fatigue(asked: Asked) -> Caution | None:
    """Return the caution about rest, for every crew."""
    tides = (
        " Two low waters a day tempt to split duties: the hours between them are no rest unless"
        " people can sleep."
        if asked.campaign.water.kind in (WaterKind.TIDE, WaterKind.HIGHLOW)
        else ""
    )
    free = [str(crew.crew_id) for crew in asked.crews if crew.duty_max_min is None]
    unlimited = (
        f" No longest duty and rest are given for {', '.join(free)} (duty_max_h, rest_min_h):"
        " nothing in the plan limits their hours."
        if free
        else " Longest duty and least rest are those of crews.csv."
    )
    return _of_crews(
        asked.crews,
        code="fatigue",
        title="Fatigue and rest between tides",
        text=(
            "The nozzle operator's strength sets the pace, not the machine, and tired people get"
            f" hurt.{tides}{unlimited} Travel comes on top."
        ),
        follow=(
            "Follow your local code for working time and rest (for example 11 hours of daily rest"
            " in the European directive 2003/88/EC)."
        ),
        source="the nozzle operator as the limit: Shotcrete magazine, on double nozzles; the"
        " directive's figure from memory",
        trust=Trust.MEMORY,
    )


def night(asked: Asked) -> Caution | None:
    """Return the caution about night work, for crews whose shift touches the night."""
    shifts = {shift.shift_id: shift for shift in asked.campaign.shifts}
    crews = tuple(
        crew
        for crew in asked.crews
        if crew.shift_id in shifts and _is_night(shifts[crew.shift_id])
    )
    return _of_crews(
        crews,
        code="night",
        title="Night work",
        text=(
            "Their shift touches 22:00 to 06:00. Light the face, the way out and the water's edge"
            " from more than one supply; agree who watches, who calls for help, and who hears it."
        ),
        follow="Follow your local code for night work, lighting and noise at night.",
        source="the scenario's shifts; the rest common practice",
        trust=Trust.PRACTICE,
    )


def breaking(asked: Asked) -> Caution | None:
    """Return the caution about breakers and jets, for break-out crews."""
    crews = tuple(crew for crew in asked.crews if crew.kind is CrewKind.BREAK_OUT)
    return _of_crews(
        crews,
        code="breaking",
        title="Breakers and water jets",
        text=(
            "Breaking out brings silica dust, noise, vibration of hands and falling lumps; a hand"
            " lance of a water jet pushes with up to 240 N at 207 MPa and cuts through boots."
            " Nobody sprays, stands or passes in line of a jet."
        ),
        follow=(
            "Follow your local code for vibration, silica, noise and high-pressure water jetting."
        ),
        source="trade article on hydrodemolition robots (54 lbf at 30,000 psi); the rest common"
        " practice",
        trust=Trust.READ,
    )


def _is_night(shift: Shift) -> bool:
    length = (shift.end_tod - shift.start_tod) % MINUTES_PER_DAY or MINUTES_PER_DAY
    start, end = shift.start_tod, shift.start_tod + length
    night_hours = (
        (NIGHT_FROM - MINUTES_PER_DAY, NIGHT_TO),
        (NIGHT_FROM, NIGHT_TO + MINUTES_PER_DAY),
    )
    return any(start < to and since < end for since, to in night_hours)


def _of_crews(
    crews: tuple[Crew, ...],
    *,
    code: str,
    title: str,
    text: str,
    follow: str,
    source: str,
    trust: Trust,
) -> Caution | None:
    if not crews:
        return None
    return Caution(
        code=code,
        title=title,
        scope=Scope.CREW,
        subjects=tuple(str(crew.crew_id) for crew in crews),
        text=text,
        follow=follow,
        source=source,
        trust=trust,
    )
