"""Cards, the quality plan, results, and what maturity needs."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from datetime import date

from planner.scenario.draft import Row
from planner.scenario.grid import shorten
from planner.scenario.validation.ledger import Ledger

CARD_YEARS = 5
"""Cards of nozzle operators are valid for five years (from memory)."""
_DAYS_A_YEAR = 366


def check_quality(ledger: Ledger) -> None:
    """Note what is wrong with cards, results and the keys of quality and curing."""
    _check_cards(ledger)
    _check_holds(ledger)
    _check_factors(ledger)
    for row in ledger.draft.rows("results"):
        if row.is_empty("values") and row.is_empty("met"):
            ledger.missing(
                "write the single strengths in MPa, or for an inspection yes or no in met",
                table="results",
                row=row,
                column="values",
            )
    _check_mixes(ledger)
    for row in ledger.draft.rows("crews"):
        if row.text("kind") == "spray" and row.has("method"):
            ledger.warn(
                "column-not-used",
                "the method is that of break-out; a spray crew has none",
                table="crews",
                row=row,
                column="method",
            )


def _check_cards(ledger: Ledger) -> None:
    rows = ledger.draft.rows("cards")
    for row in rows:
        _check_dates(ledger, row)
        _check_crew(ledger, row)
    least = ledger.draft.keys.whole("rules.cards_min") or 1
    if rows and "cards" not in ledger.draft.damaged:
        _check_crews_have_cards(ledger, rows, least)
    elif least > 1 and "cards" not in ledger.draft.damaged:
        ledger.key_warn(
            "key-not-used",
            f"the key is used only with {ledger.draft.label('cards')}",
            key="rules.cards_min",
        )


def _check_dates(ledger: Ledger, row: Row) -> None:
    first, last = row.day("from"), row.day("to")
    if first is None or last is None:
        return
    if last < first:
        ledger.error(
            "end-before-start",
            f"{last} lies before from, {first}; swap or mend the dates",
            table="cards",
            row=row,
            column="to",
        )
    elif (last - first).days > CARD_YEARS * _DAYS_A_YEAR:
        ledger.warn(
            "odd-date",
            f"the card lasts from {first} to {last}; cards are mostly valid for {CARD_YEARS}"
            " years, so look at it once more",
            table="cards",
            row=row,
            column="to",
        )


def _check_crew(ledger: Ledger, row: Row) -> None:
    crew = ledger.draft.ids("crews").get(row.text("crew"))
    if crew is None:
        return
    if crew.text("kind") == "break_out":
        ledger.warn(
            "column-not-used",
            "the crew breaks out; cards count for spray crews only",
            table="cards",
            row=row,
            column="crew",
        )
        return
    for column, allowed in (
        ("process", crew.names("processes")),
        ("orientation", crew.names("orientations")),
    ):
        text = row.text(column)
        if text and allowed and text not in allowed:
            ledger.warn(
                "card-not-used",
                f"crew {shorten(row.text('crew'))} may spray {', '.join(allowed)} only, as"
                f" {ledger.draft.label('crews')} says; the card does not widen that",
                table="cards",
                row=row,
                column=column,
            )


def _check_crews_have_cards(ledger: Ledger, rows: Sequence[Row], least: int) -> None:
    people: dict[str, set[str]] = defaultdict(set)
    for row in rows:
        if not _is_past(ledger, row):
            people[row.text("crew")].add(row.text("person"))
    for name, crew in ledger.draft.ids("crews").items():
        if crew.text("kind") == "spray" and len(people[name]) < least:
            has = f"{len(people[name])} of its people" if people[name] else "nobody in it"
            ledger.warn(
                "no-card",
                f"{has} has a card that is valid during the campaign, and {least} must; it may"
                f" spray nothing, since {ledger.draft.label('cards')} lists cards",
                table="crews",
                row=crew,
                column="crew",
            )


def _is_past(ledger: Ledger, row: Row) -> bool:
    """Return whether a card is over before the campaign, or begins after it."""
    clock = ledger.clock
    if clock is None:
        return False
    first, last = row.day("from") or date.min, row.day("to") or date.max
    return last < clock.first_day or first > clock.last_day


def _check_holds(ledger: Ledger) -> None:
    keys = ledger.draft.keys
    holds = keys.names("quality.hold")
    strength = "quality.strength_mpa"
    wants = {"failed": (strength,), "panels": (strength, "quality.hold_mpa")}
    for hold, any_of in wants.items():
        if hold in holds and all(keys.is_empty(key) for key in any_of):
            ledger.key_error(
                "missing-key",
                f"the key is missing; the stop {hold} in quality.hold cannot be judged without"
                " a strength in MPa",
                key=any_of[0],
            )
    if "panels" not in holds:
        for key in ("quality.hold_age_d", "quality.hold_mpa"):
            if keys.has(key):
                ledger.key_warn(
                    "key-not-used", "the key is used only with panels in quality.hold", key=key
                )
        return
    age = keys.number("quality.hold_age_d") or keys.number("quality.age_d") or 0.0
    planned = keys.number("rules.panel_days") or 0.0
    if planned < age:
        ledger.key_warn(
            "stop-not-planned",
            f"the plan keeps {planned:g} days from a panel to spraying (rules.panel_days), and"
            f" the stop waits {age:g} days for its test; spells in between will be flagged",
            key="quality.hold",
        )


def _check_factors(ledger: Ledger) -> None:
    keys = ledger.draft.keys
    mean, single = keys.number("quality.mean_factor"), keys.number("quality.single_factor")
    if mean is not None and single is not None and mean < single:
        ledger.key_warn(
            "odd-number",
            f"{mean:g} is below quality.single_factor, {single:g}; the mean of a set is mostly"
            " asked to be the higher",
            key="quality.mean_factor",
        )


def _check_mixes(ledger: Ledger) -> None:
    draft = ledger.draft
    rows = [row for row in draft.rows("mixes") if row.has("protect_at_c")]
    for row in rows:
        if row.is_empty("protect_h"):
            ledger.warn(
                "column-not-used",
                "protect_h is empty, so there is no time that the temperature could change",
                table="mixes",
                row=row,
                column="protect_at_c",
            )
    told = draft.rows("temperature") or draft.rows("temperature_normals")
    if rows and not told and not {"temperature", "temperature_normals"} & set(draft.damaged):
        ledger.warn(
            "column-not-used",
            f"neither {draft.label('temperature')} nor {draft.label('temperature_normals')} has"
            " rows, so the temperature on site is not known",
            table="mixes",
            row=rows[0],
            column="protect_at_c",
        )
