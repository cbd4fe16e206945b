"""Where a shift works: its positions, its zones in order, and the hoses, as a drawing."""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.reports.figures.projection import Patch, View
from planner.reports.sheets.ground import SheetGround
from planner.reports.sheets.pen import Pen, text_width
from planner.site.duties import Duty

if TYPE_CHECKING:
    from reportlab.graphics.shapes import Drawing

TOP_PT, FOOT_PT = 12.0, 12.0
PAD_SHARE = 0.12
LEAST_PT = 0.5
LEAST_M = 12.0
"""A drawing shows at least this much of the site [m]."""
_NAME_PT, _NUMBER_PT = 5.6, 7.5


def site_drawing(ground: SheetGround, duty: Duty, *, width: float, height: float) -> Drawing:
    """Return the part of the site that a shift works in; numbers are those of the work table."""
    return _Sketch(ground, duty, width=width, height=height).drawn()


class _Sketch:
    def __init__(self, ground: SheetGround, duty: Duty, *, width: float, height: float) -> None:
        self.ground, self.duty = ground, duty
        self.pen = Pen(width, height)
        self.shown = ground.drawn
        self.patches: dict[str, Patch] = {
            str(patch.zone.zone_id): patch for patch in self.shown.patches
        }
        self.numbers: dict[str, list[int]] = {}
        for number, spell in enumerate(duty.spells, start=1):
            self.numbers.setdefault(str(spell.zone), []).append(number)
        for piece in duty.break_outs:
            self.numbers.setdefault(str(piece.zone), [])
        self.positions = self._positions()
        self.ways = {spell.zone: ground.way(spell) for spell in duty.spells}
        self._frame()

    def _positions(self) -> list[str]:
        found = [str(run.position) for run in self.duty.runs]
        for move in self.duty.relocations:
            found += [str(move.from_position), str(move.to_position)]
        return [name for name in dict.fromkeys(found) if name in self.shown.spots]

    def _frame(self) -> None:
        """Set the part of the site that is shown, and its scale."""
        worked = {str(run.position) for run in self.duty.runs} or set(self.positions)
        spots = [self.shown.spots[name] for name in self.positions if name in worked]
        for way in self.ways.values():
            spots += [self.shown.spots[name] for name in way if name in self.shown.spots]
        for name in self.numbers:
            patch = self.patches.get(name)
            if patch is not None:
                half_w, half_h = patch.width / 2, patch.height / 2
                spots.append((patch.along - half_w, patch.across - half_h))
                spots.append((patch.along + half_w, patch.across + half_h))
        if not spots:
            spots = list(self.shown.spots.values()) or [(0.0, 0.0)]
        self.low = (min(x for x, _ in spots), min(y for _, y in spots))
        high = (max(x for x, _ in spots), max(y for _, y in spots))
        extent = [max(b - a, LEAST_M) for a, b in zip(self.low, high, strict=True)]
        middle = [(a + b) / 2 for a, b in zip(self.low, high, strict=True)]
        extent = [(1 + 2 * PAD_SHARE) * size for size in extent]
        room = (self.pen.width, self.pen.height - TOP_PT - FOOT_PT)
        scales = [space / size for space, size in zip(room, extent, strict=True)]
        if self.shown.to_scale:
            scales = [min(scales)] * 2
        self.scale = (scales[0], scales[1])
        self.low = (
            middle[0] - room[0] / scales[0] / 2,
            middle[1] - room[1] / scales[1] / 2,
        )

    def place(self, along: float, across: float) -> tuple[float, float]:
        """Return the point on paper [pt]."""
        x = (along - self.low[0]) * self.scale[0]
        y = FOOT_PT + (across - self.low[1]) * self.scale[1]
        return x, y

    def _inside(self, x: float, y: float) -> tuple[float, float]:
        return (
            min(max(x, 0.0), self.pen.width),
            min(max(y, FOOT_PT), self.pen.height - TOP_PT),
        )

    def drawn(self) -> Drawing:
        pen = self.pen
        how = "seen from above" if self.shown.view is View.PLAN else "wall unrolled"
        pen.words(f"Place and set-up, {how}", (0, pen.height - 8), size=7, bold=True)
        pen.box((0, FOOT_PT), (pen.width, pen.height - TOP_PT - FOOT_PT), width=0.4)
        for name, patch in self.patches.items():
            self._zone(name, patch)
        self._across()
        for way in self.ways.values():
            self._hose(way)
        self._others()
        for name in self.numbers:
            if name in self.patches:
                self._number(name, self.patches[name])
        for name in self.positions:
            x, y = self.place(*self.shown.spots[name])
            if (x, y) != self._inside(x, y):
                continue  # the other end of a move, beyond what is shown
            pen.dot((x, y), 4.2)
            self._tag(name, x, y + 6.5)
        self._scale_bar()
        return pen.drawing

    def _across(self) -> None:
        """Name the places across, such as crown and invert of a pipe."""
        for across, words in self.shown.ticks:
            _, y = self.place(0.0, across)
            if FOOT_PT + 4 < y < self.pen.height - TOP_PT - 4:
                self.pen.line((0, y), (self.pen.width, y), width=0.3, colour="#BBBBBB")
                self.pen.words(words, (2, y + 1.5), size=5.6, ground=True)

    def _zone(self, name: str, patch: Patch) -> None:
        half_w, half_h = patch.width / 2, patch.height / 2
        x0, y0 = self._inside(*self.place(patch.along - half_w, patch.across - half_h))
        x1, y1 = self._inside(*self.place(patch.along + half_w, patch.across + half_h))
        if x1 - x0 < LEAST_PT or y1 - y0 < LEAST_PT:
            return
        mine = name in self.numbers
        self.pen.box(
            (x0, y0),
            (x1 - x0, y1 - y0),
            fill="#BDBDBD" if mine else None,
            stroke="#000000" if mine else "#999999",
            width=1.2 if mine else 0.4,
        )
        if not mine and x1 - x0 > text_width(name, size=_NAME_PT) and y1 - y0 > _NAME_PT:
            middle = ((x0 + x1) / 2, (y0 + y1) / 2 - 2)
            self.pen.words(name, middle, size=_NAME_PT, anchor="middle")

    def _number(self, name: str, patch: Patch) -> None:
        x, y = self.place(patch.along, patch.across)
        numbers = ",".join(str(number) for number in self.numbers[name])
        words = f"{numbers} {name}".strip()
        half = text_width(words, size=_NUMBER_PT, bold=True) / 2
        if half > patch.width * self.scale[0] and len(self.numbers) > BUSY:
            words, half = numbers or name, 6.0
        x = min(max(x, half + 2), self.pen.width - half - 2)
        self.pen.words(
            words, (x, y - 2.5), size=_NUMBER_PT, bold=True, anchor="middle", ground=True
        )

    def _hose(self, way: tuple[str, ...]) -> None:
        points = []
        for name in way:
            if name in self.shown.spots:
                points.append(self.place(*self.shown.spots[name]))
            elif name in self.patches:
                patch = self.patches[name]
                points.append(self.place(patch.along, patch.across))
        self.pen.path(points, width=1.3, dash=(5, 2))

    def _others(self) -> None:
        """Name the waypoints on the ways, and show the positions nearby."""
        for way in self.ways.values():
            for name in way[1:-1]:
                if name in self.shown.spots:
                    x, y = self.place(*self.shown.spots[name])
                    self.pen.box((x - 2, y - 2), (4, 4), fill="#FFFFFF", width=0.9)
                    self.pen.words(name, (x + 4, y + 2), size=6.5, ground=True)
        for place in self.ground.campaign.positions:
            name = str(place.position_id)
            if name in self.positions or name not in self.shown.spots:
                continue
            x, y = self.place(*self.shown.spots[name])
            if (x, y) == self._inside(x, y):
                self.pen.dot((x, y), 2.0, fill="#FFFFFF")

    def _tag(self, name: str, x: float, y: float) -> None:
        half = text_width(name, size=8.0, bold=True) / 2
        x = min(max(x, half + 2), self.pen.width - half - 2)
        y = min(y, self.pen.height - TOP_PT - 8)
        self.pen.words(name, (x, y), size=8.0, bold=True, anchor="middle", ground=True)

    def _scale_bar(self) -> None:
        room_m = self.pen.width / self.scale[0]
        length = next(size for size in _LENGTHS if size > room_m / 6)
        width = length * self.scale[0]
        self.pen.line((2, 4), (2 + width, 4), width=1.4)
        words = f"{length:g} m" if self.shown.to_scale else f"{length:g} m along; across stretched"
        self.pen.words(words, (6 + width, 2), size=6.5)
        self.pen.words(
            "● set-up   □ waypoint   - - hose", (self.pen.width, 2), size=6, anchor="end"
        )


BUSY = 4
"""With more zones than this, names that do not fit a zone stand in the work table alone."""
_LENGTHS = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10_000, 10**9)
