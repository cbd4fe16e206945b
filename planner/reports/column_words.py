"""Columns and keys in words: a heading with its unit, and what a cell should hold."""

from __future__ import annotations

from planner.scenario.dictionary import Column

_SUFFIXES: dict[str, tuple[str, ...]] = {
    "m": ("_m",),
    "m²": ("_m2",),
    "mm": ("_mm",),
    "m³": ("_m3",),
    "min": ("_min",),
    "h": ("_h",),
    "d": ("_days", "_d"),
    "m³/h": ("_m3_h",),
    "m³/min": ("_m3_min",),
    "m³/s": ("_m3_s",),
    "m/s": ("_m_s",),
    "m²/s": ("_m2_s",),
    "min/m²": ("_min_m2",),
    "°": ("_deg",),
    "°C": ("_c",),
    "kPa": ("_kpa",),
    "MPa": ("_mpa",),
    "J/mol": ("_j_mol",),
    "money": ("_m3",),
}
_PER = "_per_100m"
_SHORT = frozenset({"x", "y", "z"})
_ENDS = {"max": ", at most", "min": ", at least"}
_WORDED = {"clock from": "o'clock from", "clock to": "o'clock to"}
_KEYS = {
    "campaign.goal": "Goals in order",
    "campaign.may_worsen": "May be given up (share for each goal but the last)",
    "water.kind": "Kind of water",
    "water.allowance_m": "Allowance upwards (m)",
    "water.allowance_low_m": "Allowance downwards (m)",
    "reach.by": "Hose lengths from",
    "reach.slack": "Slack factor",
    "holidays.worked": "Holidays that are worked",
    "waves.height_max_m": "Height, at most (m)",
    "temperature.min_c": "Air, at least (°C)",
    "temperature.max_c": "Air, at most (°C)",
    "prices.day": "Each site day (money)",
    "prices.relocation": "Each relocation (money)",
    "prices.rebound_m3": "Rebound carried away (money per m³)",
}


def heading(column: Column, name: str = "") -> str:
    """Return the heading of a column in words, with its unit.

    Parameters
    ----------
    column
        Its description.
    name
        Its name where that is not the one in the description (a key for one rig).

    Examples
    --------
    >>> from planner.scenario.dictionary import TABLE_BY_NAME
    >>> zones, rigs = TABLE_BY_NAME["zones"], TABLE_BY_NAME["rigs"]
    >>> heading(zones.column("area_m2")), heading(rigs.column("move_min_per_100m"))
    ('Area (m²)', 'Move (min per 100 m)')
    """
    if (name or column.name) in _KEYS:
        return _KEYS[name or column.name]
    bare = (name or column.name).rpartition(".")[2]
    per = ""
    if bare.endswith(_PER):
        bare, per = bare.removesuffix(_PER), " per 100 m"
    unit = column.unit if column.unit != "1" else ""
    for suffix in _SUFFIXES.get(column.unit, ()):
        if bare.endswith(suffix) and bare != suffix:
            bare = bare.removesuffix(suffix)
            unit = "money per m³" if column.unit == "money" else unit
            break
    if column.unit == "1" and "fraction" in column.hint:
        unit = "share"
    words = _words(bare)
    return f"{words} ({unit}{per})" if unit or per else words


def _words(bare: str) -> str:
    words = bare.replace("_", " ")
    if words in _SHORT:
        return words
    words = _WORDED.get(words, words)
    front, _, last = words.rpartition(" ")
    if front and last in _ENDS:
        words = front + _ENDS[last]
    return words[:1].upper() + words[1:]


def explained(column: Column, name: str = "") -> str:
    """Return what a cell of a column should hold, as short Markdown lines."""
    lines = [f"**{_code(name or column.name)}** {column.meaning}"]
    if column.choices:
        lines.append(f"One of: {', '.join(column.choices)}.")
    if column.refers:
        lines.append(f"Names from: {', '.join(column.refers)}.")
    lines += [*_need(column), *_limits(column)]
    if column.example:
        lines.append(f"Example: {_code(column.example)}")
    return "\n\n".join(lines)


def short_rule(column: Column) -> str:
    """Return what an empty cell means, or that it must be filled, in a few words."""
    if column.is_required:
        return "required"
    if column.default:
        unit = f" {column.unit}" if column.unit not in {"", "1", "money"} else ""
        return f"empty: {column.default.replace(';', ', ')}{unit}"
    if column.default_meaning:
        return f"empty: {column.default_meaning}"
    return f"needed when {column.needed_when}" if column.needed_when else "may stay empty"


def _need(column: Column) -> list[str]:
    if column.is_required:
        return ["Must be filled."]
    when = [f"Needed when {column.needed_when}."] if column.needed_when else []
    if column.default or column.default_meaning:
        return [*when, f"Empty stands for: {column.default or column.default_meaning}."]
    return when


def _limits(column: Column) -> list[str]:
    low = (
        "" if column.low is None else f"{'above' if column.is_low_open else 'from'} {column.low:g}"
    )
    high = (
        ""
        if column.high is None
        else f"{'below' if column.is_high_open else 'to'} {column.high:g}"
    )
    unit = f" {column.unit}" if column.unit not in {"", "1"} else ""
    lines = [f"{' '.join(filter(None, (low, high))).capitalize()}{unit}."] if low or high else []
    if column.hint:
        lines.append(f"{column.hint[:1].upper()}{column.hint[1:]}.")
    return lines


def _code(text: str) -> str:
    return f"`{text}`"
