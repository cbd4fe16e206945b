"""Published instances as campaigns: bin packing, set covering and the shortest open tour.

The planner's model contains them as special cases.  The files of the first two are not part of
this repository; :data:`BENCH` says where they may lie beside a clone.
"""

import csv
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

from planner.core.clock import Clock
from planner.model.campaign import Campaign
from planner.model.crew import Crew, Shift
from planner.model.identifiers import (
    CrewId,
    CrewKind,
    Goal,
    MixId,
    Orientation,
    PositionId,
    Process,
    RigId,
    ShiftId,
    ZoneId,
)
from planner.model.mix import MixFace
from planner.model.position import Position, Route
from planner.model.rig import Rig
from planner.model.rules import Prices, ReachBy, Rules
from planner.model.water import Water, WaterKind
from planner.model.zone import Zone
from planner.plan.plan import Plan

BENCH = Path(__file__).resolve().parents[3] / "shared" / "reference" / "bench"
FIRST_DAY = date(2026, 3, 2)
EVERY_DAY = frozenset(range(7))
DAY_MIN = 24 * 60
SIX = 6 * 60
NO_RULES = Rules(
    window_min_min=1,
    get_in_min=0,
    get_out_min=0,
    zone_change_min=0,
    spell_min_min=1,
    overbreak=0.0,
    waste=0.0,
)


@dataclass(frozen=True, slots=True)
class Packing:
    """A bin-packing instance: what a bin holds, and the sizes."""

    capacity: int
    sizes: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Covering:
    """A set-covering instance: cost of each column, and the columns that cover each row."""

    costs: tuple[int, ...]
    rows: tuple[tuple[int, ...], ...]


def read_packing(name: str) -> Packing:
    """Return a bin-packing instance: first line the capacity, then one size a line."""
    text = (BENCH / "bin_packing" / f"{name}.txt").read_text(encoding="utf-8")
    capacity, *sizes = (int(word) for word in text.split())
    return Packing(capacity, tuple(sizes))


def read_covering(name: str) -> Covering:
    """Return a set-covering instance of OR-Library; columns count from 0."""
    text = (BENCH / "set_cover" / f"{name}.txt").read_text(encoding="utf-8")
    numbers: Iterator[int] = (int(word) for word in text.split())
    rows, columns = next(numbers), next(numbers)
    costs = tuple(next(numbers) for _ in range(columns))
    covers = tuple(
        tuple(next(numbers) - 1 for _ in range(count))
        for count in (next(numbers) for _ in range(rows))
    )
    return Covering(costs, covers)


def published(folder: str, name: str) -> int:
    """Return the proven value of an instance."""
    with (BENCH / folder / "best_known.csv").open(encoding="utf-8", newline="") as lines:
        for row in csv.DictReader(lines):
            if row["instance"] == name:
                return int(row.get("proven_upper") or row["value"])
    msg = f"{name} is not in best_known.csv of {folder}"
    raise ValueError(msg)


def names(folder: str) -> list[str]:
    """Return the names of the instances of a folder, in order."""
    return sorted(path.stem for path in (BENCH / folder).glob("*.txt"))


# campaigns ------------------------------------------------------------------------------------


def packing_campaign(packing: Packing, *, days: int) -> Campaign:
    """Return bins as days: one shift of ``capacity`` minutes, every zone a spell of its size."""
    zones = [_zone(f"Z{k:03d}", minutes=size) for k, size in enumerate(packing.sizes)]
    return _campaign(
        days=days,
        goal=Goal.FINISH,
        shift=_shift(SIX, SIX + packing.capacity),
        zones=zones,
        positions=[_position("P")],
        routes=[Route(start="P", end=zone.zone_id, length_m=10.0) for zone in zones],
        rig=_rig(move_min=0.0),
    )


def covering_campaign(covering: Covering, *, days: int = 60) -> Campaign:
    """Return columns as positions with a set-up cost, rows as zones in reach of some of them."""
    zones = [_zone(f"Z{row:03d}", minutes=10) for row in range(len(covering.rows))]
    return _campaign(
        days=days,
        goal=Goal.COST,
        shift=_shift(SIX, SIX + DAY_MIN // 2),
        zones=zones,
        positions=[
            _position(f"P{column:04d}", set_up_cost=float(cost))
            for column, cost in enumerate(covering.costs)
        ],
        routes=[
            Route(start=f"P{column:04d}", end=zone.zone_id, length_m=10.0)
            for zone, columns in zip(zones, covering.rows, strict=True)
            for column in columns
        ],
        rig=_rig(move_min=30.0),
    )


def tour_campaign(places_m: Sequence[tuple[float, float]]) -> Campaign:
    """Return an open tour: one zone at each position, a rig that moves 10 m a minute.

    All of it fits into one shift of a day, so the finish is the sum of the work and of the moves
    between consecutive positions, each rounded up to whole minutes.
    """
    places = list(enumerate(places_m))
    zones = [_zone(f"Z{k}", minutes=10, x_m=x, y_m=y) for k, (x, y) in places]
    return _campaign(
        days=1,
        goal=Goal.FINISH,
        shift=_shift(0, 0),
        zones=zones,
        positions=[_position(f"P{k}", x_m=x, y_m=y) for k, (x, y) in places],
        routes=[Route(start=f"P{k}", end=f"Z{k}", length_m=10.0) for k, _ in places],
        rig=_rig(move_min=0.0, move_min_per_100m=10.0),
    )


def days_used(campaign: Campaign, plan: Plan) -> int:
    """Return on how many days runs begin."""
    return len({campaign.clock.day(run.start_min) for run in plan.runs})


# nouns ----------------------------------------------------------------------------------------


def _campaign(
    *,
    days: int,
    goal: Goal,
    shift: Shift,
    zones: Sequence[Zone],
    positions: Sequence[Position],
    routes: Sequence[Route],
    rig: Rig,
) -> Campaign:
    clock = Clock(
        time_zone="Etc/UTC", first_day=FIRST_DAY, last_day=FIRST_DAY + timedelta(days=days - 1)
    )
    crew = Crew(
        crew_id=CrewId("C"),
        kind=CrewKind.SPRAY,
        shift_id=shift.shift_id,
        available_from_min=0,
        available_to_min=clock.horizon_min,
    )
    return Campaign(
        name="Published instance",
        clock=clock,
        goals=(goal,),
        may_worsen=(),
        water=Water(kind=WaterKind.NONE),
        rules=NO_RULES,
        prices=Prices(),
        reach_by=ReachBy.ROUTES,
        zones=tuple(zones),
        positions=tuple(positions),
        rigs=(rig,),
        crews=(crew,),
        shifts=(shift,),
        mixes=(_mix(),),
        routes=tuple(routes),
    )


def _zone(name: str, *, minutes: int, x_m: float = 0.0, y_m: float = 0.0) -> Zone:
    """Return a zone that takes some minutes: a cubic metre each."""
    return Zone(
        zone_id=ZoneId(name),
        x_m=x_m,
        y_m=y_m,
        z_m=0.0,
        volume_m3=float(minutes),
        orientation=Orientation.OVERHEAD,
    )


def _position(
    name: str, *, x_m: float = 0.0, y_m: float = 0.0, set_up_cost: float = 0.0
) -> Position:
    return Position(
        position_id=PositionId(name), x_m=x_m, y_m=y_m, z_m=0.0, set_up_cost=set_up_cost
    )


def _rig(*, move_min: float, move_min_per_100m: float = 0.0) -> Rig:
    """Return a rig that places a cubic metre a minute, without start-up and clean-up."""
    return Rig(
        rig_id=RigId("R"),
        process=Process.DRY,
        hose_max_m=100.0,
        rate_m3_h=60.0,
        nozzle_on=1.0,
        move_min=move_min,
        move_min_per_100m=move_min_per_100m,
        available_from_min=0,
        available_to_min=10**9,
    )


def _mix() -> MixFace:
    return MixFace(
        mix_id=MixId("dry"),
        process=Process.DRY,
        orientation=Orientation.OVERHEAD,
        rebound=0.0,
        layer_max_mm=100.0,
    )


def _shift(start_tod: int, end_tod: int) -> Shift:
    return Shift(shift_id=ShiftId("S"), weekdays=EVERY_DAY, start_tod=start_tod, end_tod=end_tod)
