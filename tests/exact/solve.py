"""The best value of every goal of a small campaign, proven.

Covered: windows with get-in and get-out, closures of every scope, zone change, trimming,
protection from wetting, start-up and clean-up, runs inside shifts with one crew, position and
mix, idle_max, relocations by a spray crew or the gang, ``at``, rigs_max, layers with least and
most gap, joints, ``after``, ready_from, apart, open limits with strength hold, panels, break-out
with prepare and max_open_days, duties with rests, priorities, every goal with may_worsen,
shared resources, and every cost line but theirs.

Not covered (:class:`~tests.exact.water.NotCoveredError`, never a silent skip): tide, high-low and
sewer levels, wet weather, progress, week_max_h, zones that are open from the start, relocations
that take no time, split layers that could be sprayed at different rates or whose zone is broken
out by a crew, break-out crews of different rates, prices of resources, needs of a zone with
several break-out crews or of a position for several rigs.

Why a grid can be exact
-----------------------
Take any valid plan and write down everything about it that is not a time: who sprays what from
where with which mix and crew, in which order, in which window, shift, dry stretch and day each
thing lies, which gap is a rest, who holds a position before whom.  What is left is a set of start
and end times, and every rule is then a difference: ``end = start + duration``,
``later >= earlier + gap``, ``start >= window start``, ``end <= window end`` and so on.  Where all
those constants are multiples of the grid ``g``, rounding *every* time down to the grid keeps each
of these inequalities, because ``x >= y + k g`` gives ``floor(x/g) >= floor(y/g) + k``.  The
rounded plan is valid, lies on the grid, touches no day, shift or night that it did not touch
before, and ends no later; so no measure got worse, and the best plan on the grid is the best of
all.  (One measure could: a crew stands by on a day that it no longer touches.  That needs a shift
over midnight and a price for standing by.)

The argument needs every condition to be a difference of two times.  Two rules are sums:

* Pieces of a split layer add up.  With one layer that can be split, into at most ``k`` pieces, a
  best plan is a vertex of "differences and one sum": all times hang rigidly together but for one
  group that slides by ``y``, and the sum fixes ``a y`` with a whole ``a``, ``0 < |a| <= k``.
  So if all constants are multiples of ``lcm(1..k)`` grid steps, the grid is still exact.
* Pieces of break-out add up.  With one break-out crew and the same windows for all its zones,
  round the other times down as above.  By Hall's condition the crew's slots then still suffice:
  a group of zones that lacks slots after rounding used, before it, parts of a single slot that
  the rounding cut off, less than one slot in all, while demand and supply are whole slots.

In every other case, and where a window edge is not on the grid, the plan found is still valid,
so its values are upper bounds of the best ones; :attr:`Exact.gaps` says why they may not be exact.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import floor, lcm

from planner.model.campaign import Campaign
from planner.model.identifiers import CrewKind, Goal, ZoneId
from planner.model.limits import ApartKind
from planner.plan.plan import Plan
from tests.exact.decode import plan_of
from tests.exact.goals import objective, volume
from tests.exact.model import Model
from tests.exact.rules import add_rules
from tests.exact.scene import OffGridError, Scene
from tests.exact.sharing import never_more_than_there_are
from tests.exact.water import NotCoveredError

COUNTS = frozenset({Goal.RELOCATIONS, Goal.NIGHT_RUNS, Goal.JOINTS})
TOLERANCE = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Exact:
    """What the exact method found.

    Attributes
    ----------
    volume_m3
        Most volume for each priority, in order [m³].
    best
        Least value of each goal, given the volume and the goals before it with their
        may_worsen; finish in hours.
    plan
        A plan that has these values (of the last goal; of the others within may_worsen).
    gaps
        Why the grid may not be exact; empty when it is.
    """

    volume_m3: dict[int, float]
    best: dict[Goal, float]
    plan: Plan
    gaps: tuple[str, ...]

    @property
    def planned_m3(self) -> float:
        """Return the planned volume [m³]."""
        return sum(self.volume_m3.values())


def solve_exactly(
    campaign: Campaign, *, grid_min: int, seconds: float = 120.0, arcs_max: int | None = None
) -> Exact:
    """Return the best value of every goal over all plans on a grid.

    Parameters
    ----------
    grid_min
        Grid [min]; every duration must be a multiple of it.
    seconds
        Limit for each of the programmes [s].
    arcs_max
        Most arcs of the rigs' networks, so that a test run stays short on any machine.

    Raises
    ------
    tests.exact.scene.OffGridError
        If a duration is not on the grid.
    tests.exact.water.NotCoveredError
        If the campaign has a feature that is not covered, or is too large.
    tests.exact.programme.NotProvenError
        If the limit is too short.
    """
    if campaign.done or campaign.wet_weather.series:
        raise NotCoveredError("progress, wet weather")
    model = Model(Scene(campaign, grid_min))
    if arcs_max is not None and len(model.arcs) > arcs_max:
        raise NotCoveredError("too large")
    add_rules(model)
    never_more_than_there_are(model)
    gaps = tuple(_gaps(model))
    volumes = {
        priority: -_settle(model, volume(model, priority), allowed=0.0, seconds=seconds)[0]
        for priority in sorted({zone.priority for zone in campaign.zones})
    }
    best: dict[Goal, float] = {}
    plan = Plan()
    for goal, allowed in zip(campaign.goals, (*campaign.may_worsen, 0.0), strict=False):
        value, plan = _settle(
            model, objective(model, goal), goal=goal, allowed=allowed, seconds=seconds
        )
        best[goal] = value
    return Exact(volume_m3=volumes, best=best, plan=plan, gaps=gaps)


def _settle(
    model: Model,
    terms: dict[int, float],
    *,
    goal: Goal | None = None,
    allowed: float,
    seconds: float,
) -> tuple[float, Plan]:
    """Minimise, and keep what was reached, with what may be given up, as a row."""
    if not terms:
        terms = {model.programme.variable(high=0.0): 1.0}
    value, solution = model.programme.minimise(terms, seconds=seconds)
    if goal in COUNTS:
        value = float(round(value))
    high = value * (1.0 + allowed) if value > 0 else value
    if goal in COUNTS:
        high = float(floor(high + TOLERANCE))
    model.programme.row(terms.items(), high=high + TOLERANCE * max(1.0, abs(value)))
    if goal is Goal.FINISH:
        model.forbid_after(high)
    return value, plan_of(model, solution)


def _gaps(model: Model) -> Iterator[str]:
    """Say what breaks the argument that the grid is exact."""
    yield from (f"not on the grid: {what}" for what in sorted(model.scene.calendar.off_grid))
    campaign, grid = model.scene.campaign, model.scene.grid
    night = any(end_crosses(s.start_tod, s.end_tod) for s in campaign.shifts)
    if night and any(campaign.prices.crew_standby_day.values()):
        yield "standby days with a shift over midnight"
    for zone in campaign.zones:
        for start, _ in model.scene.dry[zone.zone_id] or ():
            if round(-(-round(start, 6) // 1)) % grid:
                yield f"not on the grid: dry stretch of {zone.zone_id}"
                break
        if (zone.ready_from_min or 0) % grid or (zone.due_min or 0) % grid:
            yield f"not on the grid: dates of {zone.zone_id}"
    yield from _split_gaps(model)
    if model.break_out:
        yield from _break_out_gaps(model)


def end_crosses(start_tod: int, end_tod: int) -> bool:
    """Return whether a daily stretch ends on the next day."""
    return 0 < end_tod <= start_tod or end_tod == start_tod


def splittable(model: Model) -> dict[tuple[ZoneId, int], int]:
    """Return the layers that may be split, with the most pieces."""
    least = max(1, model.scene.campaign.rules.spell_min_min)
    pieces: dict[tuple[ZoneId, int], int] = {}
    for arc in model.arcs:
        if arc.zone is not None and not arc.last:
            most = arc.whole * model.scene.grid // least
            pieces[arc.zone, arc.layer] = max(most, pieces.get((arc.zone, arc.layer), 0))
    return pieces


def _split_gaps(model: Model) -> Iterator[str]:
    campaign, grid = model.scene.campaign, model.scene.grid
    pieces = splittable(model)
    if not pieces:
        return
    if len(pieces) > 1:
        yield "several layers can be split"
        return
    coarse = grid * lcm(*range(1, max(pieces.values()) + 1))
    try:
        fine = Model(Scene(campaign, coarse))
    except OffGridError as error:
        yield f"a split layer needs data on {coarse} min: {error}"
        return
    yield from (f"split layer, {coarse} min: {what}" for what in fine.scene.calendar.off_grid)
    if campaign.rules.spell_min_min % coarse:
        yield f"a split layer needs spell_min on {coarse} min"
    if Goal.LATE in campaign.goals or any(campaign.prices.load_step_m3.values()):
        yield "a split layer with lateness or whole loads"


def _break_out_gaps(model: Model) -> Iterator[str]:
    campaign, scene = model.scene.campaign, model.scene
    crews = [c for c in campaign.crews if c.kind is CrewKind.BREAK_OUT]
    if len(crews) > 1:
        yield "several break-out crews"
    if len({tuple(scene.windows[z]) for z in model.break_out}) > 1:
        yield "break-out in different windows"
    if any(c.duty_max_min is not None for c in crews):
        yield "duties of a break-out crew"
    if any(pair.kind is ApartKind.WORK for pair in campaign.apart):
        yield "break-out of zones that are not worked together"
    if campaign.rules.max_open_days is not None:
        yield "break-out with max_open_days"
    if splittable(model):
        yield "break-out and a split layer"
