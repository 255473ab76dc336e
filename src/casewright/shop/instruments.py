"""A serial calliper, micrometer or indicator at the rim: each line that it sends is one reading.

Reading a line is pure and knows no port. A stream ends by itself when all places are read, when the
instrument falls silent, or when somebody ends it; what was read until then is kept.
"""

from __future__ import annotations

import re
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

from casewright.errors import InputError, QuantityError
from casewright.shop.gauges import SILENT, Port
from casewright.units import parse

ALL_READ = "all places are read"
# An instrument sends its number whole, its unit after it; some put a channel name before.
_LINE = re.compile(r"(?P<number>[+-]?\d+(?:[.,]\d+)?)\s*(?P<unit>[A-Za-zµ°\"″']*)\s*$")


@dataclass(slots=True)
class Readings:
    """A running measurement: values as the instrument showed them, lines not understood, the end.

    `dimension` and `unit` say what a bare number means; a unit that is sent stands above.
    """

    wanted: int
    dimension: str = "length"
    unit: str = "mm"
    silence: float = 120.0
    values: list[str] = field(default_factory=list)
    strange: list[str] = field(default_factory=list)
    ended: str = ""

    def follow(self, port: Port, clock: Callable[[], float] = time.monotonic) -> Iterator[str]:
        """Values as they come in, until all are there or the instrument falls silent."""
        heard = clock()
        while not self.ended:
            line, now = port.readline().decode("utf-8", "replace").strip(), clock()
            value = self._take(line)
            if value:
                heard = now
                self.values.append(value)
                yield value
            if len(self.values) >= self.wanted:
                self.ended = ALL_READ
            elif now - heard > self.silence:
                self.ended = SILENT

    def _take(self, line: str) -> str:
        if not line:
            return ""
        value = value_of(line, self.dimension, self.unit)
        if not value:
            self.strange.append(line[:80])
        return value


def value_of(line: str, dimension: str, unit: str) -> str:
    """The value of a line as it will be kept, with its unit; empty where it holds none.

    >>> value_of("01A+00029.981", "length", "mm")
    '29.981 mm'
    >>> value_of("1.1805 in", "length", "mm")
    '1.1805 in'
    """
    found = _LINE.search(line)
    if found is None:
        return ""
    number = found["number"].replace(",", ".").lstrip("+")
    sign, digits = ("-", number[1:]) if number.startswith("-") else ("", number)
    digits = digits.lstrip("0") or "0"
    text = f"{sign}{'0' if digits.startswith('.') else ''}{digits} {found['unit'] or unit}"
    try:
        parse(text, dimension)
    except (InputError, QuantityError):
        return ""
    return text
