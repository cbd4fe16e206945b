"""What comes next: day by day while detail is wanted, month by month beyond.

Money by month, section and rig: material, hose and rebound of a run go to its own cell, by volume
where a run sprays several sections; everything else the plan costs (days, rigs, crews, moves,
set-ups) is spread over all cells by the minutes of their runs.  The cells so add up to the cost of
the plan's part that is shown, and over the whole plan to its cost.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta

from planner.access.windows import Access
from planner.core.clock import MINUTES_PER_DAY
from planner.model.campaign import Campaign
from planner.model.identifiers import ZoneId
from planner.plan import measures
from planner.plan.plan import Plan, Run, RunKind, Spell
from planner.site.duties import Duty, duties
from planner.trade.quantities import through_nozzle_m3

DAYS_PER_WEEK = 7
PANELS = "panels"
_RUN_LINES = ("material", "hose", "rebound")


@dataclass(frozen=True, slots=True, kw_only=True)
class Ahead:
    """The stretch that is looked at: civil days, the last one included."""

    first_day: date
    last_day: date

    @classmethod
    def weeks(cls, first_day: date, weeks: int) -> Ahead:
        """Return some weeks from a day on."""
        last = first_day + timedelta(days=DAYS_PER_WEEK * weeks - 1)
        return cls(first_day=first_day, last_day=last)

    def holds(self, day: date) -> bool:
        """Return whether a day lies in the stretch."""
        return self.first_day <= day <= self.last_day


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkRow:
    """What one crew does in one shift; volumes in place and through the nozzle [m³]."""

    day: str
    crew: str
    shift: str
    start: str
    end: str
    rig: str
    position: str
    what: str
    in_place_m3: float
    nozzle_m3: float
    spraying_min: int


@dataclass(frozen=True, slots=True, kw_only=True)
class MonthRow:
    """What one rig does in one section in one month.

    ``nights`` counts the civil days on which a run begins that touches 22:00 to 06:00.
    """

    month: str
    section: str
    rig: str
    shifts: int
    nights: int
    in_place_m3: float
    cost: float


def first_day_of(campaign: Campaign, now_min: int) -> date:
    """Return the civil day of a minute, within the campaign's days."""
    clock = campaign.clock
    return clock.day(min(max(now_min, 0), clock.horizon_min - 1))


def work_rows(campaign: Campaign, plan: Plan, ahead: Ahead, access: Access) -> Iterator[WorkRow]:
    """Yield every shift of the stretch with what it does, in time order."""
    teller = _Teller(campaign, plan)
    for duty in duties(campaign, plan, access):
        if ahead.holds(duty.day):
            yield teller.row(duty)


class _Teller:
    """Tells duties in words."""

    def __init__(self, campaign: Campaign, plan: Plan) -> None:
        self._campaign = campaign
        self._zones = {zone.zone_id: zone for zone in campaign.zones}
        self._mix = {run.run: run.mix for run in plan.runs}
        self._rebound = {(face.mix_id, face.orientation): face.rebound for face in campaign.mixes}

    def row(self, duty: Duty) -> WorkRow:
        clock = self._campaign.clock
        names = [*(run.rig for run in duty.runs), *(move.rig for move in duty.relocations)]
        places = [str(run.position) for run in duty.runs]
        return WorkRow(
            day=duty.day.isoformat(),
            crew=duty.name,
            shift=str(duty.shift_id),
            start=clock.text(duty.start_min),
            end=clock.text(duty.end_min),
            rig=";".join(dict.fromkeys(names)),
            position=";".join(dict.fromkeys(places)),
            what="; ".join(self._what(duty)),
            in_place_m3=round(duty.volume_m3, 3),
            nozzle_m3=round(math.fsum(self.nozzle_m3(spell) for spell in duty.spells), 3),
            spraying_min=sum(spell.end_min - spell.start_min for spell in duty.spells),
        )

    def nozzle_m3(self, spell: Spell) -> float:
        """Return what goes through the nozzle for a spell [m³]."""
        key = (self._mix[spell.run], self._zones[spell.zone].orientation)
        return through_nozzle_m3(spell.volume_m3, self._rebound[key], self._campaign.rules.waste)

    def _what(self, duty: Duty) -> Iterator[str]:
        clock = self._campaign.clock
        for move in duty.relocations:
            at = clock.local(move.start_min)
            yield f"move {move.rig} {move.from_position} to {move.to_position} {at:%H:%M}"
        for run in duty.runs:
            if run.kind is RunKind.PANEL:
                yield f"test panel {run.mix} {run.orientation or ''}".strip()
        for piece in duty.break_outs:
            yield f"break out {piece.zone} {piece.volume_m3:.2f} m³"
        for spell in duty.spells:
            yield f"{spell.zone} layer {spell.layer} {spell.volume_m3:.2f} m³"


@dataclass
class _Cell:
    shifts: set[tuple[str, int]] = field(default_factory=set)
    nights: set[date] = field(default_factory=set)
    volume_m3: float = 0.0
    direct: float = 0.0
    minutes: float = 0.0


def month_rows(
    campaign: Campaign, plan: Plan, access: Access, *, after: date | None = None
) -> list[MonthRow]:
    """Return the plan by month, section and rig; ``after``: only runs that start later."""
    clock = campaign.clock
    sections = {zone.zone_id: zone.section or "" for zone in campaign.zones}
    spells: defaultdict[str, list[Spell]] = defaultdict(list)
    for spell in plan.spells:
        spells[spell.run].append(spell)
    shift_of = {
        run.run: (duty.name, duty.start_min)
        for duty in duties(campaign, plan, access)
        for run in duty.runs
    }
    cells: defaultdict[tuple[str, str, str], _Cell] = defaultdict(_Cell)
    whole_minutes, direct = 0, 0.0
    for run in plan.runs:
        minutes, money = run.end_min - run.start_min, _run_cost(campaign, run, spells[run.run])
        whole_minutes += minutes
        direct += money
        day = clock.day(run.start_min)
        if after is not None and day <= after:
            continue
        night = measures.night_runs(campaign, Plan(runs=(run,))) > 0
        for section, share, volume_m3 in _shares(spells[run.run], sections):
            cell = cells[f"{day:%Y-%m}", section, str(run.rig)]
            cell.shifts.add(shift_of[run.run])
            cell.volume_m3 += volume_m3
            cell.direct += share * money
            cell.minutes += share * minutes
            if night:
                cell.nights.add(day)
    rest = measures.cost(campaign, plan) - direct
    per_min = rest / whole_minutes if whole_minutes else 0.0
    return [
        MonthRow(
            month=month,
            section=section,
            rig=rig,
            shifts=len(cell.shifts),
            nights=len(cell.nights),
            in_place_m3=round(cell.volume_m3, 3),
            cost=round(cell.direct + per_min * cell.minutes, 2),
        )
        for (month, section, rig), cell in sorted(cells.items())
    ]


def _run_cost(campaign: Campaign, run: Run, spells: Iterable[Spell]) -> float:
    """Return what a run alone costs: material, hose and rebound [money]."""
    lines = measures.cost_lines(campaign, Plan(runs=(run,), spells=tuple(spells)))
    return math.fsum(lines.get(name, 0.0) for name in _RUN_LINES)


def _shares(
    spells: list[Spell], sections: dict[ZoneId, str]
) -> Iterator[tuple[str, float, float]]:
    """Yield each section of a run with its share and its volume [1, m³]."""
    volumes: defaultdict[str, float] = defaultdict(float)
    for spell in spells:
        volumes[sections[spell.zone]] += spell.volume_m3
    whole = math.fsum(volumes.values())
    if whole <= 0.0:
        yield PANELS, 1.0, 0.0
        return
    for section, volume_m3 in sorted(volumes.items()):
        yield section, volume_m3 / whole, volume_m3


def days_between(campaign: Campaign, ahead: Ahead) -> tuple[int, int]:
    """Return the stretch in campaign minutes, cut to the campaign's days [min]."""
    clock = campaign.clock
    start = max(0, clock.day_start(ahead.first_day))
    end = min(clock.horizon_min, clock.day_start(ahead.last_day) + MINUTES_PER_DAY)
    return start, max(start, end)
