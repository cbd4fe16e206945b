"""Signals: the first one asks, the second ends."""

import ctypes
import os
import signal
import threading

import pytest

from planner.commands.interrupts import in_background, listening


def test_before_there_is_anything_to_keep_a_signal_ends_the_command() -> None:
    with pytest.raises(KeyboardInterrupt), listening():
        os.kill(os.getpid(), signal.SIGTERM)


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_the_first_signal_asks_and_the_second_ends(
    number: int, capsys: pytest.CaptureFixture[str]
) -> None:
    with listening() as interrupts, interrupts.kept():
        assert not interrupts.stop()
        os.kill(os.getpid(), number)
        assert interrupts.stop()
        with pytest.raises(KeyboardInterrupt):
            os.kill(os.getpid(), number)
    assert "best plan so far is kept" in capsys.readouterr().err


def test_the_handlers_are_given_back() -> None:
    before = signal.getsignal(signal.SIGINT)
    with listening():
        assert signal.getsignal(signal.SIGINT) is not before
    assert signal.getsignal(signal.SIGINT) is before


def test_outside_the_main_thread_signals_are_left_alone() -> None:
    seen = []

    def work() -> None:
        with listening() as interrupts:
            seen.append(interrupts.asked)

    thread = threading.Thread(target=work)
    thread.start()
    thread.join()
    assert seen == [False]


def test_work_in_the_background_gives_back_its_result_or_its_failure() -> None:
    with listening() as interrupts:
        assert in_background(lambda: threading.current_thread().name, interrupts) == "search"
        with pytest.raises(ZeroDivisionError):
            in_background(lambda: 1 // 0, interrupts)


def test_a_handler_that_the_work_sets_does_not_stay() -> None:
    with listening() as interrupts, interrupts.kept():
        libc = ctypes.CDLL(None)

        def rude() -> None:
            libc.signal(signal.SIGINT, 0)  # the system's own handler, as a C++ library sets it

        in_background(rude, interrupts)
        os.kill(os.getpid(), signal.SIGINT)
        assert interrupts.asked
