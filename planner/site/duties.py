"""What each crew does in each of its shifts, taken from a plan."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass, field, replace
from datetime import date

from planner.access.windows import Access
from planner.model.campaign import Campaign
from planner.model.crew import Crew
from planner.model.identifiers import CrewId, ShiftId
from planner.plan.plan import BreakOut, Plan, Relocation, Run, Spell
from planner.site.later import at_later

GANG = "lifting gang"


@dataclass(frozen=True, slots=True, kw_only=True)
class Duty:
    """One crew in one occurrence of its shift.

    Attributes
    ----------
    crew
        The crew; None: the lifting gang.
    shift_id
        Its shift.
    day
        Civil day on which the shift starts.
    start_min, end_min
        The shift's occurrence, cut to the campaign's days [min].
    runs, spells, relocations, break_outs
        What the plan asks of it, in time order.
    """

    crew: CrewId | None
    shift_id: ShiftId
    day: date
    start_min: int
    end_min: int
    runs: tuple[Run, ...] = ()
    spells: tuple[Spell, ...] = ()
    relocations: tuple[Relocation, ...] = ()
    break_outs: tuple[BreakOut, ...] = ()

    @property
    def name(self) -> str:
        """Return whose duty it is."""
        return GANG if self.crew is None else str(self.crew)

    @property
    def volume_m3(self) -> float:
        """Return the volume sprayed, in place [m³]."""
        return sum(spell.volume_m3 for spell in self.spells)


@dataclass
class _Filling:
    """A duty being gathered."""

    runs: list[Run] = field(default_factory=list)
    spells: list[Spell] = field(default_factory=list)
    relocations: list[Relocation] = field(default_factory=list)
    break_outs: list[BreakOut] = field(default_factory=list)


def duties(campaign: Campaign, plan: Plan, access: Access) -> tuple[Duty, ...]:
    """Return the duties in which a plan asks for work, by time and then by crew."""
    shifts: dict[CrewId | None, ShiftId] = {crew.crew_id: crew.shift_id for crew in campaign.crews}
    if campaign.rules.relocation_shift is not None:
        shifts[None] = campaign.rules.relocation_shift
    spans = {key: access.shifts(shift) for key, shift in shifts.items()}
    found: dict[tuple[int, int, str], tuple[CrewId | None, _Filling]] = {}

    def duty(crew: CrewId | None, start: int) -> _Filling:
        low, high = _occurrence(spans[crew], start)
        key = (low, high, "" if crew is None else str(crew))
        return found.setdefault(key, (crew, _Filling()))[1]

    for run in plan.runs:
        duty(run.crew, run.start_min).runs.append(run)
    for spell in plan.spells:
        duty(spell.crew, spell.start_min).spells.append(spell)
    for move in plan.relocations:
        duty(move.crew, move.start_min).relocations.append(move)
    for piece in plan.break_outs:
        duty(piece.crew, piece.start_min).break_outs.append(piece)
    clock = campaign.clock
    return tuple(
        Duty(
            crew=crew,
            shift_id=shifts[crew],
            day=clock.day(low),
            start_min=low,
            end_min=high,
            runs=tuple(sorted(filling.runs, key=lambda row: row.start_min)),
            spells=tuple(sorted(filling.spells, key=lambda row: row.start_min)),
            relocations=tuple(sorted(filling.relocations, key=lambda row: row.start_min)),
            break_outs=tuple(sorted(filling.break_outs, key=lambda row: row.start_min)),
        )
        for (low, high, _), (crew, filling) in sorted(found.items(), key=lambda item: item[0])
    )


def _occurrence(spans: tuple[tuple[int, int], ...], start: int) -> tuple[int, int]:
    """Return the occurrence of a shift that holds a minute.

    Raises
    ------
    ValueError
        If none does: the plan breaks rule 4 or 6.
    """
    index = bisect_right(spans, (start, 10**12)) - 1
    if index < 0 or spans[index][1] <= start:
        msg = f"no shift holds minute {start}; check the plan first"
        raise ValueError(msg)
    return spans[index]


def moved(duty: Duty, minutes: int) -> Duty:
    """Return a duty with every time some minutes later."""
    shifted = at_later(
        Plan(
            runs=duty.runs,
            spells=duty.spells,
            relocations=duty.relocations,
            break_outs=duty.break_outs,
        ),
        minutes,
    )
    return replace(
        duty,
        start_min=duty.start_min + minutes,
        end_min=duty.end_min + minutes,
        runs=shifted.runs,
        spells=shifted.spells,
        relocations=shifted.relocations,
        break_outs=shifted.break_outs,
    )


def crew_of(campaign: Campaign, duty: Duty) -> Crew | None:
    """Return the crew of a duty; None for the gang."""
    return next((crew for crew in campaign.crews if crew.crew_id == duty.crew), None)
