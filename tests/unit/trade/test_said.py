"""Every text that people act on, word for word: read the diff when one of these files changes.

Run with ``--update-golden`` to write them anew.
"""

from collections.abc import Iterator
from pathlib import Path

import pytest

from planner.model.crew import Crew
from planner.model.identifiers import Process, ZoneId
from planner.model.rules import Rules
from planner.model.water import Water, WaterKind
from planner.model.wet_weather import WetRow, WetWeather
from planner.trade.caution import Caution
from planner.trade.cautions import cautions_for
from planner.trade.cautions_in_plan import cautions_in_plan
from planner.trade.figure import Figure
from planner.trade.line_advice import line_advice
from planner.trade.line_figures import Line, line_figures, ventilation
from planner.trade.machine_figures import people_figure
from tests.builders import campaign, crew, rig, spell, zone
from tests.unit.trade.sites import deck, pipe, sewer

pytestmark = pytest.mark.golden


def compared(path: Path, lines: list[str], *, update: bool) -> None:
    text = "\n".join(lines) + "\n"
    if update:
        path.write_text(text, encoding="utf-8")
    assert path.read_text(encoding="utf-8") == text, "read the diff, then run with --update-golden"


def caution_lines(title: str, found: tuple[Caution, ...]) -> Iterator[str]:
    yield f"== {title}"
    for each in found:
        yield f"[{each.code}] {each.title} ({each.scope}: {', '.join(each.subjects)})"
        yield f"    {each.text}"
        yield f"    {each.follow}"
        yield f"    {each.source} ({each.trust})"


def sites():
    """Sites that between them say every sentence of every caution."""
    wet = WetWeather(series=((None, (WetRow(minute=0.0, rain_mm=0.0),)),), rain_limit_mm=2.0)
    narrow = Water(
        kind=WaterKind.SEWER,
        sewer=(pipe(diameter_m=1.0, velocity_max_m_s=1.0), pipe("S2", diameter_m=1.8)),
        warning_min=25,
    )
    zones = (*sewer().zones, zone("T60", section="S2", water_max_m=0.2, closed_space=True))
    return {
        "sewer": sewer(),
        "narrow sewer with rain and a warning": sewer(
            water=narrow, wet_weather=wet, zones=zones, rules=Rules(no_entry_h=8.0)
        ),
        "deck": deck(),
        "float without a highest level": campaign(zones=(zone(water_min_m=0.0),)),
        "wall inland": campaign(
            zones=(zone(depth_mm=None, area_m2=None, volume_m3=1.0),),
            crews=(crew(duty_max_min=480, rest_min_min=660),),
        ),
    }


def test_cautions_of_a_scenario_are_said_in_these_words(
    repository: Path, update_golden: bool
) -> None:
    lines = [
        line
        for title, site in sites().items()
        for line in caution_lines(title, cautions_for(site))
    ]
    compared(repository / "tests" / "golden" / "cautions.txt", lines, update=update_golden)


def test_cautions_of_a_plan_are_said_in_these_words(repository: Path, update_golden: bool) -> None:
    def sprayed(name: str, start_min: int, run: str = "1", layer: int = 1):
        ends = {"start_min": start_min, "end_min": start_min + 30}
        return spell(run, zone=ZoneId(name), layer=layer, **ends)

    far = tuple(zone(f"S{at}", **_along(at)) for at in (10, 20, 30, 40, 50, 60))
    order = [sprayed(f"S{at}", at * 6) for at in (10, 20, 30, 40, 50, 60)]
    cases = {
        "without a time of no entry": (sewer(zones=far), order),
        "with one": (sewer(zones=far, rules=Rules(no_entry_h=6.5)), order),
        "below, next layer, short rest": (
            deck(rules=Rules(no_entry_h=6.0)),
            [
                sprayed("SOFFIT", 0),
                sprayed("PILE", 60),
                sprayed("SOFFIT", 380, "2", 2),
            ],
        ),
    }
    lines = [
        line
        for title, (site, spells) in cases.items()
        for line in (
            f"== {title}",
            *(
                f"[{row.code}] {row.zone} at {row.start_min}: {row.text}\n    {row.follow}"
                for row in cautions_in_plan(site, spells)
            ),
        )
    ]
    path = repository / "tests" / "golden" / "plan_cautions.txt"
    compared(path, lines, update=update_golden)


def _along(at: int) -> dict[str, object]:
    return {"x_m": float(at), "chainage_m": float(at), "section": "S1", "closed_space": True}


def figure_lines(figures: tuple[Figure, ...]) -> Iterator[str]:
    for each in figures:
        value = "none" if each.value is None else f"{each.value:.3f}"
        yield f"{each.name} = {value} {each.unit}"
        told = (each.formula, each.inputs_words(), f"{each.source} ({each.trust})", each.note)
        yield from (f"    {text}" for text in told if text)


def rigs():
    """Rigs that between them say every sentence of figures and advice."""
    wet = {"process": Process.WET, "rise_factor": 3.0, "bend_m": 3.0, "rate_m3_h": 6.0}
    filled = ("rate_m3_h", "hose_bore_mm", "crew_size")
    return {
        "dry, nothing known": (rig(), Line(laid_m=20.0, rise_m=0.0)),
        "dry, all too weak": (
            rig(hose_bore_mm=38.0, air_m3_min=5.0, air_kpa=600.0, water_kpa=300.0, crew_size=4),
            Line(laid_m=200.0, rise_m=15.0),
        ),
        "bowl gun beyond its kind": (
            rig(type_id="dry-rotary-bowl", type_filled=filled, hose_bore_mm=32.0, crew_size=6),
            Line(laid_m=160.0, rise_m=40.0),
        ),
        "wet, nothing known": (rig("W1", **wet), Line(laid_m=120.0, rise_m=5.0, bends=2.0)),
        "pneumatic feed": (
            rig("W2", type_id="wet-pneumatic", type_filled=filled, crew_size=6, **wet),
            Line(laid_m=40.0, rise_m=-3.0),
        ),
    }


def test_figures_and_advice_of_a_line_are_said_in_these_words(
    repository: Path, update_golden: bool
) -> None:
    lines: list[str] = []
    crews: tuple[Crew, ...] = (crew("A"), crew("B", people=7, processes=(Process.WET,)))
    for title, (one, line) in rigs().items():
        people = people_figure(one, crews)
        air = [ventilation(people, diameter_m=2.0), ventilation(people, diameter_m=None)]
        figures = (*line_figures(one, line), people, *air)
        by_name = {figure.name: figure for figure in figures}
        advice = line_advice(one, line, by_name, closed=True)
        lines += [f"== {title}", *figure_lines(figures), *(f"* {text}" for text in advice)]
    compared(repository / "tests" / "golden" / "lines.txt", lines, update=update_golden)
