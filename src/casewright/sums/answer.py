"""What a bench sum answers, in SI: lines, words, hard limits, cautions, workings, a picture.

Nothing here is written for the eye; `voice` does that, so that page, terminal and log agree.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

from casewright.working import Working

Tone = Literal["plain", "lead", "estimate", "good", "bad", "unsure"]


@dataclass(frozen=True, slots=True)
class Line:
    """One result: a value, a range up to `high`, a value with its `doubt`, or words.

    `kind` is a dimension of the units (or "fine" for small lengths, "size" for limits of size,
    "stress", "leak", "share", "plain" with `unit`); values are SI. `lead` lines come first.
    """

    name: str
    value: float | str
    kind: str = ""
    high: float | None = None
    doubt: float | None = None
    unit: str = ""
    lead: bool = False


@dataclass(frozen=True, slots=True)
class Told:
    """A sentence of the answer."""

    text: str
    tone: Tone = "plain"


@dataclass(frozen=True, slots=True)
class Zones:
    """Sizes as bars on one scale, from a nominal size [m]: (label, low, high) as deviations [m]."""

    nominal: float
    bars: tuple[tuple[str, float, float], ...]
    title: str


@dataclass(frozen=True, slots=True)
class Scale:
    """A scale with a window and marks: where a value stands against its limits."""

    kind: str
    low: float | None
    high: float | None
    marks: tuple[tuple[str, float], ...]
    title: str
    window: str = "window"


@dataclass(frozen=True, slots=True)
class Levers:
    """A wrench with an adapter at an angle [m, rad]: reach is what counts."""

    wrench: float
    adapter: float
    angle: float
    title: str


Drawing: TypeAlias = Zones | Scale | Levers


@dataclass(frozen=True, slots=True)
class Answer:
    """The answer of a sum. `ceilings` are hard; `beside` are cautions of another way to do it."""

    lines: tuple[Line, ...]
    words: tuple[Told, ...] = ()
    ceilings: tuple[Line, ...] = ()
    cautions: tuple[str, ...] = ()
    beside: tuple[str, ...] = ()
    workings: tuple[tuple[str, Working], ...] = ()
    drawing: Drawing | None = None
