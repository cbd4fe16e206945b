"""From the text of a cell to its value, or to a sentence about what is wrong with it."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from datetime import date, datetime
from typing import NoReturn

from planner.scenario.cell_error import CellError
from planner.scenario.dates import parse_day, parse_moment, parse_time_of_day
from planner.scenario.dictionary import Column, Kind
from planner.scenario.dictionary.shapes import WEEKDAYS
from planner.scenario.grid import shorten
from planner.scenario.needs import COUNT_MARK, split_need
from planner.scenario.suggest import did_you_mean, nearest
from planner.scenario.units import converted, factor, unit_named

Value = (
    str
    | int
    | float
    | bool
    | date
    | datetime
    | tuple[str, ...]
    | tuple[float, ...]
    | frozenset[int]
)

NEVER = "never"
IDENTIFIER_MAX = 200
"""Most characters of an identifier."""
_NUMBER = re.compile(r"[+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]{1,4})?")
_NUMBER_LENGTH_MAX = 60


def parse(column: Column, text: str) -> Value:
    """Return the value of a cell that is not empty.

    Raises
    ------
    CellError
        If the text is not what the column takes, or lies outside its limits.
    """
    return _PARSERS[column.kind](column, text)


def oddity(column: Column, value: Value) -> str | None:
    """Return what is odd about a value that is possible, or None."""
    numbers = value if isinstance(value, tuple) else (value,)
    for number in numbers:
        if isinstance(number, bool) or not isinstance(number, int | float):
            continue
        odd = _odd_number(column, number)
        if odd:
            return odd
    return None


def _odd_number(column: Column, number: float) -> str | None:
    unit = _unit(column)
    if column.odd_low is not None and number < column.odd_low:
        if number == 0 and (column.low == 0 and not column.is_low_open):
            return None
        return f"{number:g}{unit} is unusually small{_hint(column)}"
    if column.odd_high is not None and number > column.odd_high:
        return f"{number:g}{unit} is unusually large{_hint(column)}"
    return None


def _unit(column: Column) -> str:
    return "" if column.unit in {"", "1", "money"} else f" {column.unit}"


def _hint(column: Column) -> str:
    return f"; {column.hint}" if column.hint else ""


def number_of(text: str) -> float | None:
    """Return the number a text stands for, or None when it is not a plain finite number."""
    if len(text) > _NUMBER_LENGTH_MAX or not _NUMBER.fullmatch(text):
        return None
    number = float(text)
    return number if math.isfinite(number) else None


def _number(column: Column, text: str) -> float:
    number = number_of(text)
    if number is None:
        raise CellError(
            "not-a-number", f"{shorten(text)} is not a plain number{_meant(text, column.unit)}"
        )
    _check_limits(column, number, text)
    return number + 0.0  # no negative zero


def _meant(text: str, unit: str) -> str:
    """Return what a text that should be a number probably meant, as the end of a sentence."""
    if len(text) > _NUMBER_LENGTH_MAX or _NUMBER.fullmatch(text):
        return "; it is too large, or has too many digits"
    for test in (_as_special, _as_comma, _as_date):
        meant = test(text)
        if meant:
            return f"; {meant}"
    meant = _as_unit(text, unit)
    if meant:
        return f"; {meant}"
    return "; write digits with a point as decimal mark"


def _as_special(text: str) -> str | None:
    if text.startswith("#"):
        return "the spreadsheet could not work it out; mend the formula"
    if text.lower().strip("+-") in {"nan", "inf", "infinity", "none", "null", "n/a", "na", "-"}:
        return "leave the cell empty where there is no number"
    plain = text.replace("\u2212", "-").replace("\u2013", "-")
    if plain != text and number_of(plain) is not None:
        return f"write the minus sign as a hyphen: {plain}"
    return None


def _as_comma(text: str) -> str | None:
    if re.fullmatch(r"[+-]?[0-9]+,[0-9]+", text):
        with_point, without = text.replace(",", "."), text.replace(",", "")
        if re.fullmatch(r"[+-]?[0-9]{1,3},[0-9]{3}", text):
            return f"write {with_point} for a decimal, or {without} for thousands"
        return f"write {with_point}, with a point as decimal mark"
    if re.fullmatch(r"[+-]?[0-9]{1,3}(?:,[0-9]{3})+(?:\.[0-9]+)?", text):
        return f"write {text.replace(',', '')}, without thousands separators"
    if re.fullmatch(r"[+-]?[0-9]{1,3}(?:\.[0-9]{3})+,[0-9]+", text):
        return f"write {text.replace('.', '').replace(',', '.')}"
    spaced = re.sub(r"[\s'\u2019_]", "", text)
    if spaced != text and number_of(spaced) is not None:
        return f"write {spaced}, without separators"
    return None


def _as_unit(text: str, unit: str) -> str | None:
    found = re.fullmatch(r"([+-]?[0-9]*[.,]?[0-9]+)\s*([^0-9\s].{0,15})", text)
    if found is None or any(char.isdigit() for char in found.group(2).strip("0123456789²³")):
        return None
    number = number_of(found.group(1).replace(",", "."))
    if number is None:
        return None
    if found.group(2) == "%":
        return f"write the percentage as a fraction: {number / 100:g}"
    named = unit_named(found.group(2))
    if named is not None and named != unit and factor(named, unit) is not None:
        ours = converted(found.group(1).replace(",", "."), source=named, target=unit)
        return f"write the number alone, in {unit}: {ours}"
    return f"write the number alone, in the unit of the column's name: {found.group(1)}"


def _as_date(text: str) -> str | None:
    if re.match(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text) or re.match(
        r"[0-9]{1,2}[-/. ][A-Za-z]{3}|[0-9]{1,2}:[0-9]{2}", text
    ):
        return "it looks like a date or time; a spreadsheet may have changed the number"
    return None


def _check_limits(column: Column, number: float, text: str) -> None:
    low, high = column.low, column.high
    if low is not None and (number < low or (column.is_low_open and number == low)):
        _refuse(column, text, f"{'must be above' if column.is_low_open else 'is below'} {low:g}")
    if high is not None and (number > high or (column.is_high_open and number == high)):
        _refuse(column, text, f"{'must be below' if column.is_high_open else 'is above'} {high:g}")


def _refuse(column: Column, text: str, what: str) -> NoReturn:
    # A hint about units does not help against a minus sign.
    helps = column.hint and not (text.startswith("-") and column.low is not None)
    mend = column.hint if helps else column.advice()
    raise CellError("out-of-range", f"{text}{_unit(column)} {what}; {mend}")


def _whole(column: Column, text: str) -> int:
    number = _number(column, text)
    if number != int(number):
        raise CellError("not-whole", f"{shorten(text)} is not a whole number; {column.advice()}")
    return int(number)


def _level(column: Column, text: str) -> float | str:
    if text == NEVER:
        return NEVER
    if text.casefold() in {NEVER, "none", "no", "n/a", "-"}:
        raise CellError(
            "not-a-number", f"{shorten(text)} is not read; write {NEVER} or a level in m"
        )
    return _number(column, text)


def _numbers(column: Column, text: str) -> tuple[float, ...]:
    return tuple(_number(column, item) for item in _items(column, text))


def _items(column: Column, text: str) -> list[str]:
    if ";" not in text and re.search(r"[^,],\s*\S", text) and number_of(text) is None:
        found = ";".join(part.strip() for part in text.split(","))
        raise CellError(
            "wrong-list-separator",
            f"{shorten(text)} holds commas; write ; between the items of a list: {shorten(found)}",
        )
    return _filled(column, text)


def _filled(column: Column, text: str) -> list[str]:
    items = [item for item in (part.strip() for part in text.split(";")) if item]
    if not items:
        raise CellError("empty-list", f"the list {shorten(text)} is empty; {column.advice()}")
    return items


def _text(_column: Column, text: str) -> str:
    check_formula(text)
    return text


def check_formula(text: str, *, signs: str = "(|!") -> None:
    """Refuse a text that a spreadsheet would run as a formula.

    Parameters
    ----------
    text
        The cell.
    signs
        A text that begins with ``+`` or ``-`` and is no number is refused when one of these is in
        it; empty: always.

    Raises
    ------
    CellError
        If it begins with ``=`` or ``@``, or is refused for its sign.
    """
    is_signed = text[:1] in {"+", "-"} and number_of(text) is None
    if text[:1] in {"=", "@"} or (is_signed and (not signs or set(signs) & set(text))):
        raise CellError(
            "formula",
            f"{shorten(text)} begins like a formula of a spreadsheet; write plain text that does"
            " not begin with = + - @",
        )


def _identifier(_column: Column, text: str) -> str:
    check_formula(text, signs="")
    if ";" in text or "\n" in text:
        raise CellError(
            "bad-identifier",
            f"{shorten(text)} holds a ; or a line break; an identifier is one name without them",
        )
    if len(text) > IDENTIFIER_MAX:
        raise CellError(
            "bad-identifier",
            f"an identifier of {len(text)} characters; at most {IDENTIFIER_MAX}",
        )
    return text


def _identifiers(column: Column, text: str) -> tuple[str, ...]:
    return _without_twins(tuple(_identifier(column, item) for item in _filled(column, text)))


def _needs(column: Column, text: str) -> tuple[str, ...]:
    """Return needs as ``name`` or ``name:count``, a count of one left out."""
    pairs = [split_need(item) for item in _filled(column, text)]
    found = []
    for name, count in pairs:
        if count and not re.fullmatch(r"[1-9][0-9]{0,3}", count):
            raise CellError(
                "not-whole",
                f"{shorten(count)} is no count of {shorten(name)}; write a whole number from 1"
                f" on after the colon, as in {column.example.split(';')[0]}:2",
            )
        known = _identifier(column, name)
        found.append(f"{known}{COUNT_MARK}{count}" if count not in {"", "1"} else known)
    _without_twins(tuple(split_need(item)[0] for item in found))
    return tuple(found)


def _without_twins(items: tuple[str, ...]) -> tuple[str, ...]:
    for place, item in enumerate(items):
        if item in items[:place]:
            raise CellError(
                "duplicate-item", f"{shorten(item)} stands twice in the list; keep one"
            )
    return items


def _choice(column: Column, text: str) -> str:
    if text in column.choices:
        return text
    words = dict.fromkeys(column.choices) | dict(column.also)
    close = nearest(text, words)
    meant = f'; did you mean "{words[close] or close}"?' if close else ""
    raise CellError(
        "unknown-word", f"{shorten(text)} is not one of {', '.join(column.choices)}{meant}"
    )


def _choices(column: Column, text: str) -> tuple[str, ...]:
    return _without_twins(tuple(_choice(column, item) for item in _items(column, text)))


def _flag(_column: Column, text: str) -> bool:
    words = {"yes": True, "no": False}
    if text.lower() in words:
        return words[text.lower()]
    raise CellError("not-yes-no", f"{shorten(text)} is not read; write yes or no")


def _weekdays(column: Column, text: str) -> frozenset[int]:
    by_name = {name.lower(): place for place, name in enumerate(WEEKDAYS)}
    found: set[int] = set()
    for item in _items(column, text):
        if item.lower() not in by_name:
            span = re.fullmatch(r"[A-Za-z]+\s*[-\u2013]\s*[A-Za-z]+", item)
            meant = (
                "; write each day, with ; between them"
                if span
                else did_you_mean(item[:3], WEEKDAYS)
            )
            raise CellError(
                "unknown-word",
                f"{shorten(item)} is not one of {', '.join(WEEKDAYS)}{meant}",
            )
        found.add(by_name[item.lower()])
    return frozenset(found)


def _dates(column: Column, text: str) -> tuple[str, ...]:
    days = sorted(parse_day(column, item).isoformat() for item in _items(column, text))
    return _without_twins(tuple(days))


def _clock_hour(column: Column, text: str) -> float:
    found = re.fullmatch(r"([0-9]{1,2}):([0-9]{2})(?::00)?", text)
    if found is None:
        return _number(column, text)
    hours, minutes = int(found.group(1)), int(found.group(2))
    if minutes > 59:
        raise CellError("not-a-time", f"there is no clock position {text}; write H:MM")
    value = hours + minutes / 60
    _check_limits(column, value, text)
    return value


_PARSERS: dict[Kind, Callable[[Column, str], Value]] = {
    Kind.TEXT: _text,
    Kind.IDENTIFIER: _identifier,
    Kind.IDENTIFIERS: _identifiers,
    Kind.NEEDS: _needs,
    Kind.CHOICE: _choice,
    Kind.CHOICES: _choices,
    Kind.NUMBER: _number,
    Kind.NUMBERS: _numbers,
    Kind.WHOLE: _whole,
    Kind.LEVEL: _level,
    Kind.FLAG: _flag,
    Kind.DATE: parse_day,
    Kind.DATES: _dates,
    Kind.MOMENT: parse_moment,
    Kind.TIME_OF_DAY: parse_time_of_day,
    Kind.WEEKDAYS: _weekdays,
    Kind.CLOCK_HOUR: _clock_hour,
}
