"""A sheet of paper for one crew and one shift."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from planner.access.level import allowances_m
from planner.model.water import WaterKind
from planner.reports.labels import count
from planner.reports.sheets.curve import water_drawing
from planner.reports.sheets.ground import SheetGround
from planner.reports.sheets.paper import (
    BOX,
    TO,
    WIDTH_PT,
    document,
    gap,
    grid,
    parts,
    printed,
    side_by_side,
    text,
    together,
)
from planner.reports.sheets.sketch import site_drawing
from planner.reports.sheets.stop_band import stop_band
from planner.reports.sheets.stop_rows import StopRow, stop_rows
from planner.reports.sheets.work_rows import work_table
from planner.reports.wording import day_name
from planner.site.duties import Duty, crew_of
from planner.trade.cautions import cautions_for
from planner.trade.cautions_in_plan import PlanCaution

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

HALF_PT = WIDTH_PT / 2 - 4
STRIP_PT, MAP_PT = 44.0, 160.0
DRAWINGS_PT = ((5, 205.0), (10, 165.0), (13, 135.0))
"""Height of the drawings by how much else stands on the page [1, pt]."""
LEAST_DRAWING_PT, TIGHT_DRAWING_PT = 112.0, 100.0
ROOMY = 6
PEOPLE_MIN = 6
SAFETY = (
    "Predicted times and levels. Board, gauge, gas readings, permits, the structure's engineer and"
    " local codes decide on site; anybody may stop the work."
)


def shift_pdf(ground: SheetGround, duty: Duty) -> bytes:
    """Return the sheet of a shift: one page of A4, more only where the work does not fit."""
    title = f"{duty.name} {ground.clock.local(duty.start_min):%Y-%m-%d %H:%M}"
    foot = f"{ground.campaign.name} · {_issue(ground)}"

    def made(*, is_tight: bool) -> tuple[bytes, int]:
        story = shift_story(ground, duty, is_tight=is_tight)
        return printed(story, title=f"Shift sheet {title}", head=title, foot=foot)

    data, pages = made(is_tight=False)
    if pages == 1:
        return data
    tight, fewer = made(is_tight=True)
    return tight if fewer == 1 else data


def shift_story(ground: SheetGround, duty: Duty, *, is_tight: bool = False) -> list[Flowable]:
    """Return the pieces of a shift sheet in order.

    Parameters
    ----------
    is_tight
        Whether drawings and type are smaller, to save a second page.
    """
    rows = stop_rows(ground, duty)
    height = TIGHT_DRAWING_PT if is_tight else _drawing_pt(duty, rows)
    return [
        _head(ground, duty),
        gap(4),
        *_drawings(ground, duty, rows, height=height),
        gap(3),
        *stop_band(ground, rows, is_tight=is_tight),
        *_position_limits(ground, duty),
        gap(4),
        work_table(ground, duty, rows),
        gap(3),
        *_hoses(ground, duty),
        gap(3),
        together(_before_and_people(ground, duty)),
        gap(3),
        *_tests(ground, duty),
        *_cautions(ground, duty, in_brief=_load(duty, rows) > ROOMY),
        gap(2),
        text(SAFETY, "small"),
    ]


def _drawing_pt(duty: Duty, rows: tuple[StopRow, ...]) -> float:
    load = _load(duty, rows)
    return next((size for most, size in DRAWINGS_PT if load <= most), LEAST_DRAWING_PT)


def _load(duty: Duty, rows: tuple[StopRow, ...]) -> int:
    """Return how much stands on the page besides the drawings: rows, roughly [1]."""
    items = len(duty.spells) + len(duty.runs) + len(duty.relocations) + len(duty.break_outs)
    return items + 2 * len(rows)


def _drawings(
    ground: SheetGround, duty: Duty, rows: tuple[StopRow, ...], *, height: float
) -> list[Flowable]:
    if ground.campaign.water.kind is WaterKind.NONE:
        return [
            site_drawing(ground, duty, width=WIDTH_PT, height=min(height, MAP_PT)),
            gap(2),
            water_drawing(ground, duty, rows, width=WIDTH_PT, height=STRIP_PT),
        ]
    left = site_drawing(ground, duty, width=HALF_PT, height=height)
    right = water_drawing(ground, duty, rows, width=HALF_PT, height=height)
    return [side_by_side(left, right, (HALF_PT + 8, HALF_PT))]


def _head(ground: SheetGround, duty: Duty) -> Flowable:
    clock = ground.clock
    start, end = clock.local(duty.start_min), clock.local(duty.end_min)
    crew = crew_of(ground.campaign, duty)
    what = (
        "moves rigs" if crew is None else ("breaks out" if crew.kind == "break_out" else "sprays")
    )
    left = [
        text(duty.name, "title"),
        text(f"{what} · shift {duty.shift_id} · {ground.campaign.name}", "small"),
    ]
    right = [
        text(f"{day_name(duty.day)} {duty.day.year}  {start:%H:%M}{TO}{end:%H:%M}", "title right"),
        text(_amount(duty) + _issue(ground), "right"),
    ]
    return grid(
        [[left, right]],
        [WIDTH_PT * 0.52, WIDTH_PT * 0.48],
        head=0,
        lines=False,
        commands=[
            ("LINEBELOW", (0, 0), (-1, 0), 1.6, "#000000"),
            ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ],
    )


def _amount(duty: Duty) -> str:
    return f"{duty.volume_m3:.2f} m³ in place · " if duty.spells else ""


def _issue(ground: SheetGround) -> str:
    mark = ground.campaign.fingerprint[:8]
    issue = "plan not issued" if ground.issue is None else f"issue {ground.issue}"
    return f"{issue}, scenario {mark}" if mark else issue


def _hoses(ground: SheetGround, duty: Duty) -> list[Flowable]:
    """Return the ways of the hoses, by rig and position, with what is laid."""
    found: dict[tuple[str, str], dict[str, str]] = {}
    for spell in duty.spells:
        way = ground.way(spell)
        laid, counts = f"{spell.hose_laid_m:.0f} m", f"{spell.hose_m:.0f}"
        more = "" if laid == f"{counts} m" else f" (counts as {counts})"
        words = f"{' → '.join(way[1:])} {laid}{more}"
        found.setdefault((str(spell.rig), str(spell.position)), {})[str(spell.zone)] = words
    pieces: list[tuple[str, bool]] = []
    for (rig, position), ways in found.items():
        most = next(row.hose_max_m for row in ground.campaign.rigs if row.rig_id == rig)
        pieces.append((f"Hoses of {rig} from {position}, at most {most:g} m:", True))
        pieces.append((f"{'; '.join(ways.values())}.", False))
    return [parts(*pieces, style="small")] if pieces else []


def _position_limits(ground: SheetGround, duty: Duty) -> list[Flowable]:
    """Return the water between which rigs may stand at the positions of a shift."""
    higher, lower = allowances_m(ground.campaign.water)
    names = [run.position for run in duty.runs]
    for move in duty.relocations:
        names += [move.from_position, move.to_position]
    words = []
    for name in dict.fromkeys(names):
        place = ground.positions[name]
        if place.water_max_m is not None:
            words.append(f"{name} not above {place.water_max_m - higher:+.2f} m")
        if place.water_min_m is not None:
            words.append(f"{name} not below {place.water_min_m + lower:+.2f} m")
    if not words:
        return []
    return [parts(("Rigs, by the board:", True), (f"{'; '.join(words)}.", False))]


def _before_and_people(ground: SheetGround, duty: Duty) -> Flowable:
    width = WIDTH_PT * 0.56
    checks = [[text(BOX, "body"), text(words, "body")] for words in _checks(ground, duty)]
    left = grid(
        [[text("Before anybody goes in", "head"), ""], *checks],
        [14.0, width - 14.0 - 6.0],
        commands=[("SPAN", (0, 0), (1, 0))],
        pad=1.6,
    )
    room = WIDTH_PT - width
    people = max(PEOPLE_MIN, _crew_size(ground, duty) + 2)
    rows: list[list[Any]] = [
        [text(words, "head") for words in ("Count: name", "in", "out", "in", "out")]
    ]
    rows += [[text(f"{number}", "tiny"), "", "", "", ""] for number in range(1, people + 1)]
    rows.append([text("all out, counted by", "tiny"), "", "", "", ""])
    times = 34.0
    right = grid(
        rows, [room - 4 * times, *[times] * 4], pad=2.6, commands=[("SPAN", (1, -1), (-1, -1))]
    )
    return side_by_side(left, right, (width, room))


def _crew_size(ground: SheetGround, duty: Duty) -> int:
    sizes = [ground.rigs[run.rig].crew_size for run in duty.runs]
    return max((size for size in sizes if size is not None), default=0)


def _checks(ground: SheetGround, duty: Duty) -> list[str]:
    """Return what is asked before entry, with blanks for the answers."""
    kind = ground.campaign.water.kind
    zones = [ground.zones[spell.zone] for spell in duty.spells]
    closed = kind is WaterKind.SEWER or any(zone.closed_space for zone in zones)
    found = ["Permit no. ____________  valid to ________  read out to the crew by ____________"]
    if closed:
        found.append(
            "Gas test from outside, at the face and all the time: O2 ______ % flammable ______ %"
            " H2S ______ CO ______  time ______ by __________  limits as on the permit"
        )
        found.append("Ventilation runs; attendant outside, who stays: __________________")
    else:
        found.append(
            "Closed or badly aired? yes / no. If yes, gas test before entry: O2 ____ % other"
            " ________ time ____ by ________"
        )
    if kind is WaterKind.SEWER:
        found.append(
            "Upstream called: no rain, no pump or gate change, until ______  who answered"
            " __________  time ______"
        )
    elif kind is not WaterKind.NONE:
        found.append(
            "Harbour called: vessels and wash until ______  who answered __________  time ____"
        )
        found.append("Board or gauge read: ______ m at ______; prediction then ______ m")
    found.append("Weather and warnings: ____________________  source ________  time ____")
    found.append("Rescue means in place and tried: __________________  who leads it __________")
    found.append("Signal between nozzle and machine tried; way out free, lit and known to all")
    return found


def _tests(ground: SheetGround, duty: Duty) -> list[Flowable]:
    due = ground.tests_due(duty)
    if not due:
        return []
    return [
        parts(
            ("Tests due:", True),
            ("; ".join(test.words for test in due) + ".", False),
            style="small",
        ),
        gap(2),
    ]


def _cautions(ground: SheetGround, duty: Duty, *, in_brief: bool) -> list[Flowable]:
    """Return what the plan itself asks a second look at, then the hazards in brief."""
    mine = [
        caution
        for caution in ground.plan_cautions
        if caution.crew == duty.crew and duty.start_min <= caution.start_min < duty.end_min
    ]
    found: list[Flowable] = []
    grouped: dict[str, list[PlanCaution]] = {}
    for caution in mine:
        grouped.setdefault(caution.code, []).append(caution)
    for group in grouped.values():
        zones = ", ".join(dict.fromkeys(str(caution.zone) for caution in group))
        like = " (the others likewise)" if len(group) > 1 else ""
        words = f"{group[0].text}{like}. {group[0].follow}"
        found.append(parts((f"CAUTION {zones}:", True), (words, False), style="small"))
    pieces: list[tuple[str, bool]] = [("Cautions (in full on the crew's own list):", True)]
    hazards = cautions_for(
        ground.campaign,
        zones={spell.zone for spell in duty.spells} | {row.zone for row in duty.break_outs},
        rigs={run.rig for run in duty.runs} | {move.rig for move in duty.relocations},
        crews=set() if duty.crew is None else {duty.crew},
    )
    for item in hazards:
        pieces.append((f"{item.title}.", True))
        if not in_brief:
            pieces.append((_first_sentence(item.text), False))
    found.append(parts(*pieces, style="tiny"))
    return found


def _first_sentence(words: str) -> str:
    head, mark, _ = words.partition(". ")
    return head + mark.strip()


def cautions_pdf(ground: SheetGround, name: str) -> bytes:
    """Return the cautions of a crew in full: what can hurt, and which code decides."""
    mine = [duty for duty in ground.duties if duty.name == name]
    zones = {spell.zone for duty in mine for spell in duty.spells}
    zones |= {row.zone for duty in mine for row in duty.break_outs}
    rigs = {run.rig for duty in mine for run in duty.runs}
    rigs |= {move.rig for duty in mine for move in duty.relocations}
    crews = {duty.crew for duty in mine if duty.crew is not None}
    story: list[Flowable] = [
        text(f"Cautions for {name}", "title"),
        gap(3),
        text(f"{ground.campaign.name}: {count(len(mine), 'shift')} of this plan", "small"),
        gap(6),
    ]
    for item in cautions_for(ground.campaign, zones=zones, rigs=rigs, crews=crews):
        subjects = f" ({', '.join(item.subjects)})" if item.subjects else ""
        story.append(
            together(
                text(f"{item.title}", "section"),
                text(item.text),
                text(f"{item.follow} Source: {item.source}.", "small"),
                text(f"Concerns{subjects}" if subjects else "Concerns the whole site", "tiny"),
                gap(5),
            )
        )
    return document(
        story,
        title=f"Cautions for {name}",
        head=f"Cautions for {name}",
        foot=f"{ground.campaign.name} · {_issue(ground)}",
    )
