"""What fills the time in which a rig does not work, minute by minute.

Every minute of a gap gets one cause, the first that holds of this order: the rig is moved, is
not there, its position is closed, nobody is on shift, every crew works elsewhere, nothing is
left within reach, every face is shut, every face waits, what is left is too short for a run.
What no cause takes is spare.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from planner.core.spans import Span, Spans
from planner.explain.cause import CauseKind, Piece
from planner.explain.ground import Ground
from planner.explain.hours import too_many_hours
from planner.explain.left import Left, left_for
from planner.explain.places import done_until
from planner.model.identifiers import CrewId, PositionId, RigId
from planner.model.limits import ClosureScope
from planner.plan.plan import Relocation, Run


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap:
    """A stretch in which a rig does not work [min].

    Attributes
    ----------
    before, after
        What the rig does before and after it, in words; empty: nothing in this plan.
    """

    rig: RigId
    start_min: int
    end_min: int
    before: str = ""
    after: str = ""

    @property
    def minutes(self) -> int:
        """Return how long it lasts [min]."""
        return self.end_min - self.start_min


def gaps(ground: Ground, rig: RigId) -> list[Gap]:
    """Return every stretch between the runs of a rig, from the plan's start to its last run."""
    found: list[Gap] = []
    at, before = ground.campaign.start_min, ""
    for row in ground.work_of_rig.get(rig, ()):
        if not isinstance(row, Run):
            continue
        if row.start_min > at:
            after = f"run {row.run}"
            found.append(
                Gap(rig=rig, start_min=at, end_min=row.start_min, before=before, after=after)
            )
        at, before = max(at, row.end_min), f"run {row.run}"
    return found


def why_gap(ground: Ground, rig: RigId, start: int, end: int) -> tuple[Piece, ...]:
    """Return what fills a stretch without runs of a rig; the pieces add up to it.

    Parameters
    ----------
    start, end
        Stretch inside the campaign's days that holds no run of the rig [min].

    Raises
    ------
    ValueError
        If the rig works in it.
    """
    runs = [row for row in ground.work_of_rig.get(rig, ()) if isinstance(row, Run)]
    if any(row.start_min < end and start < row.end_min for row in runs):
        msg = f"rig {rig} works between minute {start} and {end}; ask about a stretch without runs"
        raise ValueError(msg)
    pieces: list[Piece] = []
    for low, high, move in _stays(ground, rig, start, end):
        if move is not None:
            pieces.append(_piece((low, high), CauseKind.RELOCATION, done_until(ground, move)))
        else:
            pieces += _Standing(ground, rig, low, high).pieces()
    return tuple(sorted(pieces, key=lambda piece: piece.start_min))


def _stays(
    ground: Ground, rig: RigId, start: int, end: int
) -> Iterator[tuple[int, int, Relocation | None]]:
    """Yield the stretch cut at the rig's relocations."""
    at = start
    for row in ground.work_of_rig.get(rig, ()):
        if isinstance(row, Relocation) and row.start_min < end and at < row.end_min:
            if row.start_min > at:
                yield at, row.start_min, None
            yield max(at, row.start_min), min(end, row.end_min), row
            at = min(end, row.end_min)
    if at < end:
        yield at, end, None


def _piece(span: Span, kind: CauseKind, text: str) -> Piece:
    return Piece(start_min=span[0], end_min=span[1], kind=kind, text=text)


class _Standing:
    """A stretch in which a rig stands at one position and does nothing."""

    def __init__(self, ground: Ground, rig: RigId, start: int, end: int) -> None:
        self.ground = ground
        self.rig = ground.rigs[rig]
        self.at = ground.stands_at(rig, start)
        self.rest = Spans.whole(start, end)
        self.found: list[Piece] = []
        self.ends: dict[tuple[CrewId, int, int], int] = {}

    def pieces(self) -> list[Piece]:
        """Return the stretch, every minute with one cause."""
        self._rig_away()
        self._position_closed()
        self._nobody_there()
        if self.rest:
            self._nothing_to_do()
        for span in self.rest:
            self.found.append(_piece(span, CauseKind.SPARE, "nothing stands in the way"))
        return self.found

    def _take(self, spans: Spans, kind: CauseKind, text: str) -> None:
        taken = self.rest & spans
        self.found += [_piece(span, kind, text) for span in taken]
        self.rest -= taken

    def _take_shut(
        self, open_: Spans, kind: CauseKind, otherwise: str, targets: Iterable[tuple[str, str]]
    ) -> None:
        """Take the time in which something is shut, closure by closure, then the rest of it."""
        for scope, target in (("site", ""), *targets):
            for shut in self.ground.closures.rows((ClosureScope(scope), str(target))):
                what = "the site" if scope == "site" else f"{scope} {target}"
                why = f" ({shut.why})" if shut.why else ""
                self._take(shut.spans, CauseKind.CLOSURE, f"{what} is closed{why}")
        self._take(self.rest - open_, kind, otherwise)

    def _rig_away(self) -> None:
        rig = self.rig
        open_ = self.ground.access.rig_open(rig)
        targets = (("rig", rig.rig_id), ("process", str(rig.process)))
        self._take_shut(open_, CauseKind.RIG_AWAY, f"rig {rig.rig_id} is not on site", targets)

    def _position_closed(self) -> None:
        if self.at is None:
            return
        open_ = self.ground.access.position_open(self.ground.positions[self.at])
        text = f"the water is outside the limits of position {self.at}"
        self._take_shut(open_, CauseKind.POSITION, text, (("position", self.at),))

    def _nobody_there(self) -> None:
        ground = self.ground
        crews = ground.spray_crews(self.rig.rig_id)
        hours = {crew: ground.crew_hours(crew) for crew in crews}
        on_shift = Spans(span for spans in hours.values() for span in spans)
        for crew in crews:
            for shut in ground.closures.rows((ClosureScope.CREW, crew)):
                why = f" ({shut.why})" if shut.why else ""
                text = f"crew {crew} is closed{why}"
                self._take(shut.spans - on_shift, CauseKind.CREW, text)
        names = ", ".join(crews) or "that may serve it"
        self._take(self.rest - on_shift, CauseKind.SHIFT, f"no crew is on shift ({names})")
        for span in self.rest - self._free(crews):
            for start, end, text in self._busy(crews, span):
                self._take(Spans.whole(start, end), CauseKind.CREW, text)

    def _free(self, crews: Iterable[CrewId]) -> Spans:
        """Return when at least one crew is on shift and not at work elsewhere."""
        return Spans(span for crew in crews for spans in self._turns(crew) for span in spans)

    def _turns(self, crew: CrewId) -> Iterator[Spans]:
        """Yield what is free of each shift of a crew within the rest."""
        ground = self.ground
        if not self.rest:
            return
        low, high = self.rest.starts[0], self.rest.ends[-1]
        near = ground.crew_work_near(crew, low, high)
        busy = Spans((row.start_min, row.end_min) for row in near)
        hours = ground.access.crew_open(ground.crews[crew])
        for start, end in ground.access.shifts(ground.crews[crew].shift_id):
            if start < high and low < end:
                yield hours.clip(start, end) - busy

    def _busy(self, crews: Iterable[CrewId], span: Span) -> Iterator[tuple[int, int, str]]:
        for crew in crews:
            for row in self.ground.crew_work_near(crew, *span):
                start, end = max(span[0], row.start_min), min(span[1], row.end_min)
                if start < end:
                    yield start, end, done_until(self.ground, row)

    def _nothing_to_do(self) -> None:
        start = self.rest.starts[0]
        if self.at is None:
            self._take(self.rest, CauseKind.DONE, f"rig {self.rig.rig_id} has not been set up yet")
            return
        work = left_for(self.ground, self.rig, self.ground.positions[self.at], start)
        if not work:
            text = f"nothing that this plan sprays later is within reach of {self.at}"
            self._take(self.rest, CauseKind.DONE, text)
            return
        self._nobody_able(work)
        self._faces_shut(work, self.at)
        self._faces_wait(work)
        self._too_short(work)

    def _nobody_able(self, work: list[Left]) -> None:
        """Take the time in which the crews on shift may spray none of what is left."""
        able = [
            span
            for crew in self.ground.spray_crews(self.rig.rig_id)
            for turn in self._turns(crew)
            for span in turn
            if any(self._is_able(crew, one, span[0]) for one in work)
        ]
        text = "no crew on shift may spray what is left within reach (orientations or cards)"
        self._take(self.rest - Spans(able), CauseKind.CREW, text)

    def _is_able(self, crew: CrewId, one: Left, minute: int) -> bool:
        member, way = self.ground.crews[crew], one.zone.orientation
        if member.orientations and way not in member.orientations:
            return False
        return minute not in self.ground.barred(crew, self.rig.process, way)

    def _faces_shut(self, work: list[Left], at: PositionId) -> None:
        open_ = Spans(span for one in work for span in self._near(one.open))
        shut = self.rest - open_
        if not shut:
            return
        zone = min(work, key=lambda one: one.first_min).zone
        for layer in self.ground.access.layers(zone):
            kind = CauseKind.WINDOW if layer.group == "water" else CauseKind.CLOSURE
            if layer.group == "short window":
                kind = CauseKind.TOO_SHORT
            text = f"no face within reach of {at} is open: {layer.cause}"
            self._take(shut & layer.spans, kind, text)
        text = f"people get in to, or out of, the faces within reach of {at}"
        self._take(self.rest & shut, CauseKind.WINDOW, text)

    def _near(self, spans: Spans) -> Spans:
        if not self.rest:
            return Spans()
        return spans.clip(self.rest.starts[0], self.rest.ends[-1])

    def _faces_wait(self, work: list[Left]) -> None:
        """Take the time in which every open face waits; the soonest ready says for what."""
        soon = sorted(work, key=lambda one: one.ready_min)
        workable = Spans(
            span for one in work for span in self._near(one.sprayable & one.from_ready)
        )
        waiting = self.rest - workable
        for one in soon:
            if not waiting:
                return
            held = waiting & self._near(one.open) & Spans.whole(0, one.ready_min)
            self._take(held, one.kind, one.text)
            waiting = self.rest & waiting
        for one in soon:
            held = waiting & self._near(one.open)
            text = f"{one.name} would be wetted too soon, or has no time left for its trimming"
            self._take(held, CauseKind.WET, text)
            waiting = self.rest & waiting

    def _too_short(self, work: list[Left]) -> None:
        lead = self.rig.start_up_min + self.ground.rules.zone_change_min
        tail = self.rig.clean_up_min
        room: list[Span] = []
        kept: list[Span] = []
        told = ""
        for crew in self.ground.spray_crews(self.rig.rig_id):
            for turn in self._turns(crew):
                for low, high in turn & self.rest:
                    mine = [one for one in work if self._is_able(crew, one, low)]
                    found = list(_covered(mine, low, high, lead=lead, tail=tail))
                    room += [(start, end) for start, end, _ in found]
                    hours = self._in_hours(crew, found, high)
                    kept += hours
                    told = told or self._why_hours(crew, found)
        least = lead + min(one.least_min for one in work) + tail
        text = f"what is left is too short for a run of its own: the shortest needs {least} min"
        self._take(self.rest - Spans(room), CauseKind.TOO_SHORT, text)
        self._take(self.rest - Spans(kept), CauseKind.DUTY, told)
        if self.rest:
            names = ", ".join(dict.fromkeys(str(one.zone.zone_id) for one in work[:3]))
            text = f"a run could be made here ({names}); the plan's goals did not need it"
            self._take(self.rest, CauseKind.SPARE, text)

    def _in_hours(
        self, crew: CrewId, found: Iterable[tuple[int, int, int]], high: int
    ) -> list[Span]:
        """Return what is left of some room, up to a minute, where a crew keeps to its hours."""
        member = self.ground.crews[crew]
        if member.duty_max_min is None and member.week_max_min is None:
            return [(start, end) for start, end, _ in found]
        return [
            (at, at + least)
            for start, end, least in found
            for at in range(start, end - least + 1)
            if at + least <= self._latest_end(crew, at, high)
        ]

    def _latest_end(self, crew: CrewId, start: int, high: int) -> int:
        """Return until when work that starts at a minute keeps the crew's hours [min].

        The longer the work, the more hours, so it is found by bisection; and kept.
        """
        key = (crew, start, high)
        if key not in self.ends:
            low, member = start, self.ground.crews[crew]
            most = high + 1
            while most - low > 1:
                middle = (low + most) // 2
                if too_many_hours(self.ground, member, start, middle) is None:
                    low = middle
                else:
                    most = middle
            self.ends[key] = low
        return self.ends[key]

    def _why_hours(self, crew: CrewId, found: Iterable[tuple[int, int, int]]) -> str:
        for start, _, least in found:
            why = too_many_hours(self.ground, self.ground.crews[crew], start, start + least)
            if why is not None:
                return why
        return ""


def _covered(
    work: list[Left], low: int, high: int, *, lead: int, tail: int
) -> Iterator[tuple[int, int, int]]:
    """Yield what runs of a single spell could fill of a stretch, and how long each is at least.

    The stretch is one that a rig and a crew have free.
    """
    for one in work:
        spans = (one.sprayable & one.from_ready).clip(low + lead, high - tail)
        for start, end in spans.at_least(one.least_min):
            yield start - lead, end + tail, lead + one.least_min + tail
