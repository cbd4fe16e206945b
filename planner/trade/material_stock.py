"""Bags on site: what is delivered when, so that there is always enough and the least stays."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from planner.core.rounding import up
from planner.model.material import Material


@dataclass(frozen=True, slots=True, kw_only=True)
class Delivery:
    """One delivery period: what comes on its first day, is used in it, and is left at its end.

    ``first_day`` counts days from the Monday of the first use [d]; the rest are units [1].
    """

    first_day: int
    delivered: int
    used: int
    left: int


def deliveries(used_by_day: Mapping[int, int], material: Material) -> list[Delivery]:
    """Return the deliveries that keep the least stock on site.

    A period lasts ``delivery_days``; each delivery brings what is used until the next one and
    fills up to ``stock_min``, in whole ``order_units``.

    Parameters
    ----------
    used_by_day
        Units used by day; day 0 is the Monday on which the first delivery comes.
    material
        Least stock, unit of orders, days between deliveries.
    """
    if not used_by_day:
        return []
    found: list[Delivery] = []
    stock = 0
    for first in range(0, max(used_by_day) + 1, material.delivery_days):
        days = range(first, first + material.delivery_days)
        used = sum(used_by_day.get(day, 0) for day in days)
        short = max(0, used + material.stock_min - stock)
        delivered = up(short / material.order_units) * material.order_units
        stock += delivered - used
        found.append(Delivery(first_day=first, delivered=delivered, used=used, left=stock))
    return found
