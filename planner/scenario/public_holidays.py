"""Public holidays of a country, and of a part of it, as closures of the site.

The days come from the ``holidays`` library, a list kept by volunteers: read the days that it
gives (``ebbwork windows SCENARIO --why`` names them) against the official list.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from planner.core.clock import Clock
from planner.model.limits import Closure, ClosureKind, ClosureScope
from planner.scenario.draft import Cells

Holiday = tuple[date, str]
"""Civil day, and the name of the holiday."""


def countries() -> dict[str, list[str]]:
    """Return the countries that are known, each with its subdivisions."""
    import holidays  # noqa: PLC0415 - slow to import, and few campaigns ask

    return holidays.list_supported_countries()


def public_holidays(
    country: str, subdivision: str, *, first: date, last: date
) -> tuple[Holiday, ...]:
    """Return the public holidays between two days, both included, in order.

    Parameters
    ----------
    country, subdivision
        Codes that :func:`countries` knows; an empty subdivision: none.
    first, last
        Civil days.
    """
    import holidays  # noqa: PLC0415 - slow to import, and few campaigns ask

    found = holidays.country_holidays(
        country,
        subdiv=subdivision or None,
        years=range(first.year, last.year + 1),
        language="en_US",
    )
    return tuple(sorted((day, name) for day, name in found.items() if first <= day <= last))


def holidays_of(keys: Cells, clock: Clock) -> tuple[Holiday, ...]:
    """Return the public holidays of a campaign on which nobody works."""
    country = keys.text("holidays.country")
    if not country:
        return ()
    worked = set(keys.names("holidays.worked"))
    return tuple(
        (day, name)
        for day, name in public_holidays(
            country,
            keys.text("holidays.subdivision"),
            first=clock.first_day,
            last=clock.last_day,
        )
        if day.isoformat() not in worked
    )


def holiday_closures(found: Iterable[Holiday], clock: Clock) -> tuple[Closure, ...]:
    """Return holidays as closures of the site, each for its whole civil day."""
    return tuple(
        Closure(
            scope=ClosureScope.SITE,
            target="",
            from_min=clock.day_start(day),
            to_min=clock.day_end(day),
            why=name,
            kind=ClosureKind.HOLIDAY,
        )
        for day, name in found
    )
