"""Chances in words and in numbers: what a person types, and how a chance is said back.

The five words and their numbers are a convention of ours, evenly spread so that neighbours
can be told apart; a shop's own counts replace them as soon as there are any.
"""

from __future__ import annotations

import re

from casewright.errors import RangeError

WORDS: tuple[tuple[str, float], ...] = (
    ("seldom", 0.10),
    ("now and then", 0.25),
    ("half", 0.50),
    ("usually", 0.75),
    ("nearly always", 0.95),
)
_OUT_OF = re.compile(r"^(\d+(?:\.\d+)?)\s*(?:in|out of|/)\s*(\d+(?:\.\d+)?)$")
_NUMBER = re.compile(r"^(-?\d*\.?\d+)\s*(%|per cent)?$")
_EXPECTED = "a chance from 0 to 1, a per cent, '7 in 10', or one of: " + ", ".join(
    word for word, _ in WORDS
)


def chance(given: str | float, field: str = "chance") -> float:
    """The number behind a chance given as a word, a number, a per cent or "7 in 10".

    Args:
        given: what was typed: a word of `WORDS`, 0 to 1, "70 %", "7 in 10" [-].
        field: name of the field, for the message [-].
    Returns:
        the chance [-], 0 to 1.
    Valid: the words stand for 0.10, 0.25, 0.50, 0.75, 0.95, which is a convention.
    Raises: RangeError for a word that is not known or a number outside 0 to 1.
    Source: own: the words and their numbers are this project's convention.
    Example:
        >>> chance("usually"), chance("7 in 10"), chance("70 %")
        (0.75, 0.7, 0.7)
    """
    value = _read(given)
    if value is None or not 0.0 <= value <= 1.0:
        raise RangeError(field, given, _EXPECTED)
    return value


def _read(given: str | float) -> float | None:
    """The number, whatever its range; None where it can't be read."""
    if not isinstance(given, str):
        return float(given)
    text = " ".join(given.lower().split())
    if text in dict(WORDS):
        return dict(WORDS)[text]
    if match := _OUT_OF.match(text):
        return float(match[1]) / float(match[2]) if float(match[2]) > 0 else None
    if match := _NUMBER.match(text):
        return float(match[1]) / (100.0 if match[2] else 1.0)
    return None


def nearest_word(value: float) -> str:
    """The word whose number lies nearest to a chance; on a tie the lower word.

    Args:
        value: chance [-], 0 to 1.
    Returns:
        one of the five words [-].
    Valid: 0 to 1.
    Raises: RangeError outside 0 to 1.
    Source: own: the words and their numbers are this project's convention.
    Example:
        >>> nearest_word(0.7)
        'usually'
    """
    known = chance(value)
    return min(WORDS, key=lambda word: abs(word[1] - known))[0]


def said(value: float) -> str:
    """A chance as it is said aloud: "about 7 in 10", "about 1 in 25", "under 1 in 1000".

    Args:
        value: chance [-], 0 to 1.
    Returns:
        the words [-].
    Valid: tenths between 0.15 and 0.85, "1 in n" and "n−1 in n" outside, where n is one of a
        few round counts so as not to pretend to know more.
    Raises: RangeError outside 0 to 1.
    Source: own: wording of this project.
    Example:
        >>> said(0.68), said(0.04), said(0.98)
        ('about 7 in 10', 'about 1 in 25', 'about 49 in 50')
    """
    known = chance(value)
    if known in (0.0, 1.0):
        return "never" if known == 0.0 else "certain"
    rare = min(known, 1.0 - known)
    if rare < 0.001:
        return "under 1 in 1000" if known < 0.5 else "over 999 in 1000"
    if rare >= 0.15:
        tenths = round(known * 10)
        return "about even" if tenths == 5 else f"about {tenths} in 10"
    total = _round_count(1.0 / rare)
    return f"about 1 in {total}" if known < 0.5 else f"about {total - 1} in {total}"


def _round_count(count: float) -> int:
    """The nearest by ratio of 7, 8, 10, 12, 15, 20, 25, 30, 40, 50, 70, 100 and so on."""
    steps = [7, 8, 10, 12, 15, 20, 25, 30, 40, 50, 70, 100, 150, 200, 300, 500, 700, 1000]
    return min(steps, key=lambda step: max(step / count, count / step))
