"""What holds after any chain of corrections, against the plainest oracle."""

from datetime import UTC, datetime

import pytest
from hypothesis import event, given
from hypothesis import strategies as st

from planner.site.entry import Entry, Stored, current

pytestmark = pytest.mark.property

AT = datetime(2026, 3, 2, tzinfo=UTC)


@st.composite
def journals(draw):
    rows = []
    for number in range(1, draw(st.integers(1, 12)) + 1):
        corrects = draw(st.none() | st.integers(1, number - 1)) if number > 1 else None
        withdrawn = corrects is not None and draw(st.booleans())
        rows.append(
            Stored(
                number=number,
                recorded_at=AT,
                by="Ann",
                corrects=corrects,
                withdrawn=withdrawn,
                entry=Entry(note=str(number)),
            )
        )
    return rows


def first_of(row, rows):
    """Follow the corrections to the statement that began them."""
    while row.corrects is not None:
        row = rows[row.corrects - 1]
    return row.number


@given(journals())
def test_the_last_word_on_each_first_statement_holds(rows):
    families: dict[int, list[Stored]] = {}
    for row in rows:
        families.setdefault(first_of(row, rows), []).append(row)
    last = [max(family, key=lambda row: row.number) for family in families.values()]
    expected = {row.number for row in last if not row.withdrawn}
    event(f"withdrawn={any(row.withdrawn for row in last)}")
    assert {row.number for row in current(rows)} == expected


@given(journals(), st.randoms(use_true_random=False))
def test_the_order_in_which_rows_are_read_does_not_matter(rows, random):
    mixed = list(rows)
    random.shuffle(mixed)
    assert current(mixed) == current(rows)
