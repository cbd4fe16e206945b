"""The whole input of the planner, parsed and consistent."""

from __future__ import annotations

from dataclasses import dataclass, field

from planner.core.clock import Clock
from planner.model.card import Card
from planner.model.conditions import Conditions
from planner.model.crew import Crew, Shift
from planner.model.identifiers import CrewKind, Goal
from planner.model.limits import Apart, Closure, OpenLimit
from planner.model.lock import Lock
from planner.model.material import Material
from planner.model.mix import MixFace
from planner.model.position import Position, Route, Waypoint
from planner.model.progress import Done
from planner.model.quality import Cure, Outcome, Quality
from planner.model.resource import Resource
from planner.model.rig import Rig
from planner.model.rules import Prices, ReachBy, Rules
from planner.model.water import Water
from planner.model.wet_weather import MonthLoss, WetWeather
from planner.model.zone import Zone


@dataclass(frozen=True, slots=True, kw_only=True)
class Campaign:
    """A campaign as the reader hands it on: ids resolve, numbers lie in their ranges.

    Attributes
    ----------
    name, clock
        Name, and the calendar between its first and last day.
    goals, may_worsen
        Goals in order; how much of each but the last may be given up [fraction].
    water, rules, prices
        As in campaign.toml.
    reach_by, reach_slack
        How hose lengths are found, and the factor of the grid [1].
    zones, positions, rigs, crews, shifts, closures, apart, open_limits, mixes, routes, waypoints,
    done
        The tables, in file order; after the closures come the public holidays.
    wet_weather
        Rain and gauges that close zones.
    resources
        What things share, and how many of it there are (rule 16).
    cards
        Who may spray what, and until when; none: crews as crews.csv says.
    quality, cure, results
        Tests asked for, curing, and what tests gave; no plan depends on them.
    materials
        How the mixes are bought and used up, where the scenario says so.
    weather_allowance
        Share of windows lost to weather by month; it moves no window, only the date told.
    conditions
        Light, waves and air that the faces need.
    locks
        What was fixed by hand; their days are closures too (rule 17).
    fingerprint
        SHA-256 over the parsed tables in canonical order, hexadecimal.
    """

    name: str
    clock: Clock
    goals: tuple[Goal, ...]
    may_worsen: tuple[float, ...]
    water: Water
    rules: Rules
    prices: Prices
    reach_by: ReachBy = ReachBy.ROUTES
    reach_slack: float = 1.15
    zones: tuple[Zone, ...]
    positions: tuple[Position, ...]
    rigs: tuple[Rig, ...]
    crews: tuple[Crew, ...]
    shifts: tuple[Shift, ...]
    mixes: tuple[MixFace, ...]
    closures: tuple[Closure, ...] = ()
    apart: tuple[Apart, ...] = ()
    open_limits: tuple[OpenLimit, ...] = ()
    routes: tuple[Route, ...] = ()
    waypoints: tuple[Waypoint, ...] = ()
    done: tuple[Done, ...] = ()
    locks: tuple[Lock, ...] = ()
    wet_weather: WetWeather = field(default_factory=WetWeather)
    weather_allowance: tuple[MonthLoss, ...] = ()
    resources: tuple[Resource, ...] = ()
    materials: tuple[Material, ...] = ()
    cards: tuple[Card, ...] = ()
    quality: Quality = field(default_factory=Quality)
    cure: Cure = field(default_factory=Cure)
    results: tuple[Outcome, ...] = ()
    conditions: Conditions = field(default_factory=Conditions)
    fingerprint: str = ""
    not_before_min: int = 0

    @property
    def start_min(self) -> int:
        """Return the minute at which planning may begin: 0, or the latest progress [min].

        Later where a re-plan says so (``not_before_min``).
        """
        return max(self.not_before_min, max((row.at_min for row in self.done), default=0), 0)

    @property
    def plans_break_out(self) -> bool:
        """Return whether there are break-out crews, so that break-out is planned."""
        return any(crew.kind is CrewKind.BREAK_OUT for crew in self.crews)
