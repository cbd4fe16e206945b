"""One rule's view of one spell: the starts that it allows, and why not the others.

A spell keeps its rig, crew, position, length and place in its run; everything else in the plan
stays where it is.  Each rule then allows a set of starts, worked out in whole minutes.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from planner.core.spans import Span, Spans
from planner.explain.cause import Cause, CauseKind
from planner.explain.ground import Ground
from planner.plan.plan import Run, Spell


@dataclass(frozen=True, slots=True, kw_only=True)
class Hold:
    """What one rule allows.

    Attributes
    ----------
    kind
        Sort of thing.
    allowed
        Starts of the spell that the rule allows [min].
    text
        Given a start that is not allowed, why, in words with times.
    """

    kind: CauseKind
    allowed: Spans
    text: Callable[[int], str]

    def cause(self, start: int) -> Cause:
        """Return why a start is not allowed, and from when on it would be."""
        return Cause(
            kind=self.kind, until_min=self.allowed.first_fit(start, 1), text=self.text(start)
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A spell with what must come before and after it in its run.

    Attributes
    ----------
    spell, run
        The spell and its run.
    before, after
        Spells before and after it in the run; None: it is the first, the last.
    lead_min
        Zone change, and start-up where it is the first [min].
    tail_min
        Clean-up where it is the last [min].
    """

    spell: Spell
    run: Run
    before: Spell | None
    after: Spell | None
    lead_min: int
    tail_min: int

    @property
    def length_min(self) -> int:
        """Return how long the spell lasts [min]."""
        return self.spell.end_min - self.spell.start_min


def place_of(ground: Ground, spell: Spell) -> Place:
    """Return a spell with its neighbours in the run."""
    run, rig = ground.runs[spell.run], ground.rigs[spell.rig]
    mates = ground.spells_of_run[spell.run]
    index = mates.index(spell)
    is_first, is_last = index == 0, index == len(mates) - 1
    return Place(
        spell=spell,
        run=run,
        before=None if is_first else mates[index - 1],
        after=None if is_last else mates[index + 1],
        lead_min=ground.rules.zone_change_min + (rig.start_up_min if is_first else 0),
        tail_min=rig.clean_up_min if is_last else 0,
    )


def starts_in(spans: Iterable[Span], *, before: int, after: int) -> Spans:
    """Return the starts ``t`` for which ``[t - before, t + after)`` lies in one of some spans."""
    return Spans((start + before, end - after + 1) for start, end in spans)


def from_on(ground: Ground, minute: int) -> Spans:
    """Return every start from a minute on."""
    return Spans.whole(minute, ground.clock.horizon_min + 1)
