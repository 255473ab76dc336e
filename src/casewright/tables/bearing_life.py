"""Constants of rolling bearing life: reliability, life modification, contamination.

Edition: ISO 281:2007, Tables 12 and clauses 9.3.3; contamination after its Annex A.
How known: from memory; the reliability values agree with their formula, the life modification
constants with continuity where their ranges join, the contamination constants with nothing yet.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

# Reliability [-] to a1 [-] as printed (2007). The 1990 set had no constant term: don't mix.
RELIABILITY: Mapping[float, float] = MappingProxyType(
    {0.90: 1.0, 0.95: 0.64, 0.96: 0.55, 0.97: 0.47, 0.98: 0.37, 0.99: 0.25}
)
RELIABILITY_1990: Mapping[float, float] = MappingProxyType(
    {0.90: 1.0, 0.95: 0.62, 0.96: 0.53, 0.97: 0.44, 0.98: 0.33, 0.99: 0.21}
)


@dataclass(frozen=True, slots=True)
class LifeModification:
    """aISO = 0.1 [1 - (offset - A/kappa^B)^outer (eC Cu/P)^inner]^power, by range of kappa."""

    offset: float
    outer: float
    inner: float
    power: float
    ranges: tuple[tuple[float, float, float], ...]  # up to kappa, A, B


RADIAL_ROLLER = LifeModification(
    1.5859,
    1.0,
    0.4,
    -9.185,
    ((0.4, 1.3993, 0.054381), (1.0, 1.2348, 0.19087), (4.0, 1.2348, 0.071739)),
)
RADIAL_BALL = LifeModification(
    2.5671,
    0.83,
    1 / 3,
    -9.3,
    ((0.4, 2.2649, 0.054381), (1.0, 1.9987, 0.19087), (4.0, 1.9987, 0.071739)),
)

# eC = a (1 - b / Dpw^(1/3)), a = c kappa^0.68 Dpw^0.55 <= 1; (c, b) by cleanliness.
OIL_BATH: Mapping[str, tuple[float, float]] = MappingProxyType(
    {
        "-/13/10": (0.0864, 0.5796),
        "-/15/12": (0.0288, 1.141),
        "-/17/14": (0.0133, 1.67),
        "-/19/16": (0.00864, 2.5164),
        "-/21/18": (0.00411, 3.8974),
    }
)
GREASE: Mapping[str, tuple[float, float]] = MappingProxyType(
    {
        "high cleanliness": (0.0864, 0.6796),
        "normal cleanliness": (0.0432, 1.141),
        "slight to typical contamination": (0.0177, 1.887),
        "severe contamination": (0.0115, 2.662),
        "very severe contamination": (0.00617, 4.06),
    }
)

# Radial ball bearings: Fa/C0 [-], e [-], Y [-] (X = 0.56). Shigley table 11-1, after ISO 281 with
# usual internal geometry; from memory, checked by the worked example beside it.
BALL_THRUST: tuple[tuple[float, float, float], ...] = (
    (0.014, 0.19, 2.30), (0.021, 0.21, 2.15), (0.028, 0.22, 1.99), (0.042, 0.24, 1.85),
    (0.056, 0.26, 1.71), (0.070, 0.27, 1.63), (0.084, 0.28, 1.55), (0.110, 0.30, 1.45),
    (0.17, 0.34, 1.31), (0.28, 0.38, 1.15), (0.42, 0.42, 1.04), (0.56, 0.44, 1.00),
)  # fmt: skip
BALL_RADIAL = 0.56
