"""Checks of what is given to the bolt formulas."""

from __future__ import annotations

from casewright.errors import RangeError


def friction_coefficient(name: str, value: float) -> float:
    """The coefficient itself if it can be one.

    Args:
        name: field for the message [-].
        value: coefficient of friction [-].
    Returns:
        the same value [-].
    Valid: 0 up to below 1.
    Raises: RangeError outside (also for "not a number").
    Source: own: plausible range
    """
    if not 0 <= value < 1:
        raise RangeError(name, value, "a coefficient of friction from 0 to below 1")
    return value


def positive(name: str, value: float, unit: str = "") -> float:
    """The value itself if it is above zero.

    Args:
        name: field for the message [-].
        value: quantity in SI [any].
        unit: its unit for the message [-].
    Returns:
        the same value [any].
    Valid: finite or infinite, above zero.
    Raises: RangeError at zero, below, or for "not a number".
    Source: own: plausible range
    """
    if not value > 0:
        raise RangeError(name, value, f"more than zero {unit}".strip())
    return value
