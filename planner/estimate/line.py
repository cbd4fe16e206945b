"""The words of an estimate: its lines, and the five items of a bill with what goes on top."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Basis(StrEnum):
    """What a line grows with: the item of the bill under which it stands."""

    FIXED = "fixed"
    DAY = "per day"
    RELOCATION = "per relocation"
    M2 = "per m2"
    M3 = "per m3 in place"
    ON_TOP = "on top"


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of an estimate: quantity x rate = amount.

    Attributes
    ----------
    key
        The plan's cost line (``crew_shift``) or the price book's key (``break_out.m3``).
    name, of
        What it is, in words; which rig, crew, mix, position or process; empty where none.
    basis
        The bill's item.
    quantity, unit
        How much, and of what.
    rate, amount
        Money for one, and for all.
    quantity_from, rate_from
        Table and formula of the quantity; file and key of the rate.
    """

    key: str
    name: str
    of: str = ""
    basis: Basis
    quantity: float
    unit: str
    rate: float
    quantity_from: str
    rate_from: str

    @property
    def amount(self) -> float:
        """Return quantity x rate [money]."""
        return self.quantity * self.rate


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One item of the bill: all lines of a basis, brought to its own unit.

    Attributes
    ----------
    basis
        What it grows with.
    quantity, unit
        How much of that the plan takes; 1 where the item is fixed.
    amount
        Sum of its lines [money].
    rate
        Amount for one unit, None where there is no quantity [money].
    rate_all_in
        The same with what goes on top, as a tender's item wants it [money].
    """

    basis: Basis
    quantity: float
    unit: str
    amount: float
    rate: float | None
    rate_all_in: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class CrewTime:
    """What one crew's paid hours go into [h].

    Attributes
    ----------
    shifts
        Shifts paid.
    paid_h
        Hours of these shifts.
    work_h
        Runs, relocations and break-out in them.
    shut_h
        Waiting while every face of its plan is shut: the tide is up, the flow high, a berth taken.
    open_h
        Other waiting: layers that set, a rig that another moves, ends of windows.
    """

    crew: str
    shifts: int
    paid_h: float
    work_h: float
    shut_h: float
    open_h: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """A whole estimate.

    Attributes
    ----------
    lines
        Every line that is not nothing, by item of the bill.
    items
        The bill.
    crew_time
        What the paid hours of each crew go into.
    net, total
        Without and with what goes on top [money].
    planner_cost
        The part of ``net`` that the planner itself counts (contract, section 5) [money].
    volume_m3, area_m2
        In place; faces of the planned zones, those without an area left out.
    """

    lines: tuple[Line, ...]
    items: tuple[Item, ...]
    crew_time: tuple[CrewTime, ...]
    net: float
    total: float
    planner_cost: float
    volume_m3: float
    area_m2: float
