"""What an instrument of a certain sort usually does, until the shop's own register says better.

Every figure is common practice, without a source: a start, labelled so wherever it is used.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

_RANGE = re.compile(r"(\d+(?:\.\d+)?)\s*(?:-|–|to)\s*(\d+(?:\.\d+)?)")
_STEP = re.compile(r"(?<![\d.])(0?[.,]\d+)(?!\d)")
# The step in "indicator 0.0005 in" is in inches; a range says so itself, or by its size.
_INCH = re.compile(r"""\d\s*(?:in\b|inch|["″])""")
_MILLIMETRE = re.compile(r"\d\s*mm\b")
_SIZES = ("diameter", "thickness", "length")


@dataclass(frozen=True, slots=True)
class PracticeInstrument:
    """A sort of instrument: display step, certificate's ± (k = 2), scatter of one reading [m].

    `word` is what its name holds; `kinds` are the kinds of feature that it measures.
    """

    word: str
    resolution: float
    expanded: float
    repeatability: float
    kinds: tuple[str, ...]
    minutes: float = 2.0


def _row(
    word: str, resolution: float, expanded: float, scatter: float, kinds: tuple[str, ...]
) -> PracticeInstrument:
    """A row of the table, typed in micrometres."""
    return PracticeInstrument(word, resolution * 1e-6, expanded * 1e-6, scatter * 1e-6, kinds)


PRACTICE: tuple[PracticeInstrument, ...] = (
    _row("bore gauge", 5, 6, 3, ("bore", "ovality")),
    _row("depth", 10, 15, 6, ("length", "wear", "thickness")),
    _row("straight edge", 10, 15, 8, ("flatness",)),
    _row("feeler", 10, 15, 8, ("flatness", "wear", "squareness", "thickness")),
    _row("indicator", 10, 10, 3, ("run-out", "wear", "squareness", "flatness", "ovality")),
    _row("dial", 10, 10, 3, ("run-out", "wear", "squareness", "flatness", "ovality")),
    _row("micrometer", 2, 4, 2, (*_SIZES, "ovality", "thread")),
    _row("gear-tooth", 20, 40, 20, ("tooth",)),
    _row("gear tooth", 20, 40, 20, ("tooth",)),
    _row("calliper", 20, 40, 15, (*_SIZES, "bore", "wear")),
    _row("caliper", 20, 40, 15, (*_SIZES, "bore", "wear")),
    _row("rule", 500, 500, 200, ("length", "wear")),
)
UNKNOWN = _row("", 10, 40, 15, ())


def practice_instrument(name: str) -> PracticeInstrument:
    """The usual figures for an instrument by its name; a cautious row where the sort isn't known.

    Args:
        name: as the shop or the sheet calls it, such as "micrometer 25-50" [-].
    Returns:
        its row; a step in the name ("indicator 0.01") rules over the row's [m].
    Valid: a start only; the shop's register comes first.
    Raises: nothing.
    Source: common practice
    Example:
        >>> practice_instrument("indicator 0.002").resolution
        2e-06
        >>> practice_instrument("indicator 0.0005 in").resolution
        1.27e-05
    """
    plain = name.lower()
    row = next((one for one in PRACTICE if one.word in plain), UNKNOWN)
    step = _STEP.search(plain)
    if step is None or _RANGE.search(plain):
        return row
    unit = 25.4e-3 if _INCH.search(plain) else 1e-3
    return PracticeInstrument(
        row.word, float(step[1].replace(",", ".")) * unit, row.expanded, row.repeatability,
        row.kinds, row.minutes,
    )  # fmt: skip


def range_in_name(name: str) -> tuple[float, float] | None:
    """The measuring range that a name carries, "micrometer 25-50" being 25 to 50 mm.

    Args:
        name: as the shop or the sheet calls it [-].
    Returns:
        least and most [m]; None where the name says nothing.
    Valid: in the unit that the name says; without one, as millimetres above 4, else as inches.
    Raises: nothing.
    Source: common practice
    Example:
        >>> range_in_name("micrometer 25-50")
        (0.025, 0.05)
    """
    match = _RANGE.search(name)
    if match is None:
        return None
    low, high, plain = float(match[1]), float(match[2]), name.lower()
    inches = bool(_INCH.search(plain)) or (high <= 4 and not _MILLIMETRE.search(plain))
    scale = 25.4e-3 if inches else 1e-3
    return (low * scale, high * scale) if low < high else None
