"""Write an SI number as a person reads it: unit, decimals of that unit, no false digits."""

from __future__ import annotations

from casewright.units.catalogue import dimension_named, scale, unit_named


def write(
    value: float, dimension: str, unit: str = "", decimals: int | None = None, sign: bool = False
) -> str:
    """An SI value in `unit` (the dimension's first unit if none), with the unit's decimals.

    >>> write(0.00031, "length", "mm")
    '0.310 mm'
    >>> write(0.00031, "length", "in")
    '0.0122 in'
    """
    kind = dimension_named(dimension)
    chosen = unit_named(dimension, unit or kind.units[0].sign)
    factor, offset = scale(chosen.pint_name, kind.si)
    places = chosen.decimals if decimals is None else decimals
    number = f"{(value - offset) / factor:{'+' if sign else ''}.{places}f}"
    if not float(number):
        number = number.replace("-", "")  # minus zero is zero
    return number if dimension == "count" else f"{number} {chosen.sign}"
