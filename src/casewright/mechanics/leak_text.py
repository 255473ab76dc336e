"""Pasted or CSV text of a leak test read into a log, in SI.

Columns time, pressure, temperature, turned, found by the header's words; units in brackets, with
"gauge" or "absolute" beside the pressure's.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from casewright.errors import FormErrors, InputError, MissingError, RangeError
from casewright.mechanics.leak_log import Floats, LeakLog, kelvin_of, leak_log

PRESSURE_UNITS = {
    "pa": 1.0,
    "hpa": 100.0,
    "mbar": 100.0,
    "kpa": 1e3,
    "bar": 1e5,
    "psi": 6894.757293168,
    "inhg": 3386.389,
    "mmhg": 133.322387415,
    "torr": 101325 / 760,
}
TIME_UNITS = {"s": 1.0, "sec": 1.0, "seconds": 1.0, "min": 60.0, "minutes": 60.0, "h": 3600.0}
TEMPERATURE_UNITS = {"k": "K", "kelvin": "K", "c": "C", "degc": "C", "°c": "C", "f": "F"} | {
    "degf": "F",
    "°f": "F",
    "celsius": "C",
}
COLUMN_WORDS = {
    "time": ("time", "seconds", "minutes", "clock", "elapsed"),
    "pressure": ("pressure", "gauge", "vacuum", "p"),
    "temperature": ("temperature", "temp", "wall"),
    "turned": ("turned", "turn", "shaft", "mark"),
}
YES = {"1", "x", "y", "yes", "true", "turned", "*"}
NO = {"", "0", "n", "no", "false", "-"}


@dataclass(frozen=True, slots=True)
class _Column:
    """Where a quantity stands and in which unit."""

    index: int
    words: str


def _delimiter(text: str) -> str:
    """Tab, semicolon, comma, or runs of blanks, in this order of preference."""
    for mark in ("\t", ";", ","):
        if mark in text:
            return mark
    return " "


def _cells(line: str, mark: str) -> list[str]:
    """One line's cells, stripped."""
    parts = line.split() if mark == " " else line.split(mark)
    return [part.strip() for part in parts]


def _is_header(cells: Sequence[str]) -> bool:
    """A line whose first cell starts with a letter."""
    return bool(cells and re.match(r"[A-Za-z]", cells[0]))


def _columns(header: Sequence[str]) -> dict[str, _Column]:
    """Which column holds what, by the words of the header."""
    found: dict[str, _Column] = {}
    for index, cell in enumerate(header):
        words = re.findall(r"[a-z°]+", cell.lower())
        for name, keys in COLUMN_WORDS.items():
            if name not in found and words and words[0] in keys:
                found[name] = _Column(index, cell.lower())
                break
    return found


def _default_columns(width: int) -> dict[str, _Column]:
    """Time, pressure, temperature, turned: the order when no header says otherwise."""
    return {name: _Column(i, "") for i, name in enumerate(COLUMN_WORDS) if i < width}


def _unit(words: str, known: Mapping[str, object]) -> str | None:
    """The unit named inside brackets of a header cell, if it names one."""
    inside = re.findall(r"[\[(]([^\])]*)[\])]", words)
    for word in re.findall(r"[a-z°]+", " ".join(inside)):
        for name in (word, re.sub(r"(?<=psi|bar)[ga]$", "", word)):
            if name in known:
                return name
    return None


def _kind(words: str) -> str | None:
    """Gauge or absolute (or vacuum, counted downwards), if the header says."""
    if re.search(r"\bvac(uum)?\b", words):
        return "vacuum"
    if re.search(r"\babs(olute)?\b|psia\b|bara\b", words):
        return "absolute"
    if re.search(r"\bgauge\b|psig\b|barg\b", words):
        return "gauge"
    return None


def _number(cell: str, mark: str) -> float:
    """A number; a decimal comma is understood where commas don't part the cells."""
    return float(cell if mark == "," else cell.replace(",", "."))


def _clock(cell: str, mark: str, unit: float) -> float:
    """Seconds from a number in `unit`, from m:s, from h:m:s, or from a date and a time of day."""
    stamp = re.match(r"(\d{4})-(\d\d)-(\d\d)[T ](.+?)(?:Z|[+-]\d\d:\d\d)?$", cell)
    if stamp:
        date = np.datetime64("-".join(stamp.groups()[:3]), "D").astype(int)
        return 86400.0 * float(date) + _clock(stamp[4], mark, 1.0)
    parts = cell.split(":")
    if len(parts) == 1:
        return unit * _number(cell, mark)
    total = 0.0
    for part in parts:
        total = 60 * total + _number(part, mark)
    return total


def _read_column(
    rows: Sequence[Sequence[str]],
    column: _Column,
    name: str,
    mark: str,
    unit: float,
    mistakes: list[InputError],
) -> Floats:
    """One column as floats; cells that can't be read become mistakes with their row."""
    values = np.full(len(rows), np.nan)
    for index, row in enumerate(rows):
        cell = row[column.index] if column.index < len(row) else ""
        try:
            values[index] = (
                _clock(cell, mark, unit) if name == "time" else unit * _number(cell, mark)
            )
            if not np.isfinite(values[index]):
                raise ValueError(cell)
        except ValueError:
            mistakes.append(InputError(f"row {index + 1} {name}", cell, "a number"))
    return values


def _read_marks(
    rows: Sequence[Sequence[str]], column: _Column | None, mistakes: list[InputError]
) -> NDArray[np.bool_]:
    """The rows at which a shaft was being turned."""
    marks = np.zeros(len(rows), bool)
    for index, row in enumerate(rows):
        cell = row[column.index].lower() if column and column.index < len(row) else ""
        if cell not in YES | NO:
            mistakes.append(InputError(f"row {index + 1} turned", cell, "yes or no"))
        marks[index] = cell in YES
    return marks


@dataclass(frozen=True, slots=True)
class _Units:
    """What header and caller say about units, settled."""

    time: float
    pressure: float
    kind: str
    temperature: str


def _settle(
    columns: Mapping[str, _Column],
    pressure_kind: str | None,
    pressure_unit: str | None,
    temperature_unit: str | None,
    time_unit: str | None,
) -> _Units:
    """Units from header or caller; every one that is missing or unknown named in one pass."""
    mistakes: list[InputError] = []

    def choose(name: str, said: str | None, known: Mapping[str, object], usual: str) -> str:
        words = columns[name].words if name in columns else ""
        unit = (said or _unit(words, known) or usual).lower()
        if unit not in known:
            mistakes.append(
                RangeError(f"{name} unit", said, "one of " + ", ".join(known))
                if unit
                else MissingError(f"{name} unit", "one of " + ", ".join(known))
            )
        return unit

    time = choose("time", time_unit, TIME_UNITS, "s")
    pressure = choose("pressure", pressure_unit, PRESSURE_UNITS, "")
    temperature = choose(
        "temperature",
        temperature_unit,
        TEMPERATURE_UNITS,
        "" if "temperature" in columns else "k",
    )
    kind = pressure_kind or _kind(columns["pressure"].words)
    if kind not in ("gauge", "absolute", "vacuum"):
        mistakes.append(
            MissingError(
                "pressure kind",
                "gauge, absolute or vacuum",
                "Say which: 70 kPa gauge is 171 kPa absolute.",
            )
        )
    if mistakes:
        raise mistakes[0] if len(mistakes) == 1 else FormErrors("leak log", mistakes)
    return _Units(
        TIME_UNITS[time],
        PRESSURE_UNITS[pressure],
        str(kind),
        TEMPERATURE_UNITS[temperature],
    )


def _table(text: str) -> tuple[list[list[str]], dict[str, _Column], str]:
    """Rows of cells, the columns' places, and what parts the cells."""
    lines = [line for line in text.splitlines() if line.strip() and line.lstrip()[0] != "#"]
    if not lines:
        raise MissingError("leak log", "rows of time, pressure, temperature, turned")
    mark = _delimiter(lines[-1])
    rows = [_cells(line, mark) for line in lines]
    if _is_header(rows[0]):
        columns = _columns(rows[0])
        rows = rows[1:]
    else:
        columns = _default_columns(len(rows[0]))
    for name in ("time", "pressure"):
        if name not in columns:
            raise MissingError(f"{name} column", f"a column headed {COLUMN_WORDS[name][0]}")
    return rows, columns, mark


def parse_leak_log(
    text: str,
    pressure_kind: str | None = None,
    pressure_unit: str | None = None,
    temperature_unit: str | None = None,
    time_unit: str | None = None,
    atmosphere: float = 101_325.0,
    without_temperature: bool = False,
) -> LeakLog:
    """A leak log from pasted or CSV text: time, pressure, temperature, turned.

    Args:
        text: lines of cells parted by tab, semicolon, comma or blanks, with or without a header
            that names columns and units, as "time [s], pressure [kPa gauge], wall [degC]" [-].
        pressure_kind: "gauge", "absolute" or "vacuum", where the header doesn't say [-].
        pressure_unit: unit of the pressures, where the header doesn't say [-].
        temperature_unit: unit of the temperatures, where the header doesn't say [-].
        time_unit: unit of plain numbers in the time column; seconds unless said [-].
        atmosphere: pressure around the circuit [Pa].
        without_temperature: take a log that has no temperatures [-].
    Returns:
        the log in SI [-].
    Valid: times as numbers, m:s, h:m:s, or dates with times; decimal comma with tab or semicolon.
    Raises: MissingError, RangeError, or FormErrors with every cell that can't be read.
    Source: own: reading at the door.
    """
    rows, columns, mark = _table(text)
    units = _settle(columns, pressure_kind, pressure_unit, temperature_unit, time_unit)
    if "temperature" not in columns and not without_temperature:
        raise MissingError(
            "temperature column",
            "the case's temperature beside each pressure",
            "Without it drift can't be told from a leak; say so to go on all the same.",
        )
    mistakes: list[InputError] = []
    time = _read_column(rows, columns["time"], "time", mark, units.time, mistakes)
    pressure = _read_column(rows, columns["pressure"], "pressure", mark, units.pressure, mistakes)
    temperature = None
    if "temperature" in columns:
        raw = _read_column(rows, columns["temperature"], "temperature", mark, 1.0, mistakes)
        temperature = raw if mistakes else kelvin_of(raw, units.temperature)
    turned = _read_marks(rows, columns.get("turned"), mistakes)
    if mistakes:
        raise mistakes[0] if len(mistakes) == 1 else FormErrors("leak log", mistakes)
    return leak_log(time, pressure, temperature, turned, units.kind, atmosphere)
