"""Defaults that depend on what else a row says: the kind of machine that a rig names."""

from __future__ import annotations

from collections.abc import Mapping

from planner.model.machines import MACHINE_BY_ID, type_defaults
from planner.scenario.dictionary import Kind
from planner.scenario.dictionary.people import RIGS
from planner.scenario.values import Value


def own_defaults(
    table: str, given: Mapping[str, Value], defaults: Mapping[str, Value]
) -> Mapping[str, Value]:
    """Return the defaults of one row: those of its table, and those of the kind it names."""
    kind = given.get("type")
    if table != RIGS.name or not isinstance(kind, str) or kind not in MACHINE_BY_ID:
        return defaults
    return {**defaults, **{name: _value(name, usual) for name, usual in _usual(kind)}}


def _usual(kind: str) -> list[tuple[str, float]]:
    return sorted(type_defaults(kind).items())


def _value(name: str, usual: float) -> Value:
    return int(usual) if RIGS.column(name).kind is Kind.WHOLE else float(usual)


def type_filled(given: Mapping[str, Value]) -> tuple[str, ...]:
    """Return the columns of a rig that take the usual value of the kind that it names."""
    kind = given.get("type")
    if not isinstance(kind, str) or kind not in MACHINE_BY_ID:
        return ()
    return tuple(name for name, _ in _usual(kind) if name not in given)
