"""The middle of docs/files.md, out of the data dictionary and the plan folder's columns."""

from __future__ import annotations

from collections.abc import Iterator

from planner.scenario.dictionary import KEYS, TABLES
from planner.scenario.dictionary.column import Column, Need, Table
from planner.scenario.dictionary.price_book import BOOK_KEYS

BEGIN = "<!-- out of the data dictionary: change planner/scenario/dictionary, not this -->"
END = "<!-- end of what is out of the data dictionary -->"

_HEADING = """
| {} | what it holds | unit | empty means | limits |
| --- | --- | --- | --- | --- |"""


def generated() -> str:
    """Return the generated part, from marker to marker."""
    return "\n".join([BEGIN, "", *_campaign(), *_price_book(), *_tables(), END])


def with_generated(page: str) -> str:
    """Return the page with the generated part put in place of the old one."""
    before, rest = page.split(BEGIN)
    after = rest.split(END)[1]
    return before + generated() + after


def _campaign() -> Iterator[str]:
    yield "## campaign.toml (required)"
    yield _HEADING.format("key")
    yield from map(_row, KEYS)
    yield ""


def _price_book() -> Iterator[str]:
    yield "## prices.toml (optional)"
    yield ""
    yield "Rates of the estimate beside `prices.*` ([estimate.md](estimate.md)); sheet `prices`."
    yield "No plan depends on it, and it is not part of the scenario's fingerprint."
    yield _HEADING.format("key")
    yield from map(_row, BOOK_KEYS)
    yield ""


def _tables() -> Iterator[str]:
    for table in TABLES:
        yield f"## {table.name}.csv ({_need(table.need, table.needed_when)})"
        yield ""
        yield f"{table.title[0].upper()}{table.title[1:]}.{_key(table)}"
        yield _HEADING.format("column")
        yield from map(_row, table.columns)
        yield ""


def _key(table: Table) -> str:
    if not table.key:
        return ""
    return f" Rows are told apart by {', '.join(f'`{name}`' for name in table.key)}."


def _need(need: Need, when: str) -> str:
    if need is Need.SOMETIMES and when:
        return f"required when {when}"
    return need.value


def _row(column: Column) -> str:
    kind = column.kind.value
    if column.choices:
        kind = f"{kind} {', '.join(f'`{word}`' for word in column.choices)}"
    elif column.refers:
        kind = f"{kind} of {', '.join(column.refers)}"
    example = f", for example `{column.example}`" if column.example else ""
    cells = (
        f"`{column.name}`",
        f"{column.meaning} ({kind}{example})",
        column.unit,
        _empty(column),
        _limits(column),
    )
    return "| " + " | ".join(cell.replace("|", "\\|") for cell in cells) + " |"


def _empty(column: Column) -> str:
    if column.need is Need.ALWAYS:
        return "**required**"
    if column.need is Need.SOMETIMES:
        otherwise = f"; else `{column.default}`" if column.default else ""
        return f"**{_need(column.need, column.needed_when)}**{otherwise}"
    return column.default_meaning or (f"`{column.default}`" if column.default else "not given")


def _limits(column: Column) -> str:
    parts = []
    if column.low is not None:
        parts.append(f"{'>' if column.is_low_open else '≥'} {_number(column.low)}")
    if column.high is not None:
        parts.append(f"{'<' if column.is_high_open else '≤'} {_number(column.high)}")
    limits = (("below", column.odd_low), ("above", column.odd_high))
    odd = [f"{side} {_number(limit)}" for side, limit in limits if limit is not None]
    if odd:
        parts.append(f"warned about {' and '.join(odd)}")
    return "; ".join(parts)


def _number(value: float) -> str:
    return f"{value:,.0f}".replace(",", " ") if abs(value) >= 1000 else f"{value:g}"
