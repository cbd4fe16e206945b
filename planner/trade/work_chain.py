"""The work chain of one zone: every step from break-out to the end of curing, in order.

Steps have times where the plan gives them.  Durations that nobody has published are not made up:
such a step has no minutes and says so.  A flag is something to look at; nothing is moved by it.
"""

from __future__ import annotations

from dataclasses import replace

from planner.trade.work_chain_after import after_spraying
from planner.trade.work_chain_before import before_spraying
from planner.trade.work_chain_layers import layers
from planner.trade.work_chain_step import ChainStep, ZoneWork


def work_chain(work: ZoneWork) -> list[ChainStep]:
    """Return the steps of a zone in order, numbered from 1."""
    steps = (*before_spraying(work), *layers(work), *after_spraying(work))
    return [replace(step, number=k) for k, step in enumerate(steps, start=1)]
