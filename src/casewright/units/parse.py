"""Read what a person typed at the bench: `0.31mm`, `.012"`, `12 thou`, `80 ft·lb`, `0,31 mm`."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from casewright.errors import QuantityError
from casewright.units.catalogue import DIMENSIONS, Dimension, Unit, dimension_named, scale

_SPLIT = re.compile(r"^\s*([+-]?(?:\d+\s+\d+/\d+|\d+/\d+|[\d.,]+(?:e[+-]?\d+)?))\s*(.*?)\s*$", re.I)
_CLOCK = re.compile(r"^\s*(?:(\d+)\s*h(?:ours?|rs?)?)\s*(\d+)\s*(?:m(?:in)?s?)?\s*$", re.I)


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number as typed and what it means: SI `value`, the `unit` sign, the `text` itself.

    `bare` says that no unit was typed and the field's own unit was taken.
    """

    text: str
    value: float
    unit: str
    dimension: str
    bare: bool = False


def parse(text: str, dimension: str, default_unit: str = "", field: str = "value") -> Quantity:
    """Read one quantity of a known kind; a bare number takes `default_unit` if there is one.

    >>> parse(".012 in", "length").value
    0.0003048
    >>> parse("0,31", "length", default_unit="mm").unit
    'mm'
    """
    kind = dimension_named(dimension)
    if dimension == "time" and (clock := _CLOCK.match(text)):
        return Quantity(text, 3600.0 * int(clock[1]) + 60.0 * int(clock[2]), "h", "time")
    number, spelling = _split(text, kind, field)
    unit, bare = _unit(text, spelling, kind, default_unit, field)
    factor, offset = scale(unit.pint_name, kind.si)
    value = factor * number + offset
    _check_sign(text, number, value, kind, field)
    return Quantity(text.strip(), value, unit.sign, dimension, bare)


def parse_any(text: str, field: str = "value") -> Quantity:
    """Read one quantity whose kind follows from its unit, for sheets.

    >>> parse_any("80 ft·lb").dimension
    'torque'
    """
    match = _SPLIT.match(_tidy(text))
    spelling = match[2] if match else ""
    for kind in DIMENSIONS.values():
        if spelling and kind.unit(spelling):
            return parse(text, kind.name, field=field)
    raise QuantityError(field, text, "a number with its unit", "Type it like 0.31 mm or 80 N·m.")


def _tidy(text: str) -> str:
    """Typographic minus signs and blanks made plain."""
    return text.replace("−", "-").replace("\u00a0", " ").replace("\u202f", " ").replace("’", "'")


def _split(text: str, kind: Dimension, field: str) -> tuple[float, str]:
    match = _SPLIT.match(_tidy(text))
    if not match:
        raise QuantityError(field, text, f"a {kind.name}", f"Type it like {_example(kind)}.")
    return _number(match[1], text, kind, field), match[2]


def _number(digits: str, text: str, kind: Dimension, field: str) -> float:
    """The number; a comma that could mean thousands is asked about, never guessed."""
    if "/" in digits:
        try:
            return float(sum((Fraction(part) for part in digits.split()), Fraction(0)))
        except ZeroDivisionError:
            raise QuantityError(field, text, "a fraction", "Its lower number is zero.") from None
    if "," in digits and ("." in digits or digits.count(",") > 1):
        raise QuantityError(field, text, "one decimal mark", "Type 1234.5 without separators.")
    if re.fullmatch(r"[+-]?[1-9]\d{0,2},\d{3}", digits):
        dotted, joined = digits.replace(",", "."), digits.replace(",", "")
        raise QuantityError(
            field, text, "a number that can be read one way", f"Type {dotted} or {joined}."
        )
    try:
        return float(digits.replace(",", "."))
    except ValueError:
        raise QuantityError(
            field, text, f"a {kind.name}", f"Type it like {_example(kind)}."
        ) from None


def _unit(
    text: str, spelling: str, kind: Dimension, default_unit: str, field: str
) -> tuple[Unit, bool]:
    if not spelling:
        found = kind.unit(default_unit or "") if default_unit or kind.name == "count" else None
        if found is None:
            raise QuantityError(
                field, text, f"a {kind.name} with its unit", f"Type it like {_example(kind)}."
            )
        return found, True
    plain = spelling.lower().replace(" ", "")
    if plain in kind.ambiguous:
        raise QuantityError(
            field,
            text,
            f"a unit with one meaning ({spelling} has two)",
            f"Type {kind.ambiguous[plain]}.",
        )
    found = kind.unit(spelling)
    if found is None:
        raise QuantityError(field, text, f"a {kind.name}", _wrong_unit(spelling, kind))
    return found, False


def _wrong_unit(spelling: str, kind: Dimension) -> str:
    other = next((d.name for d in DIMENSIONS.values() if d.unit(spelling)), None)
    what = f"{spelling} is a unit of {other}" if other else f"the unit {spelling} isn't known"
    return f"{what[0].upper()}{what[1:]}; type {', '.join(kind.signs[:4])}."


def _check_sign(text: str, number: float, value: float, kind: Dimension, field: str) -> None:
    if kind.name == "temperature" and value < 0:
        raise QuantityError(
            field, text, "a temperature above absolute zero", "Check unit and sign."
        )
    if number < 0 and not kind.can_be_negative:
        raise QuantityError(field, text, f"a {kind.name} that isn't negative", "Check the sign.")


def _example(kind: Dimension) -> str:
    numbers = {"length": "0.31", "torque": "80", "pressure": "70", "temperature": "20"}
    number = numbers.get(kind.name, "3")
    return " or ".join(f"{number} {sign}".strip() for sign in kind.signs[:2])
