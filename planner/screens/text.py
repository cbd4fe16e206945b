"""Words from outside, such as names, made harmless before a page or a chart shows them."""

from __future__ import annotations

import re

_MARKS = re.compile(r"[\\`*_{}\[\]#+!|~<>$:^@]|(?<=www)\.|(?<=^[0-9])[.)](?= )|^[-=]")


def plain(text: str) -> str:
    r"""Return a text that Markdown shows just as it is: no link, picture, HTML or formula.

    Examples
    --------
    >>> print(plain("![x](http://a.b) 1.5"))
    \!\[x\](http\://a.b) 1.5
    """
    flat = " ".join(text.split())
    return _MARKS.sub(r"\\\g<0>", flat)
