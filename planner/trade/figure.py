"""A number that can be asked where it comes from: formula, inputs and source."""

from __future__ import annotations

from dataclasses import dataclass

from planner.model.sourced import Trust


@dataclass(frozen=True, slots=True, kw_only=True)
class Input:
    """What goes into a figure.

    Attributes
    ----------
    name
        Name as in the formula, with its unit where it has one.
    value
        Number, or word.
    source
        Where it comes from.
    """

    name: str
    value: float | str
    source: str

    def words(self) -> str:
        """Return the input in words.

        Examples
        --------
        >>> Input(name="laid_m", value=85.0, source="routes.csv").words()
        'laid_m = 85 (routes.csv)'
        """
        shown = self.value if isinstance(self.value, str) else f"{self.value:.6g}"
        return f"{self.name} = {shown} ({self.source})"


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One number of a table.

    Attributes
    ----------
    name
        Name of the column that shows it; ends in the unit.
    value
        The number; None where it cannot be worked out, and ``note`` says why.
    unit
        Its unit; empty where it has none.
    formula
        How it is worked out, with the names of the inputs.
    inputs
        What goes in.
    source
        Where the formula, or the number itself, comes from.
    trust
        How far that can be trusted.
    note
        What else must be known before anyone relies on it.
    """

    name: str
    value: float | None
    unit: str
    formula: str
    inputs: tuple[Input, ...] = ()
    source: str
    trust: Trust
    note: str = ""

    def inputs_words(self) -> str:
        """Return the inputs in words, one after the other."""
        return "; ".join(each.words() for each in self.inputs)
