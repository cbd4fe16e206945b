"""What a misspelt name probably meant."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches
from itertools import pairwise

CUTOFF = 0.72
"""Likeness from which a known name is suggested (0 to 1); chosen by trying typing mistakes."""


def plain(name: str) -> str:
    """Return a name without case, spaces, hyphens and underscores.

    Examples
    --------
    >>> plain("Water Max-m")
    'watermaxm'
    """
    return "".join(char for char in name.casefold() if char.isalnum())


def is_slip(name: str, known: str) -> bool:
    """Return whether a name is another but for writing style or one slip of the fingers.

    A slip is one letter too many, too few, wrong, or two neighbours swapped.

    Examples
    --------
    >>> is_slip("wets_at", "wets_at_m"), is_slip("zoen", "zone"), is_slip("area", "zone")
    (True, True, False)
    """
    a, b = plain(name), plain(known)
    if a == b:
        return True
    if abs(len(a) - len(b)) > 1:
        return False
    if len(a) == len(b):
        return _is_one_change(a, b)
    short, long = sorted((a, b), key=len)
    return any(short == long[:k] + long[k + 1 :] for k in range(len(long)))


def _is_one_change(a: str, b: str) -> bool:
    wrong = [k for k in range(len(a)) if a[k] != b[k]]
    if len(wrong) == 1:
        return True
    swapped = [(i, j) for i, j in pairwise(wrong) if j == i + 1]
    return len(wrong) == 2 and bool(swapped) and sorted(a) == sorted(b)


def nearest(name: str, known: Iterable[str]) -> str | None:
    """Return the known name that is most like a name, or None when none is like it."""
    names = sorted(set(known))
    slips = [candidate for candidate in names if is_slip(name, candidate)]
    if slips:
        return slips[0]
    by_plain = {plain(candidate): candidate for candidate in names}
    close = get_close_matches(plain(name), list(by_plain), n=1, cutoff=CUTOFF)
    return by_plain[close[0]] if close else None


def did_you_mean(name: str, known: Iterable[str]) -> str:
    """Return ``; did you mean "x"?`` for the nearest known name, or nothing."""
    close = nearest(name, known)
    return f'; did you mean "{close}"?' if close else ""
