"""Names from outside are shown, never obeyed."""

import pytest

from planner.screens.text import plain


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("Pier 3, east", "Pier 3, east"),
        ("<img src=x onerror=alert(1)>", r"\<img src=x onerror=alert(1)\>"),
        ("![a](http://b.c/d.png)", r"\!\[a\](http\://b.c/d.png)"),
        ("$x$ *y* `z`", r"\$x\$ \*y\* \`z\`"),
        (":material/home: :red[x]", r"\:material/home\: \:red\[x\]"),
        ("www.a.b", r"www\.a.b"),
        ("1. first", r"1\. first"),
        ("two\nlines", "two lines"),
    ],
)
def test_markdown_of_a_name_is_taken_as_letters(text, shown):
    assert plain(text) == shown
