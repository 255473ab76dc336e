"""A serial gauge at the rim: lines with numbers from a port become rows of a leak log.

The reading of a line is pure and knows no port. A stream ends by itself when the pressure passes
the ceiling, when the gauge falls silent, or when its time is up; it says which, and gives the text
that a `leak-log` entry takes.
"""

from __future__ import annotations

import re
import time
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from typing import Protocol

from casewright.errors import InputError, MissingError
from casewright.units import parse

CEILING, SILENT, TIME_UP, ENDED = "ceiling passed", "the gauge fell silent", "time is up", "ended"
# Lines that were buffered arrive together; a log needs times that rise [s].
BURST = 0.001
_NUMBER = re.compile(r"[+-]?\d+(?:[.,]\d+)?(?:[eE][+-]?\d+)?")


class Port(Protocol):
    """What a stream needs of a port: lines of bytes, empty when none came in time."""

    def readline(self) -> bytes:
        """The next line, or nothing."""


@dataclass(frozen=True, slots=True)
class GaugeReading:
    """One reading: seconds from the first, pressure and temperature as the gauge shows them."""

    seconds: float
    pressure: float
    temperature: float | None


@dataclass(frozen=True, slots=True)
class Layout:
    """Which number of a line is which, counted from 0, and the units that they are in."""

    pressure: int = 0
    temperature: int | None = 1
    pressure_unit: str = "kPa"
    temperature_unit: str = "°C"
    relative_to: str = ""

    def check(self) -> None:
        """Refuse a layout that doesn't say gauge or absolute: it is never guessed."""
        if self.relative_to not in ("gauge", "absolute"):
            raise MissingError(
                "gauge or absolute", "which of the two the gauge shows",
                "70 kPa gauge is 171 kPa absolute.",
            )  # fmt: skip


@dataclass(frozen=True, slots=True)
class StopRules:
    """When a stream ends: ceiling over the atmosphere [Pa], longest time and silence [s]."""

    ceiling: float | None = None
    longest: float = 3600.0
    silence: float = 15.0
    atmosphere: float = 101_325.0


@dataclass(slots=True)
class Stream:
    """A running hold: what was read so far, lines that weren't understood, why it ended."""

    layout: Layout
    rules: StopRules
    readings: list[GaugeReading] = field(default_factory=list)
    strange: list[str] = field(default_factory=list)
    ended: str = ""

    def follow(
        self, port: Port, clock: Callable[[], float] = time.monotonic
    ) -> Iterator[GaugeReading]:
        """Readings as they come in, until a stop rule ends the stream."""
        self.layout.check()
        start, heard = None, clock()
        while not self.ended:
            line, now = port.readline(), clock()
            reading = self._take(line, self._moment(now, start))
            if reading is not None:
                start, heard = (now if start is None else start), now
                self.readings.append(reading)
                yield reading
            self.ended = self._why(reading, now - (start if start is not None else now))
            if not self.ended and now - heard > self.rules.silence:
                self.ended = SILENT

    def _moment(self, now: float, start: float | None) -> float:
        """Seconds from the first reading; lines of one burst stand a millisecond apart."""
        if start is None or not self.readings:
            return 0.0
        return max(now - start, self.readings[-1].seconds + BURST)

    def _take(self, line: bytes, seconds: float) -> GaugeReading | None:
        """A reading of a line; a line without its numbers is kept aside."""
        text = line.decode("utf-8", "replace").strip()
        if not text:
            return None
        reading = reading_of(text, seconds, self.layout)
        if reading is None:
            self.strange.append(text[:80])
        return reading

    def _why(self, reading: GaugeReading | None, seconds: float) -> str:
        """Why the stream must end now; empty where it may go on."""
        most = self.rules.ceiling
        if reading is not None and most is not None and self._over(reading) > most:
            return CEILING
        return TIME_UP if seconds >= self.rules.longest else ""

    def _over(self, reading: GaugeReading) -> float:
        return over_atmosphere(reading, self.layout, self.rules.atmosphere)

    def text(self) -> str:
        """The log as a `leak-log` entry takes it."""
        return log_text(self.readings, self.layout)


def numbers_in(line: str) -> tuple[float, ...]:
    """The numbers of a line, whatever words and units stand between; a decimal comma is read.

    >>> numbers_in("P=+70.12 kPa;T=21,4 C")
    (70.12, 21.4)
    """
    return tuple(float(found.replace(",", ".")) for found in _NUMBER.findall(line))


def reading_of(line: str, seconds: float, layout: Layout) -> GaugeReading | None:
    """One line as a reading; None where it lacks the numbers that the layout names."""
    numbers = numbers_in(line)
    if layout.pressure >= len(numbers):
        return None
    temperature = None
    if layout.temperature is not None:
        if layout.temperature >= len(numbers):
            return None
        temperature = numbers[layout.temperature]
    return GaugeReading(seconds, numbers[layout.pressure], temperature)


def over_atmosphere(reading: GaugeReading, layout: Layout, atmosphere: float = 101_325.0) -> float:
    """The pressure of a reading over the atmosphere [Pa]."""
    pascals = parse(f"{reading.pressure} {layout.pressure_unit}", "pressure").value
    return pascals - atmosphere if layout.relative_to == "absolute" else pascals


def log_text(readings: Iterable[GaugeReading], layout: Layout) -> str:
    """Readings as the text of a leak log, its header saying units and gauge or absolute."""
    warm = f", temperature [{layout.temperature_unit}]" if layout.temperature is not None else ""
    header = f"time [s], pressure [{layout.pressure_unit} {layout.relative_to}]{warm}"
    rows = [header]
    for one in readings:
        cells = [f"{one.seconds:.3f}", f"{one.pressure:g}"]
        if one.temperature is not None:
            cells.append(f"{one.temperature:g}")
        rows.append(", ".join(cells))
    return "\n".join(rows)


def open_port(name: str, baud: int = 9600, timeout: float = 1.0) -> Port:
    """A serial port by its name, read line by line; a torn first line is dropped."""
    import serial

    try:
        port: Port = serial.Serial(name, baud, timeout=timeout)
        port.readline()
        return port
    except (serial.SerialException, ValueError, OSError) as error:
        raise InputError(
            "port", name, "a serial port that can be opened", f"{error}"[:200]
        ) from None
