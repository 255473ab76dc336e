"""Textbook rating of straight bevel gears: a sanity check of a proposed used gear.

Bending and wear after the textbook form of the AGMA bevel method (US units inside, SI at the
door). An estimate on invented quality and load assumptions; the maker's limits rule.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from casewright.errors import RangeError
from casewright.working import Term, Working

INCH, POUND, FOOT_PER_MINUTE = 0.0254, 4.4482216152605, 0.00508
PSI = POUND / INCH**2
Mounting = Literal["both straddle", "one straddle", "none straddle"]
MOUNTING = {"both straddle": 1.00, "one straddle": 1.10, "none straddle": 1.25}
ELASTIC_STEEL = 2290.0  # sqrt(psi), steel on steel


@dataclass(frozen=True, slots=True)
class RatingFactors:
    """Dimensionless factors between the load and the stress."""

    quality_exponent: float  # B
    quality_term: float  # A, sqrt(ft/min)
    dynamic: float  # Kv
    size: float  # Ks
    distribution: float  # Km
    bending_cycles: float  # KL
    wear_cycles: float  # CL
    reliability: float  # KR


@dataclass(frozen=True, slots=True)
class Rating:
    """Allowed tangential load at the heel [N] and power [W], with the factors."""

    load: float
    power: float
    pitch_speed: float
    allowed_stress: float
    factors: RatingFactors
    working: Working


def dynamic_factor(quality: float, pitch_speed: float) -> tuple[float, float, float]:
    """Dynamic factor; Kv = ((A + sqrt v)/A)^B, B = 0.25 (12 - Qv)^(2/3), A = 50 + 56 (1 - B).

    Args:
        quality: transmission accuracy number Qv, 5 to 11 [-].
        pitch_speed: pitch line speed [m/s].
    Returns:
        Kv [-], A [sqrt(ft/min)], B [-].
    Valid: Qv 5 to 11; speed up to (A + Qv - 3)² ft/min.
    Raises: RangeError outside that.
    Source: SHIGLEY ch. 15
    """
    if not 5 <= quality <= 11:
        raise RangeError("quality number", quality, "5 to 11")
    exponent = 0.25 * (12 - quality) ** (2 / 3)
    term = 50 + 56 * (1 - exponent)
    feet = pitch_speed / FOOT_PER_MINUTE
    if not 0 <= feet <= (term + quality - 3) ** 2:
        raise RangeError("pitch line speed", pitch_speed, "a speed that this quality allows")
    return float(((term + math.sqrt(feet)) / term) ** exponent), term, exponent


def bending_cycle_factor(cycles: float) -> float:
    """Stress cycle factor for bending; KL = 1.6831 N^-0.0323.

    Args:
        cycles: load cycles N [-].
    Returns:
        KL [-].
    Valid: 3e6 to 1e10 cycles, general use.
    Raises: RangeError outside that.
    Source: SHIGLEY ch. 15
    """
    if not 3e6 <= cycles <= 1e10:
        raise RangeError("cycles", cycles, "3 million to 10 thousand million")
    return float(1.6831 * cycles**-0.0323)


def wear_cycle_factor(cycles: float) -> float:
    """Stress cycle factor for wear; CL = 3.4822 N^-0.0602.

    Args:
        cycles: load cycles N [-].
    Returns:
        CL [-].
    Valid: 1e4 to 1e10 cycles.
    Raises: RangeError outside that.
    Source: SHIGLEY ch. 15
    """
    if not 1e4 <= cycles <= 1e10:
        raise RangeError("cycles", cycles, "10 thousand to 10 thousand million")
    return float(3.4822 * cycles**-0.0602)


def rating_reliability(reliability: float) -> float:
    """Reliability factor; KR = 0.50 - 0.25 log10(1 - R).

    Args:
        reliability: R [-].
    Returns:
        KR [-]; for wear its square root.
    Valid: 0.99 to 0.999.
    Raises: RangeError outside that.
    Source: SHIGLEY ch. 15
    """
    if not 0.99 <= reliability <= 0.999:
        raise RangeError("reliability", reliability, "0.99 to 0.999")
    return 0.50 - 0.25 * math.log10(1 - reliability)


def rating_factors(
    module: float,
    face_width: float,
    quality: float,
    pitch_speed: float,
    cycles: float,
    reliability: float,
    mounting: Mounting,
) -> RatingFactors:
    """All factors of one member; Ks = 0.4867 + 0.2132/Pd, Km = Kmb + 0.0036 F².

    Args:
        module: outer transverse module [m].
        face_width: face width [m].
        quality: Qv [-].
        pitch_speed: pitch line speed at the heel [m/s].
        cycles: load cycles of this member [-].
        reliability: R [-].
        mounting: which members run between two bearings [-].
    Returns:
        RatingFactors [-].
    Valid: Pd 0.5 to 16 per inch, steel.
    Raises: RangeError outside the factors' ranges.
    Source: SHIGLEY ch. 15
    """
    pitch = INCH / module
    if not 0.5 <= pitch <= 16:
        raise RangeError("module", module, "1.6 to 50 mm (diametral pitch 0.5 to 16)")
    dynamic, term, exponent = dynamic_factor(quality, pitch_speed)
    return RatingFactors(
        quality_exponent=exponent,
        quality_term=term,
        dynamic=dynamic,
        size=0.4867 + 0.2132 / pitch,
        distribution=MOUNTING[mounting] + 0.0036 * (face_width / INCH) ** 2,
        bending_cycles=bending_cycle_factor(cycles),
        wear_cycles=wear_cycle_factor(cycles),
        reliability=rating_reliability(reliability),
    )


@dataclass(frozen=True, slots=True)
class RatedPair:
    """What a rating asks of the pair: lengths [m], speed [rad/s], the rest [-]."""

    pinion_teeth: int
    gear_teeth: int
    module: float
    face_width: float
    pinion_speed: float
    hardness: float
    quality: float = 6.0
    pinion_cycles: float = 1e9
    reliability: float = 0.999
    mounting: Mounting = "one straddle"
    overload: float = 1.0
    safety: float = 1.0


def bending_rating(pair: RatedPair, geometry_factor: float, *, gear: bool = False) -> Rating:
    """Load by bending; Wt = sat KL F Kx J / (SF KT KR Pd Ko Kv Ks Km), sat = 44 HB + 2100 psi.

    Args:
        pair: the pair [m, rad/s, -].
        geometry_factor: bending geometry factor J of this member [-].
        gear: rate the gear instead of the pinion [-].
    Returns:
        Rating: load [N], power [W], stress [Pa].
    Valid: through-hardened grade 1 steel, straight teeth (Kx = 1), cool (KT = 1).
    Raises: RangeError outside the factors' ranges.
    Source: SHIGLEY ch. 15, problem 15-1
    """
    speed, factors = _state(pair, gear)
    stress = (44 * pair.hardness + 2100) * PSI
    below = pair.safety * factors.reliability * pair.overload * factors.dynamic
    below *= factors.size * factors.distribution
    load = stress * factors.bending_cycles * pair.face_width * pair.module * geometry_factor / below
    return _rating("bending", load, speed, stress, factors)


def wear_rating(pair: RatedPair, geometry_factor: float, crowned: bool, *, gear: bool) -> Rating:
    """Load by wear; Wt = (sac CL / (SH CR Cp))² F dp I / (Ko Kv Km Cs Cxc), CR = sqrt(KR).

    Args:
        pair: the pair [m, rad/s, -].
        geometry_factor: contact geometry factor I [-].
        crowned: teeth are crowned (Cxc 1.5) or not (2.0) [-].
        gear: the gear's cycles instead of the pinion's [-].
    Returns:
        Rating: load [N], power [W], stress [Pa].
    Valid: through-hardened grade 1 steel, equal hardness (CH = 1), cool.
    Raises: RangeError outside the factors' ranges.
    Source: SHIGLEY ch. 15
    """
    speed, factors = _state(pair, gear)
    stress = (341 * pair.hardness + 23620) * PSI
    inches = pair.face_width / INCH
    crowning, size = (1.5 if crowned else 2.0), 0.125 * inches + 0.4375
    ratio = stress / PSI * factors.wear_cycles
    ratio /= math.sqrt(pair.safety) * math.sqrt(factors.reliability) * ELASTIC_STEEL
    diameter = pair.module * pair.pinion_teeth / INCH
    load = ratio**2 * inches * diameter * geometry_factor
    load /= pair.overload * factors.dynamic * factors.distribution * size * crowning
    return _rating("wear", load * POUND, speed, stress, factors)


def _state(pair: RatedPair, gear: bool) -> tuple[float, RatingFactors]:
    if not 180 <= pair.hardness <= 400:
        raise RangeError("hardness", pair.hardness, "180 to 400 HB, through-hardened steel")
    speed = 0.5 * pair.module * pair.pinion_teeth * pair.pinion_speed
    cycles = pair.pinion_cycles * (pair.pinion_teeth / pair.gear_teeth if gear else 1.0)
    return speed, rating_factors(
        pair.module,
        pair.face_width,
        pair.quality,
        speed,
        cycles,
        pair.reliability,
        pair.mounting,
    )


def _rating(what: str, load: float, speed: float, stress: float, factors: RatingFactors) -> Rating:
    working = Working(
        method=f"{what} rating of a bevel gear",
        formula="allowed stress times cycle and geometry factors over the load factors",
        inputs=(Term("pitch line speed", speed, "m/s"), Term("allowed stress", stress, "Pa")),
        outputs=(Term("tangential load", load, "N"), Term("power", load * speed, "W")),
        source="textbook form of the AGMA bevel method",
        steps=(
            Term("dynamic factor", factors.dynamic, symbol="Kv"),
            Term("size factor", factors.size, symbol="Ks"),
            Term("load distribution factor", factors.distribution, symbol="Km"),
            Term("reliability factor", factors.reliability, symbol="KR"),
        ),
        notes=("A sanity check of a used gear; the maker's limits rule.",),
        estimate=True,
    )
    return Rating(load, load * speed, speed, stress, factors, working)
