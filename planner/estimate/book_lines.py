"""The lines of the price book: what an estimate adds to what the planner counts."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from planner.estimate.amounts import Amounts
from planner.estimate.hours import Hours
from planner.estimate.line import Basis, Line
from planner.model.price_book import PriceBook

FILE = "prices.toml"

_DAYS = "civil days from the first activity to the last"
_FACES = "zones.csv: area_m2 of the planned zones"
_ONCE = "once"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Count:
    """A quantity with its unit, where it comes from and what it grows with."""

    quantity: float
    unit: str
    source: str
    basis: Basis


def book_lines(book: PriceBook, amounts: Amounts, hours: Hours) -> list[Line]:
    """Return a line for every rate that is written, in the order of the dictionary."""
    return [
        *_plain_lines(book, amounts),
        *_named_lines(book, amounts, hours),
        *_extra_lines(book, amounts),
    ]


def _line(key: str, name: str, rate: float, count: _Count, *, of: str = "") -> Line:
    return Line(
        key=key,
        name=name,
        of=of,
        basis=count.basis,
        quantity=count.quantity,
        unit=count.unit,
        rate=rate,
        quantity_from=count.source,
        rate_from=f"{FILE}: {key}",
    )


def _plain_lines(book: PriceBook, amounts: Amounts) -> Iterator[Line]:
    for key, (name, count) in _plain_counts(book, amounts).items():
        if key in book.written:
            yield _line(key, name, book.rate(key), count)


def _plain_counts(book: PriceBook, amounts: Amounts) -> dict[str, tuple[str, _Count]]:
    once = _Count(quantity=1, unit="item", source=_ONCE, basis=Basis.FIXED)
    day, m2, move = _day(amounts), _m2(amounts), _move(amounts)
    return {
        "mobilise.site": ("Mobilise the site", once),
        "demobilise.site": ("Clear the site", once),
        "access.fixed": ("Put up and take down access", once),
        "access.day": ("Hire of access", day),
        "access.m2": ("Access to faces", m2),
        "containment.fixed": ("Put up and take down containment", once),
        "containment.day": ("Hire of containment", day),
        "containment.m2": ("Containment", m2),
        **_volume_counts(book, amounts),
        "curing.m2": ("Curing", m2),
        "curing.m2_day": ("Curing, kept up", _curing(book, amounts)),
        **_test_counts(book, amounts),
        "night.run": ("Night run premium", _night(amounts)),
        "lifting.relocation": ("Slinging and rigging", move),
        "lifting.hour": ("Crane, float or tug", _lifting(book, amounts)),
    }


def _day(amounts: Amounts) -> _Count:
    return _Count(quantity=amounts.days, unit="day", source=_DAYS, basis=Basis.DAY)


def _m2(amounts: Amounts) -> _Count:
    lacking = f"; {amounts.without_area} zones without an area" if amounts.without_area else ""
    return _Count(quantity=amounts.area_m2, unit="m2", source=_FACES + lacking, basis=Basis.M2)


def _move(amounts: Amounts) -> _Count:
    return _Count(
        quantity=amounts.relocations,
        unit="relocation",
        source="relocations.csv: rows",
        basis=Basis.RELOCATION,
    )


def _curing(book: PriceBook, amounts: Amounts) -> _Count:
    days = book.rate("curing.days")
    return _Count(
        quantity=amounts.area_m2 * days,
        unit="m2 day",
        source=f"{_FACES}, x {days:g} days ({FILE}: curing.days)",
        basis=Basis.M2,
    )


def _volume_counts(book: PriceBook, amounts: Amounts) -> dict[str, tuple[str, _Count]]:
    bulking = book.rate("disposal.bulking")
    solid = "spells: in place, of zones not broken_out"
    return {
        "break_out.m3": (
            "Break-out",
            _Count(quantity=amounts.broken_out_m3, unit="m3", source=solid, basis=Basis.M3),
        ),
        "disposal.break_out_m3": (
            "Rubble carried away",
            _Count(
                quantity=amounts.broken_out_m3 * (1.0 + bulking),
                unit="m3",
                source=f"{solid}, x (1 + {bulking:g}) ({FILE}: disposal.bulking)",
                basis=Basis.M3,
            ),
        ),
    }


def _test_counts(book: PriceBook, amounts: Amounts) -> dict[str, tuple[str, _Count]]:
    every_m3, cores = book.rate("tests.panel_every_m3"), book.rate("tests.cores_per_panel")
    panels = amounts.panels + amounts.first_panels
    told = (
        f"{amounts.first_panels} before the work (runs of kind panel), {amounts.panels} for "
        f"crews' days or each {every_m3:g} m3, what is more"
    )
    every_m2 = book.rate("tests.bond_every_m2")
    return {
        "tests.panel": (
            "Test panels",
            _Count(quantity=panels, unit="panel", source=told, basis=Basis.M3),
        ),
        "tests.core": (
            "Cores from panels",
            _Count(
                quantity=panels * cores,
                unit="core",
                source=f"{panels} panels x {cores:g} ({FILE}: tests.cores_per_panel)",
                basis=Basis.M3,
            ),
        ),
        "tests.bond": (
            "Tests of bond",
            _Count(
                quantity=amounts.bond_tests,
                unit="test",
                source=f"{_FACES}, one for each begun {every_m2:g} m2",
                basis=Basis.M2,
            ),
        ),
    }


def _night(amounts: Amounts) -> _Count:
    return _Count(
        quantity=amounts.night_runs,
        unit="run",
        source="runs.csv: runs that touch 22:00-06:00",
        basis=Basis.DAY,
    )


def _lifting(book: PriceBook, amounts: Amounts) -> _Count:
    least_h = book.rate("lifting.least_h")
    least = f", each at least {least_h:g} h" if least_h else ""
    return _Count(
        quantity=amounts.lifting_h,
        unit="h",
        source=f"relocations.csv: end less start{least}",
        basis=Basis.RELOCATION,
    )


def _named_lines(book: PriceBook, amounts: Amounts, hours: Hours) -> Iterator[Line]:
    shut = {time.crew: time.shut_h for time in hours.crew_time}
    used = dict.fromkeys(amounts.rigs, 1.0)
    rig_shut_h = {str(rig): value for rig, value in hours.rig_shut_h.items()}
    night = {str(crew): float(count) for crew, count in hours.night_shifts.items()}
    laid = {str(process): value for process, value in amounts.laid_m3_100m.items()}
    shut_source = "paid hours without work while every face of the crew's plan is shut"
    rigs = {str(rig): count for rig, count in used.items()}
    groups: tuple[tuple[str, str, Mapping[str, float], str, str, Basis], ...] = (
        ("mobilise.rig", "Bring the rig", rigs, "rig", "rigs used", Basis.FIXED),
        ("demobilise.rig", "Take the rig away", rigs, "rig", "rigs used", Basis.FIXED),
        ("standby.crew_hour", "Standby, faces shut", shut, "h", shut_source, Basis.DAY),
        ("standby.rig_hour", "Standby, faces shut", rig_shut_h, "h", shut_source, Basis.DAY),
        (
            "night.crew_shift",
            "Night premium",
            night,
            "crew-shift",
            "paid shifts with work between 22:00 and 06:00",
            Basis.DAY,
        ),
        (
            "hose.wear_m3_100m",
            "Hose wear by length",
            laid,
            "m3 x 100 m",
            "spells: through the nozzle x hose_laid_m / 100",
            Basis.M3,
        ),
    )
    for group, name, counts, unit, source, basis in groups:
        for of, rate in book.named(group).items():
            count = _Count(quantity=counts.get(of, 0.0), unit=unit, source=source, basis=basis)
            yield _line(f"{group}.{of}", name, rate, count, of=of)


def _extra_lines(book: PriceBook, amounts: Amounts) -> Iterator[Line]:
    counts = {
        "fixed": _Count(quantity=1, unit="item", source=_ONCE, basis=Basis.FIXED),
        "day": _day(amounts),
        "relocation": _move(amounts),
        "m2": _m2(amounts),
        "m3": _Count(
            quantity=amounts.volume_m3, unit="m3", source="spells: in place", basis=Basis.M3
        ),
    }
    for group, count in counts.items():
        for name, rate in book.named(f"extra.{group}").items():
            yield _line(f"extra.{group}.{name}", name, rate, count)
