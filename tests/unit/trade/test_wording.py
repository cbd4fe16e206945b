"""Every word and figure of the work chain and the quality plan, as people read them.

The committed file is read as a difference when it changes (``--update-golden``): a source that
goes missing, a trust label that turns better, or a sentence that says more than it may, shows.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from planner.core.spans import Spans
from planner.model.identifiers import Orientation, ZoneId
from planner.model.quality import Cure, CureMethod, Hold, Outcome
from planner.model.rules import Rules
from planner.trade.figure import Figure
from planner.trade.quality_faces import bond, inspections
from planner.trade.quality_panels import pre_construction, production
from planner.trade.quality_stops import Result, stopped_spells
from planner.trade.quality_trial import Trial
from planner.trade.quality_verdict import Verdict, judge
from planner.trade.work_chain import work_chain
from planner.trade.work_chain_step import Sprayed, ZoneWork
from tests import builders as make
from tests.unit.trade.chain_scenes import DAY, breakers, sprayed, work
from tests.unit.trade.quality_scenes import placed, quality

pytestmark = pytest.mark.golden

FILE = Path(__file__).resolve().parents[2] / "golden" / "trade_wording.txt"


def steady(celsius: float) -> Any:
    """Air that stays as warm as that, hour by hour."""
    return lambda _start, hours: [(1.0, celsius)] * int(hours)


class Once:
    """Writes figures: each in full where it first comes, later by its name."""

    def __init__(self) -> None:
        self.seen: set[str] = set()

    def lines(self, figures: Iterable[Figure]) -> Iterator[str]:
        for one in figures:
            value = "none" if one.value is None else f"{one.value:.6g} {one.unit}"
            text = (
                f"{value} | {one.formula} | {one.inputs_words()} | {one.source} | {one.trust} |"
                f" {one.note}"
            )
            known = text in self.seen
            self.seen.add(text)
            yield f"    {one.name}: as above" if known else f"    {one.name}: {text}"


def chain_lines(once: Once, title: str, scene: ZoneWork) -> Iterator[str]:
    yield f"## {title}"
    for step in work_chain(scene):
        yield (
            f"{step.number} {step.kind}, layer {step.layer}, {step.start_min} to {step.end_min},"
            f" {step.minutes} min: {step.sentence} [{step.flag}]"
        )
        yield from once.lines(step.figures)
    yield ""


def layers(*rows: tuple[int, int]) -> tuple[Sprayed, ...]:
    """Spells of an hour by layer and start."""
    return tuple(sprayed(start, layer=layer) for layer, start in rows)


def tidal() -> ZoneWork:
    """Broken out by hand, wetted twice a day, three layers, one of them in two pieces."""
    wet = Spans((k * 745 + 300, k * 745 + 420) for k in range(40))
    return work(
        zone=make.zone(wets_at_m=1.0, orientation=Orientation.VERTICAL),
        face=replace(make.mix(orientation=Orientation.VERTICAL), protect_at_c=20.0),
        rules=Rules(prepare_min_h=12.0),
        breaks_out=True,
        broken=(
            (breakers(method="breaker", people=3), (60, 200)),
            (breakers(method="lance"), (810, 900)),
        ),
        spells=layers((1, 1900), (2, 2900), (2, 3000)),
        wet=wet,
        is_inspected=True,
        finish_min=25,
        air=steady(9.0),
    )


def chains(once: Once) -> Iterator[str]:
    yield from chain_lines(once, "between tides, cold", tidal())
    yield from chain_lines(once, "the air not known", replace(tidal(), air=lambda _s, _h: None))
    yield from chain_lines(once, "frost", replace(tidal(), air=steady(2.0)))
    mild = replace(tidal(), air=steady(18.0), wet=Spans([(2000, 2100)]), end_min=DAY)
    yield from chain_lines(once, "mild, water not seen again", mild)
    yield from chain_lines(
        once, "not broken out by the plan", work(wet=Spans([(10, 20), (500, 600)]))
    )
    yield from chain_lines(once, "one wetting", work(wet=Spans([(500, 600)])))
    floor = make.zone(orientation=Orientation.FLOOR, depth_mm=None, volume_m3=3.0)
    membrane = Cure(method=CureMethod.MEMBRANE, days=4.0)
    yield from chain_lines(once, "a floor under a membrane", work(zone=floor, cure=membrane))
    late = layers(
        (1, 60 * 60 + 200),
    )
    old = work(breaks_out=True, broken=((breakers(), (0, 100)),), spells=late)
    yield from chain_lines(once, "old preparation", old)
    yield from chain_lines(once, "not planned", replace(tidal(), spells=(), broken=()))
    bare = replace(tidal(), spells=(), face=replace(make.mix(), protect_h=None))
    yield from chain_lines(once, "no time to wetting", bare)
    yield from chain_lines(once, "mix open", work(face=None, spells=()))
    done = work(zone=make.zone(broken_out=True))
    yield from chain_lines(once, "broken out already", done)


def trial_lines(once: Once, trials: Iterable[Trial]) -> Iterator[str]:
    for one in trials:
        yield (
            f"{one.name} ({one.kind}) {one.crew}/{one.mix}/{one.orientation}/{one.zone}"
            f" made {one.made_min}, due {one.due_min}, {one.pieces} pieces,"
            f" {one.specified_mpa} MPa at {one.age_d} d"
        )
        yield from once.lines(one.figures)


def plan_lines(once: Once) -> Iterator[str]:
    yield "## quality plan"
    asked = quality(
        holds=(Hold.PANELS, Hold.INSPECTION, Hold.FAILED), hold_age_d=7.0, hold_mpa=20.0
    )
    rows = [
        placed(9, area_m2=300.0),
        placed(10, zone=ZoneId("Z2"), area_m2=20.0, volume_m3=60.0),
        placed(12, zone=ZoneId("Z3"), orientation=Orientation.VERTICAL),
    ]
    kinds = sorted({one.kind for one in rows})
    trials = [
        *pre_construction(kinds, {kinds[0]: 600}, asked),
        *production(rows, asked),
        *bond(rows, asked),
        *inspections(rows, {ZoneId("Z1"): 700}, asked),
    ]
    yield from trial_lines(once, trials)
    yield ""
    yield "## stops"
    results = {
        trials[1].name: [Result(at_min=9 * DAY, verdict=Verdict.MISSED)],
        "INSP/Z1": [Result(at_min=9 * DAY, verdict=Verdict.MET)],
        "INSP/Z3": [Result(at_min=13 * DAY, verdict=Verdict.MET)],
        "PROD/dry/C1/2026-03-09/1": [Result(at_min=11 * DAY, verdict=Verdict.MISSED)],
    }
    known = {one.name: one for one in trials}
    for one in stopped_spells(rows, known, results, asked, day=lambda m: f"day {m // DAY}"):
        yield f"{one.placed.zone} {one.placed.start_min} {one.hold} {one.trial}: {one.why}"
    yield ""
    yield "## verdicts"
    outcomes: tuple[tuple[str, dict[str, Any]], ...] = (
        ("PROD/dry/C1/2026-03-11/1", {"values_mpa": (41.0, 40.0, 39.0)}),
        ("PROD/dry/C1/2026-03-11/1", {"values_mpa": (41.0, 40.0)}),
        ("PROD/dry/C1/2026-03-11/1", {"values_mpa": (33.0, 31.0, 29.0)}),
        ("PROD/dry/C1/2026-03-11/1", {"values_mpa": (41.0, 40.0, 39.0), "at_min": 20 * DAY}),
        ("BOND/dry/overhead/1", {"values_mpa": (1.2, 0.8, 1.6)}),
        ("BOND/dry/overhead/1", {"values_mpa": (1.2,)}),
        ("INSP/Z1", {"is_met": True}),
        ("INSP/Z1", {"is_met": False}),
        ("INSP/Z1", {}),
    )
    for name, given in outcomes:
        fields: dict[str, Any] = {"test": name, "at_min": 60 * DAY} | given
        outcome = Outcome(**fields)
        found = judge(known[name], outcome, asked)
        yield f"{name}: {found.verdict}: {found.sentence}"
    free = judge(
        replace(trials[0], specified_mpa=None),
        Outcome(test="x", at_min=60 * DAY, values_mpa=(40.0,)),
        asked,
    )
    yield f"no strength: {free.verdict}: {free.sentence}"


def test_every_word_and_figure_is_the_committed_one(update_golden: bool) -> None:
    once = Once()
    lines = [*chains(once), *plan_lines(once), ""]
    text = "\n".join(line.rstrip() for line in lines)
    if update_golden:
        FILE.write_text(text, encoding="utf-8")
    assert FILE.read_text(encoding="utf-8") == text, "read the change, then use --update-golden"
