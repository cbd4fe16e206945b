"""An exact neighbourhood in CP-SAT: slots, positions and starts of freed spells, to the minute.

Constraints are those of the contract (:mod:`~planner.optimise.variables`,
:mod:`~planner.optimise.spell_rules`, :mod:`~planner.optimise.relocating`,
:mod:`~planner.optimise.shared_rules`); what the kept work
fixes enters as constants.  Idle limits inside a run, and duties that relocations lengthen, are
left to the reading of the answer: it cuts runs at long gaps, and the replay refuses the rest.

The objective weighs the latest end, relocations, what a used slot costs, and length times the
slot's hour (work pulled forward leaves the last windows empty).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from ortools.sat.python import cp_model

from planner.optimise.answer import Change, Hint, read_change
from planner.optimise.board import FOREVER, Board
from planner.optimise.freeing import Neighbourhood
from planner.optimise.prices import Money
from planner.optimise.relocating import add_relocations
from planner.optimise.shared_rules import add_shared_rules
from planner.optimise.solving import Limits, solve
from planner.optimise.spell_rules import add_spell_rules
from planner.optimise.variables import Variables

HOUR = 60
FLOW_STEP_MIN = 5


@dataclass(frozen=True, slots=True)
class Aim:
    """What an exact neighbourhood minimises, and the latest end it may use.

    Attributes
    ----------
    end
        Weight of the latest end [per min].
    move, night, late
        Weight of a relocation, of a run in the night, of a minute past a due date.
    money
        Weight of a unit of money that depends on the slots used.
    flow
        Weight of length times the hour of its slot.
    latest
        No spell ends later [min].
    """

    end: int = 0
    move: int = 0
    night: int = 0
    late: int = 0
    money: int = 0
    flow: int = 1
    latest: int = FOREVER


@dataclass
class Repack:
    """The model of one neighbourhood, and after :meth:`solve` how that went."""

    board: Board
    near: Neighbourhood
    places: Mapping[int, list[int]]
    status: str = field(init=False, default="")
    deterministic_s: float = field(init=False, default=0.0)

    def __post_init__(self) -> None:
        self.own = Variables(self.board, self.near, dict(self.places))
        add_spell_rules(self.own)
        self.moves = add_relocations(self.own)
        add_shared_rules(self.own, self.moves)

    @property
    def choices(self) -> int:
        """Return how many places its atoms have in all [1]."""
        return sum(len(chosen) for chosen in self.own.choice)

    def solve(self, aim: Aim, limits: Limits) -> Change | None:
        """Return the change that the best answer found makes, or None if there is none."""
        own = self.own
        own.model.minimize(self._objective(aim))
        Hint(own, self.moves).give()
        solver, status = solve(own.model, limits)
        self.deterministic_s = solver.response_proto.deterministic_time
        self.status = solver.status_name(status)
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return None
        return read_change(own, self.moves, solver)

    def _objective(self, aim: Aim) -> cp_model.LinearExprT:
        own = self.own
        terms: list[cp_model.LinearExprT] = [
            aim.flow * self._early(a, k) * here
            for a, chosen in enumerate(own.choice)
            for (k, _), here in chosen.items()
        ]
        if aim.end or aim.latest < self.near.horizon:
            latest = own.model.new_int_var(self.near.start, self.near.horizon, "latest")
            for end in own.end:
                own.model.add(latest >= end)
            own.model.add(latest <= min(aim.latest, self.near.horizon))
            terms.append(aim.end * latest)
        terms += [aim.move * row.moved for row in self.moves]
        money = Money(own, self.moves)
        if aim.money:
            terms += [aim.money * term for term in money.terms()]
        if aim.night:
            terms += [aim.night * night for night in money.nights()]
        if aim.late:
            terms += [aim.late * late for late in money.lateness()]
        return sum(terms)

    def _early(self, a: int, k: int) -> int:
        """Return the weight of an atom in a slot: its length times the slot's hour."""
        now = self.near.atoms[a].now
        hour = (self.near.slots[k].start - self.near.start) // HOUR
        return max(1, (now.end - now.start) // FLOW_STEP_MIN) * hour
