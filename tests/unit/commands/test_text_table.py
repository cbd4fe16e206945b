"""Tables for reading: aligned, folded where too wide, never losing a word."""

import io
import sys

from planner.commands.text_table import is_readable, show_rows, text_table


def test_numbers_stand_to_the_right_and_words_to_the_left():
    lines = text_table(["rig", "m"], [["R1", 2.5], ["R10", 12.0], ["R2", None]], width=40)
    assert lines == ["rig    m", "---  ---", "R1   2.5", "R10   12", "R2"]


def test_long_cells_are_folded_and_every_word_is_kept():
    words = "one two three four five six seven"
    lines = text_table(["n", "text"], [[1, words]], width=16)
    assert all(len(line) <= 16 for line in lines)
    assert " ".join(line[3:] for line in lines[2:]).split() == words.split()


def test_names_are_not_broken_even_where_the_table_gets_too_wide():
    lines = text_table(["zone", "where"], [["S1-0135HR", "S1-0135HL"]], width=10)
    assert lines[2] == "S1-0135HR  S1-0135HL"


def test_a_table_without_rows_is_its_heading():
    assert text_table(["a", "bc"], [], width=20) == ["a  bc", "-  --"]


def test_wide_and_combining_signs_keep_columns_in_line():
    lines = text_table(["name", "m"], [["水", 1], ["e\u0301", 22]], width=20)
    assert lines[2:] == ["水     1", "e\u0301     22"]


def test_rows_leave_as_csv_where_nobody_asks_for_a_table(capsys):
    show_rows(["a", "b"], [[1.5, None]], as_table=False)
    show_rows(["a", "b"], [[1.5, "x y"]], as_table=True)
    assert capsys.readouterr().out == "a,b\n1.5,\n  a  b\n---  ---\n1.5  x y\n"


def test_a_table_is_for_reading_where_it_is_asked_for_or_on_a_terminal(monkeypatch):
    class Terminal(io.StringIO):
        def isatty(self):
            return True

    monkeypatch.setattr(sys, "stdout", io.StringIO())
    assert not is_readable(asked=False)
    assert is_readable(asked=True)
    monkeypatch.setattr(sys, "stdout", Terminal())
    assert is_readable(asked=False)
