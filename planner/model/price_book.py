"""Rates of the estimate that the planner itself does not need."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceBook:
    """Rates of prices.toml by dotted key, in the campaign's own currency.

    Attributes
    ----------
    rates
        What is written, or the default where a key has one; other keys stand for 0.
    written
        Keys that are written, in the order of the file.
    """

    rates: Mapping[str, float] = field(default_factory=dict)
    written: tuple[str, ...] = ()

    def rate(self, key: str) -> float:
        """Return the rate of a key; 0 where it is not given."""
        return self.rates.get(key, 0.0)

    def named(self, group: str) -> dict[str, float]:
        """Return the rates of a group of names, such as ``mobilise.rig``, by name."""
        start = f"{group}."
        return {
            key[len(start) :]: self.rates[key] for key in self.written if key.startswith(start)
        }
