"""Output: tables as CSV, progress as lines of fixed width."""

import io
import sys

import pytest

from planner.commands.console import ProgressLine, number, progress_text, write_rows
from planner.core.progress import Progress


def _report(elapsed_s: float = 3.0) -> Progress:
    return Progress(stage="fill", elapsed_s=elapsed_s, goal="finish", best=90.25, bound=80.0)


def test_tables_are_csv_with_a_heading_and_quotes_where_needed(
    capsys: pytest.CaptureFixture[str],
) -> None:
    write_rows(("zone", "hose_m"), [("A,1", 2.5), ("B", 3.0), ("C", 1 / 3)])
    assert capsys.readouterr().out == 'zone,hose_m\n"A,1",2.5\nB,3\nC,0.333333\n'


def test_numbers_show_no_zeros_that_say_nothing() -> None:
    assert number(1200.0, decimals=2) == "1200"
    assert number(-0.001, decimals=2) == "0"
    assert number(0.126, decimals=2) == "0.13"


class _GonePipe(io.StringIO):
    def __init__(self, sink: int) -> None:
        super().__init__()
        self.sink = sink

    def flush(self) -> None:
        raise BrokenPipeError

    def fileno(self) -> int:
        return self.sink


def test_a_reader_that_has_gone_ends_the_table_quietly(
    monkeypatch: pytest.MonkeyPatch, tmp_path
) -> None:
    with (tmp_path / "sink").open("w") as sink:
        monkeypatch.setattr(sys, "stdout", _GonePipe(sink.fileno()))
        write_rows(("a",), [("1",)])


def test_a_progress_line_stays_within_a_terminal() -> None:
    long = Progress(
        stage="a" * 90, elapsed_s=12345.0, goal="relocations", best=1e12, bound=-123456789.123
    )
    assert len(progress_text(long)) <= 78
    assert progress_text(_report()).startswith("   3 s  fill")


def test_progress_columns_stand_below_each_other() -> None:
    first = progress_text(_report(3.0))
    later = progress_text(Progress(stage="search", elapsed_s=41.0, goal="cost", best=7.0))
    assert first.index("best") == later.index("best")


def test_away_from_a_terminal_a_line_comes_at_most_every_5_seconds(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    times = iter([100.0, 101.0, 104.9, 105.0, 106.0])
    monkeypatch.setattr("planner.commands.console.time.monotonic", lambda: next(times))
    show = ProgressLine()
    for elapsed_s in (0.0, 1.0, 4.9, 5.0, 6.0):
        show(_report(elapsed_s))
    shown = capsys.readouterr().err.splitlines()
    assert [line.split(" s ")[0].strip() for line in shown] == ["0", "5"]
    assert not any("\x1b" in line or "\r" in line for line in shown)


class _Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_on_a_terminal_the_line_is_drawn_in_place_and_taken_away(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    screen = _Terminal()
    monkeypatch.setattr(sys, "stderr", screen)
    show = ProgressLine()
    show(_report())
    show.clear()
    assert screen.getvalue().startswith("\r\x1b[K   3 s")
    assert screen.getvalue().endswith("\r\x1b[K")
    assert "\n" not in screen.getvalue()
