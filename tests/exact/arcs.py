"""What a rig can do in one go: arcs between the states it can be in."""

from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

from planner.model.identifiers import CrewId, MixId, Orientation, PositionId, RigId, ZoneId


class Kind(StrEnum):
    """What an arc does."""

    UNUSED = "unused"
    WAIT = "wait"
    MOVE = "move"
    PANEL = "panel"
    START_UP = "start-up"
    SPELL = "spell"
    IDLE = "idle"
    CLEAN_UP = "clean-up"
    LEAVE = "leave"


class State(NamedTuple):
    """Where a rig is in its work; ``crew`` None: off duty, ``position`` None: not set up yet."""

    position: PositionId | None = None
    crew: CrewId | None = None
    mix: MixId | None = None
    shift: int = -1
    idle: int = -1
    night: bool = False
    begun: int = -1


Node = tuple[int, State]
SINK: Node = (1 << 30, State())


@dataclass(frozen=True, slots=True, kw_only=True)
class Arc:
    """One thing that a rig does in slots ``[start, end)``; a spell's zone change is inside."""

    kind: Kind
    rig: RigId
    tail: Node
    head: Node
    crew: CrewId | None = None
    position: PositionId | None = None
    to: PositionId | None = None
    mix: MixId | None = None
    orientation: Orientation | None = None
    zone: ZoneId | None = None
    layer: int = 0
    last: bool = True
    spray_from: int = 0
    whole: int = 0
    first_set_up: bool = False
    night: bool = False

    @property
    def start(self) -> int:
        """Return the slot at which it starts."""
        return self.tail[0]

    @property
    def end(self) -> int:
        """Return the slot at which it ends."""
        return self.head[0] if self.head != SINK else self.tail[0]

    @property
    def works(self) -> bool:
        """Return whether this belongs to a run or is a relocation."""
        return self.kind not in {Kind.UNUSED, Kind.WAIT, Kind.LEAVE}
