"""Numbers as people read them: the sheet's or the person's unit, ± behind, chances in words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from casewright.job.limits import Limits
from casewright.units import DIMENSIONS, write
from casewright.working import Term, Working

# The same custom in two sizes: whoever likes one reads the other where it is printed.
POUND_TORQUES = {"ft·lb", "in·lb"}


@dataclass(frozen=True, slots=True)
class Style:
    """The units that a person likes, by dimension; the dimension's first unit otherwise."""

    units: Mapping[str, str] = field(default_factory=dict)

    def unit(self, dimension: str) -> str:
        """The sign of the unit to show."""
        return self.units.get(dimension) or DIMENSIONS[dimension].units[0].sign

    def near(self, limits: Limits) -> Style:
        """This style for what is held against these limits: a small torque isn't told in ft·lb."""
        liked = {self.unit(limits.dimension), limits.unit}
        if liked != POUND_TORQUES:
            return self
        return Style({**self.units, limits.dimension: limits.unit})


SI_DIMENSION = {
    "m": "length", "N*m": "torque", "N m": "torque", "N·m": "torque", "Pa": "pressure",
    "K": "temperature", "N": "force", "kg": "mass", "m3": "volume", "m^3": "volume", "s": "time",
    "rad": "angle", "V": "potential", "ohm": "resistance",
}  # fmt: skip


def say(value: float | None, dimension: str, style: Style, decimals: int | None = None) -> str:
    """A value in the person's unit; "not known" for None."""
    if value is None:
        return "not known"
    return write(value, dimension, style.unit(dimension), decimals)


def say_change(value: float, dimension: str, style: Style) -> str:
    """A signed difference; temperatures as differences, without the offset."""
    if dimension == "temperature":
        fahrenheit = style.unit(dimension) == "°F"
        return f"{value * (1.8 if fahrenheit else 1):+.1f} {style.unit(dimension)}"
    return write(value, dimension, style.unit(dimension), sign=True)


def say_pm(value: float, doubt: float, dimension: str, style: Style) -> str:
    """Value ± doubt, the unit once."""
    unit = style.unit(dimension)
    number, spread = (write(v, dimension, unit).rsplit(" ", 1)[0] for v in (value, doubt))
    return f"{number} ± {spread} {unit}"


def say_window(low: float | None, high: float | None, dimension: str, style: Style) -> str:
    """A window: both ends, "at least", "at most", or "not in the sheet"."""
    if low is None and high is None:
        return "not in the sheet"
    if low is None:
        return f"at most {say(high, dimension, style)}"
    if high is None:
        return f"at least {say(low, dimension, style)}"
    return f"{say(low, dimension, style).rsplit(' ', 1)[0]} to {say(high, dimension, style)}"


def say_chance(chance: float) -> str:
    """A chance in words and per cent.

    >>> say_chance(0.72)
    'about 7 in 10 (72 %)'
    >>> say_chance(0.999)
    'nearly certain (over 99 %)'
    """
    if chance > 0.99:
        return "nearly certain (over 99 %)"
    if chance < 0.01:
        return "hardly ever (under 1 %)"
    percent = f"{100 * chance:.0f} %"
    if chance < 0.075:
        return f"about 1 in {round(1 / chance)} ({percent})"
    if chance > 0.925:
        return f"about {round(100 * chance)} in 100 ({percent})"
    return f"about {max(1, min(9, round(10 * chance)))} in 10 ({percent})"


def say_minutes(minutes: float) -> str:
    """A duration as people say it: 45 min, 1 h 20 min."""
    whole = round(minutes)
    if whole < 60:
        return f"{whole} min"
    return f"{whole // 60} h {whole % 60:02d} min" if whole % 60 else f"{whole // 60} h"


def say_term(term: Term, style: Style) -> str:
    """One number of a working, in the person's unit where its SI unit is one of ours."""
    if dimension := SI_DIMENSION.get(term.unit):
        small = {"length": 4, "torque": 3}.get(dimension)
        return say(term.value, dimension, style, small)
    return f"{term.value:.5g} {term.unit}".strip()


def working_rows(working: Working, style: Style) -> tuple[tuple[str, str], ...]:
    """A working as label and text: method, formula, inputs, steps, results, source."""
    terms = (*working.inputs, *working.steps, *working.outputs)
    rows = [("Method", working.method), ("Formula", working.formula)]
    rows += [(_label(term), say_term(term, style)) for term in terms]
    rows += [("Note", note) for note in working.notes]
    rows.append(("Source", working.source))
    if working.estimate:
        rows.append(("Standing", "an estimate; the maker's limits rule"))
    return tuple(rows)


def _label(term: Term) -> str:
    return f"{term.name} ({term.symbol})" if term.symbol else term.name
