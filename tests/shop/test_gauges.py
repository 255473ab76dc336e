"""A serial gauge, through a pseudo-terminal: its lines become the text of a leak log."""

from __future__ import annotations

import os
import threading
import tty
from collections.abc import Iterator
from contextlib import contextmanager
from unittest.mock import patch

import pytest
import serial

from casewright.errors import InputError, MissingError
from casewright.mechanics.leak_text import parse_leak_log
from casewright.shop.gauges import (
    CEILING,
    SILENT,
    TIME_UP,
    Layout,
    StopRules,
    Stream,
    log_text,
    numbers_in,
    open_port,
    over_atmosphere,
    reading_of,
)

GAUGE = Layout(relative_to="gauge")


@contextmanager
def gauge_sending(lines: list[str]) -> Iterator[str]:
    """A pseudo-terminal whose other end sends lines once the port is open; gives the port's name.

    Opening a port empties it: what is sent before is lost, however slow the machine is.
    """
    master, slave = os.openpty()
    tty.setraw(slave)
    is_open = threading.Event()
    really_open = serial.Serial.open

    def opening(port: serial.Serial) -> None:
        really_open(port)
        is_open.set()

    def send() -> None:
        is_open.wait(60)
        for line in lines:
            os.write(master, line.encode() + b"\r\n")

    thread = threading.Thread(target=send)
    thread.start()
    try:
        with patch.object(serial.Serial, "open", opening):
            yield os.ttyname(slave)
    finally:
        is_open.set()
        thread.join()
        os.close(master)
        os.close(slave)


class Ticking:
    """A clock that gains a second at each look."""

    def __init__(self) -> None:
        self.now = 0.0

    def __call__(self) -> float:
        self.now += 1.0
        return self.now


class Lines:
    """A port of prepared lines; silent afterwards."""

    def __init__(self, *lines: str) -> None:
        self.lines = [line.encode() for line in lines]

    def readline(self) -> bytes:
        return self.lines.pop(0) if self.lines else b""


def test_lines_from_a_serial_port_become_a_log_that_the_leak_reader_takes() -> None:
    torn = "0.00 kPa 21.4 C"  # the tail of a line that began before the port was opened
    sent = [
        torn,
        "70.00 kPa 21.4 C",
        "69.98 kPa 21.4 C",
        "garbage",
        "69.97 kPa 21.3 C",
        "69.95 kPa 21.3",
    ]
    with gauge_sending(sent) as name:
        stream = Stream(GAUGE, StopRules(silence=1.0))
        readings = list(stream.follow(open_port(name, timeout=0.5)))
    assert [one.pressure for one in readings] == [70.0, 69.98, 69.97, 69.95]
    assert stream.ended == SILENT
    assert stream.strange == ["garbage"]
    log = parse_leak_log(stream.text())
    assert log.pressure[0] == pytest.approx(70_000 + 101_325)
    assert log.temperature is not None
    assert log.temperature[0] == pytest.approx(294.55)


def test_a_stream_ends_at_once_when_the_ceiling_is_passed() -> None:
    stream = Stream(GAUGE, StopRules(ceiling=110e3))
    port = Lines("70 21", "109.9 21", "111 21", "70 21")
    assert [one.pressure for one in stream.follow(port, Ticking())] == [70, 109.9, 111]
    assert stream.ended == CEILING


def test_an_absolute_gauge_is_held_against_the_ceiling_over_the_atmosphere() -> None:
    layout = Layout(relative_to="absolute", temperature=None)
    stream = Stream(layout, StopRules(ceiling=110e3))
    assert len(list(stream.follow(Lines("171.3", "212"), Ticking()))) == 2
    assert stream.ended == CEILING
    stream = Stream(layout, StopRules(ceiling=110e3, longest=2.5))
    list(stream.follow(Lines("171.3", "171.2", "171.2", "171.1"), Ticking()))
    assert stream.ended == TIME_UP


def test_a_gauge_in_psi_is_converted_before_it_is_held_against_the_ceiling() -> None:
    # 1 psi = 6894.757 Pa (NIST SP 811, memory of the figure)
    layout = Layout(relative_to="gauge", pressure_unit="psi")
    reading = reading_of("10.0 70", 0.0, layout)
    assert reading is not None
    assert over_atmosphere(reading, layout) == pytest.approx(68_947.57, abs=0.01)


def test_gauge_or_absolute_is_never_guessed() -> None:
    with pytest.raises(MissingError, match="gauge or absolute"):
        list(Stream(Layout(), StopRules()).follow(Lines("70 21"), Ticking()))


def test_seconds_run_from_the_first_reading_not_from_opening_the_port() -> None:
    stream = Stream(GAUGE, StopRules(silence=3))
    readings = list(stream.follow(Lines("", "", "70 21", "", "69 21"), Ticking()))
    assert [one.seconds for one in readings] == [0.0, 2.0]


def test_lines_that_arrive_in_one_burst_still_have_rising_times() -> None:
    stream = Stream(GAUGE, StopRules(longest=1.0))
    looks = iter([0.0, 5.0, 5.0, 5.0, 5.0, 7.0])
    list(stream.follow(Lines("70 21", "70 21", "70 21", "69 21", "69 21"), lambda: next(looks)))
    seconds = [one.seconds for one in stream.readings]
    assert len(set(seconds)) == len(seconds)
    assert seconds == sorted(seconds)
    assert parse_leak_log(stream.text()).time[-1] > 0


@pytest.mark.parametrize(
    ("line", "found"),
    [("P=+70.12 kPa;T=21,4", (70.12, 21.4)), ("-35.0e0 20", (-35.0, 20.0)), ("ready", ())],
)
def test_numbers_are_found_whatever_stands_between(line: str, found: tuple[float, ...]) -> None:
    assert numbers_in(line) == found


def test_a_line_without_its_temperature_is_no_reading() -> None:
    assert reading_of("70.0", 0.0, GAUGE) is None


def test_the_log_says_its_units_and_what_its_pressure_is_relative_to() -> None:
    reading = reading_of("70.5 21.4", 3.0, GAUGE)
    assert reading is not None
    text = log_text([reading], GAUGE)
    assert text == "time [s], pressure [kPa gauge], temperature [°C]\n3.000, 70.5, 21.4"


def test_a_port_that_is_not_there_gets_a_plain_answer() -> None:
    with pytest.raises(InputError, match="port"):
        open_port("/no/such/port")
