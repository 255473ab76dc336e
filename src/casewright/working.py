"""The working behind a number: inputs, formula, steps and source, kept with the result.

Pages, terminal and book unfold it; nothing here formats or converts, that is `voice`.
"""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Term:
    """One named number of a working: SI `value` with the SI unit it is in ("" for a ratio)."""

    name: str
    value: float
    unit: str = ""
    symbol: str = ""


@dataclass(frozen=True, slots=True)
class Working:
    """How a number came about; `estimate` marks what is not checked against the maker's limits."""

    method: str
    formula: str
    inputs: tuple[Term, ...]
    outputs: tuple[Term, ...]
    source: str
    steps: tuple[Term, ...] = ()
    notes: tuple[str, ...] = field(default=())
    estimate: bool = False
