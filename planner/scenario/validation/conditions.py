"""Light, public holidays, waves and air temperature."""

from __future__ import annotations

from collections.abc import Container, Sequence
from datetime import timedelta
from itertools import pairwise

from planner.core.clock import MINUTES_PER_HOUR, Clock
from planner.scenario.draft import Cells, Row
from planner.scenario.grid import shorten
from planner.scenario.public_holidays import countries, public_holidays
from planner.scenario.validation.ledger import Ledger
from planner.scenario.validation.water import GAP_CLOSED_MIN, in_order

_COUNTRY, _PART, _WORKED = "holidays.country", "holidays.subdivision", "holidays.worked"
_LATITUDE, _LONGITUDE = "daylight.latitude_deg", "daylight.longitude_deg"
_HEIGHT, _PLANNED = "waves.height_max_m", "waves.planned_h"
_COLD, _WARM = "temperature.min_c", "temperature.max_c"
_EVERYDAY = {"WAL": "WLS", "SCO": "SCT"}
_PARTS_SHOWN = 6
_ZONE_ODD_H = 5.0
"""Local mean time and clock time apart by more than this: odd (no land is farther off; from
memory: at most about 3.5 h, with summer time) [h]."""


def check_conditions(ledger: Ledger) -> None:
    """Note what is wrong with the keys and tables of light, holidays, waves and air."""
    _check_daylight(ledger)
    _check_holidays(ledger)
    _check_waves(ledger)
    _check_air(ledger)


def _check_daylight(ledger: Ledger) -> None:
    keys = ledger.draft.keys
    _check_pair(ledger, _LATITUDE, _LONGITUDE, "write both latitude and longitude of the site")
    _check_pair(ledger, _LONGITUDE, _LATITUDE, "write both latitude and longitude of the site")
    if keys.has("daylight.twilight") and not {_LATITUDE, _LONGITUDE} & (
        set(keys.given) | keys.bad
    ):
        _warn_idle_key(ledger, "daylight.twilight", f"{_LATITUDE} and {_LONGITUDE}")
    longitude = keys.number(_LONGITUDE)
    if longitude is None or ledger.clock is None:
        return
    offset = ledger.clock.local(0).utcoffset() or timedelta()
    apart_h = (offset.total_seconds() / 3600.0 - longitude / 15.0 + 12.0) % 24.0 - 12.0
    if abs(apart_h) > _ZONE_ODD_H:
        ledger.key_warn(
            "odd-number",
            f"at longitude {longitude:g}° the sun is {abs(apart_h):.1f} h off the clock of"
            f" {shorten(keys.text('campaign.time_zone'))}; east is positive, west has a minus",
            key=_LONGITUDE,
        )


def _check_pair(ledger: Ledger, given: str, wanted: str, advice: str) -> None:
    keys = ledger.draft.keys
    if keys.has(given) and keys.is_empty(wanted):
        ledger.key_error("missing-key", f"the key is missing; {advice}", key=wanted)


def _warn_idle_key(ledger: Ledger, key: str, needs: str) -> None:
    ledger.key_warn("key-not-used", f"the key is not used without {needs}", key=key)


def _check_holidays(ledger: Ledger) -> None:
    keys = ledger.draft.keys
    country, part = keys.text(_COUNTRY), keys.text(_PART)
    if not country:
        for key in (_PART, _WORKED):
            if keys.has(key) and _COUNTRY not in keys.bad:
                _warn_idle_key(ledger, key, _COUNTRY)
        return
    known = countries()
    if country not in known:
        ledger.key_error(
            "unknown-country",
            f"{shorten(country)} is not a country whose holidays are known"
            f"{_meant(country, known)}; write its two letters (ISO 3166-1), or leave the key out"
            " and write the days in closures",
            key=_COUNTRY,
        )
        return
    parts = known[country]
    if part and part not in parts:
        ledger.key_error(
            "unknown-subdivision",
            f"{shorten(part)} is not a part of {country} with holidays of its own"
            f"{_meant(part, parts)}; known are {', '.join(parts) or 'none'}",
            key=_PART,
        )
        return
    if ledger.clock is None:
        return
    if not part and _PART not in keys.bad:
        _warn_of_parts(ledger, country, parts, ledger.clock)
    _check_worked(ledger, keys, ledger.clock)


def _meant(code: str, known: Container[str]) -> str:
    """Return the code that was meant, where only its case or its everyday form is wrong."""
    meant = _EVERYDAY.get(code.upper(), code.upper())
    return f'; did you mean "{meant}"?' if meant in known else ""


def _warn_of_parts(ledger: Ledger, country: str, parts: Sequence[str], clock: Clock) -> None:
    """Warn of parts of the country with holidays of their own during the campaign."""
    days = {"first": clock.first_day, "last": clock.last_day}
    common = {day for day, _ in public_holidays(country, "", **days)}
    apart = [
        part
        for part in parts
        if any(day not in common for day, _ in public_holidays(country, part, **days))
    ]
    if apart:
        shown = ", ".join(apart[:_PARTS_SHOWN]) + (", …" if len(apart) > _PARTS_SHOWN else "")
        ledger.key_warn(
            "holidays-of-parts",
            f"parts of {country} have holidays of their own in the campaign's days,"
            f" which are left out ({shown}); name the part in {_PART} if the site lies in one",
            key=_COUNTRY,
        )


def _check_worked(ledger: Ledger, keys: Cells, clock: Clock) -> None:
    found = public_holidays(
        keys.text(_COUNTRY), keys.text(_PART), first=clock.first_day, last=clock.last_day
    )
    days = [day.isoformat() for day, _ in found]
    wrong = [day for day in keys.names(_WORKED) if day not in days]
    if wrong:
        ledger.key_warn(
            "no-holiday",
            f"{', '.join(wrong)}: no public holiday of the campaign; it has"
            f" {', '.join(days) or 'none'}",
            key=_WORKED,
        )


def _check_waves(ledger: Ledger) -> None:
    keys, rows = ledger.draft.keys, ledger.draft.rows("waves")
    _check_pair(
        ledger,
        _HEIGHT,
        _PLANNED,
        "write the longest time, in hours, that a crew is planned to be out in one go",
    )
    if not keys.has(_HEIGHT):
        if _HEIGHT not in keys.bad:
            for key in (_PLANNED, "waves.reference_factor"):
                if keys.has(key):
                    _warn_idle_key(ledger, key, _HEIGHT)
            _warn_idle_table(ledger, "waves", _HEIGHT)
        return
    if not rows and "waves" not in ledger.draft.damaged:
        ledger.table_error(
            "missing-table",
            f"the table is missing or has no rows; {_HEIGHT} needs it",
            table="waves",
        )
        return
    _check_series(ledger, rows, table="waves", otherwise="nobody works")


def _check_air(ledger: Ledger) -> None:
    keys = ledger.draft.keys
    series, normals = ledger.draft.rows("temperature"), ledger.draft.rows("temperature_normals")
    low, high = keys.number(_COLD), keys.number(_WARM)
    if low is None and high is None:
        if not {_COLD, _WARM} & keys.bad and not _is_for_maturity(ledger):
            for table in ("temperature", "temperature_normals"):
                _warn_idle_table(ledger, table, f"{_COLD} or {_WARM}")
        return
    if low is not None and high is not None and low >= high:
        ledger.key_error(
            "limits-crossed",
            f"{high:g} °C is not above {_COLD} ({low:g} °C); no air would be fit",
            key=_WARM,
        )
    if not series and not normals:
        ledger.table_error(
            "missing-table",
            f"neither temperature nor temperature_normals has rows; {_COLD} and {_WARM} need one"
            " of them",
            table="temperature",
        )
        return
    _check_normals(ledger, normals)
    otherwise = "normals count" if normals else "nobody works"
    _check_series(ledger, series, table="temperature", otherwise=otherwise)


def _is_for_maturity(ledger: Ledger) -> bool:
    """Return whether the work chain asks for the temperature, whatever limits the work."""
    return any(row.has("protect_at_c") for row in ledger.draft.rows("mixes"))


def _check_normals(ledger: Ledger, rows: Sequence[Row]) -> None:
    for row in rows:
        low, high = row.number("low_c"), row.number("high_c")
        if low is not None and high is not None and low > high:
            ledger.error(
                "limits-crossed",
                f"the mean lowest, {low:g} °C, is above the mean highest, {high:g} °C; change"
                " the two round",
                table="temperature_normals",
                row=row,
                column="low_c",
            )
    if not rows or ledger.clock is None:
        return
    known = {row.whole("month") for row in rows}
    wanted = dict.fromkeys(day.month for day in ledger.clock.calendar())
    missing = [str(month) for month in wanted if month not in known]
    if missing:
        ledger.table_warn(
            "months-missing",
            f"month {', '.join(missing)} of the campaign has no row; where no series tells the"
            " temperature either, it counts as closed",
            table="temperature_normals",
            column="month",
        )


def _check_series(ledger: Ledger, rows: Sequence[Row], *, table: str, otherwise: str) -> None:
    clock = ledger.clock
    if clock is None or not rows:
        return
    timed = in_order(ledger, rows, table=table, clock=clock)
    if timed and (timed[0][0] > 0 or timed[-1][0] < clock.horizon_min):
        ledger.table_warn(
            "not-covered",
            f"the times do not cover the campaign, {clock.first_day} to {clock.last_day}; outside"
            f" of them {otherwise}",
            table=table,
            column="time",
        )
    gaps = [(b[0] - a[0], b[1]) for a, b in pairwise(timed) if b[0] - a[0] > GAP_CLOSED_MIN]
    if gaps:
        ledger.warn(
            "odd-gap",
            f"{len(gaps)} gap{'s' if len(gaps) > 1 else ''} of more than 3 h, in which"
            f" {otherwise}; the first, {gaps[0][0] / MINUTES_PER_HOUR:.1f} h, ends here",
            table=table,
            row=gaps[0][1],
            column="time",
        )


def _warn_idle_table(ledger: Ledger, table: str, needs: str) -> None:
    if ledger.draft.rows(table):
        ledger.table_warn("table-not-used", f"the table is not used without {needs}", table=table)
