"""The catalogue in docs/equipment.md, out of the machine catalogue itself."""

from __future__ import annotations

from collections.abc import Iterator

from planner.model.machine import MachineType, Span
from planner.model.machines import MACHINES

BEGIN = "<!-- out of the machine catalogue: change planner/model/machines_*.py, not this -->"
END = "<!-- end of what is out of the machine catalogue -->"


def generated() -> str:
    """Return the generated part, from marker to marker."""
    return "\n".join([BEGIN, *(line for machine in MACHINES for line in _machine(machine)), END])


def with_generated(page: str) -> str:
    """Return the page with the generated part put in place of the old one."""
    before, rest = page.split(BEGIN)
    return before + generated() + rest.split(END)[1]


def _machine(machine: MachineType) -> Iterator[str]:
    feed = "batch by batch" if machine.intermittent else "without a break"
    yield ""
    yield f"### `{machine.type_id}`: {machine.title}, {machine.process} mix"
    yield ""
    yield f"{machine.how} It feeds {feed} ({machine.intermittent_source})."
    yield ""
    yield "| value | range | usual | trust | source |"
    yield "| --- | --- | --- | --- | --- |"
    yield from map(_span, machine.spans)
    yield ""


def _span(span: Span) -> str:
    spread = span.words() if span.has_range else ""
    cells = (f"`{span.trait}`", spread, f"{span.usual:g} {span.unit}", span.trust, span.source)
    return f"| {' | '.join(cells)} |"
