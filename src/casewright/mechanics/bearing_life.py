"""Life of rolling bearings: basic, and modified for reliability, lubrication and dirt.

Estimates for a sanity check and a comparison; the maker's limits rule.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from casewright.errors import RangeError
from casewright.tables.bearing_life import (
    GREASE,
    OIL_BATH,
    RADIAL_BALL,
    RADIAL_ROLLER,
    RELIABILITY,
)
from casewright.working import Term, Working

Kind = Literal["ball", "roller"]
LIFE_EXPONENT = {"ball": 3.0, "roller": 10.0 / 3.0}
FATIGUE_SHARE = {"ball": 22.0, "roller": 8.2}  # C0/Cu, simplified, up to Dpw 100 mm
MODIFICATION_CAP = 50.0
NO_LOAD = 1e-12  # of the load rating: counted as never failing
VISCOSITY_RATIO_CAP = 4.0


@dataclass(frozen=True, slots=True)
class Life:
    """Life in revolutions [-] and, with a speed, in seconds [s]; the factors between [-]."""

    revolutions: float
    seconds: float | None
    basic_revolutions: float
    reliability_factor: float
    modification_factor: float
    working: Working


def basic_life(capacity: float, load: float, kind: Kind) -> float:
    """Basic rating life; L10 = 1e6 (C/P)^p, p = 3 ball, 10/3 roller.

    Args:
        capacity: basic dynamic load rating C [N].
        load: equivalent dynamic load P [N].
        kind: ball or roller [-].
    Returns:
        life that nine in ten reach, revolutions [-].
    Valid: P up to half of C.
    Raises: RangeError for loads that aren't positive.
    Source: ISO-281 clause 5
    """
    if not (capacity > 0 and load > 0):
        raise RangeError("bearing load", load, "positive load and load rating")
    if load < NO_LOAD * capacity:
        return math.inf
    return 1e6 * float((capacity / load) ** LIFE_EXPONENT[kind])


def capacity_needed(life: float, speed: float, load: float, kind: Kind) -> float:
    """Load rating for a wanted life; C = P (life speed / 2 pi / 1e6)^(1/p).

    Args:
        life: wanted running time [s].
        speed: angular speed [rad/s].
        load: equivalent load [N].
        kind: ball or roller [-].
    Returns:
        basic dynamic load rating [N].
    Valid: reliability 90 %.
    Raises: RangeError for values that aren't positive.
    Source: ISO-281 clause 5
    """
    if not min(life, speed, load) > 0:
        raise RangeError("life, speed and load", (life, speed, load), "positive values")
    millions = life * speed / (2 * math.pi) / 1e6
    return load * float(millions ** (1 / LIFE_EXPONENT[kind]))


def reliability_factor(reliability: float) -> float:
    """Life factor a1; 0.95 (ln(1/S) / ln(1/0.9))^(2/3) + 0.05.

    Args:
        reliability: share that survives [-].
    Returns:
        a1 [-], as printed where the table has it, else by the formula.
    Valid: 0.9 to 0.9995, the 2007 edition (the 1990 values are lower).
    Raises: RangeError outside that.
    Source: ISO-281 Table 12 and its formula
    """
    if not 0.9 <= reliability <= 0.9995:
        raise RangeError("reliability", reliability, "0.90 to 0.9995")
    for printed, factor in RELIABILITY.items():
        if math.isclose(reliability, printed, abs_tol=1e-9):
            return factor
    return reliability_formula(reliability)


def reliability_formula(reliability: float) -> float:
    """Life factor a1 by its formula; 0.95 (ln(1/S) / ln(1/0.9))^(2/3) + 0.05.

    Args:
        reliability: share that survives [-].
    Returns:
        a1, not rounded [-].
    Valid: 0.9 to 0.9995.
    Raises: nothing.
    Source: ISO-281 Table 12 (three-parameter Weibull behind it)
    """
    ratio = math.log(1 / reliability) / math.log(1 / 0.9)
    return 0.95 * float(ratio ** (2 / 3)) + 0.05


def capacity_at_reliability(
    life_ratio: float,
    load: float,
    reliability: float,
    guaranteed: float = 0.02,
    characteristic: float = 4.459,
    shape: float = 1.483,
    exponent: float = 3.0,
) -> float:
    """Load rating by a Weibull life; C = F (xD / (x0 + (th - x0) ln(1/R)^(1/b)))^(1/a).

    Args:
        life_ratio: wanted life over rating life xD [-].
        load: radial load F [N].
        reliability: wanted reliability R [-].
        guaranteed: guaranteed life ratio x0 [-].
        characteristic: characteristic life ratio theta [-].
        shape: Weibull shape b [-].
        exponent: load-life exponent a [-].
    Returns:
        load rating C10 [N].
    Valid: three-parameter Weibull life.
    Raises: RangeError for a reliability outside 0 to 1.
    Source: SHIGLEY ch. 11 bearing survival
    """
    if not 0 < reliability < 1:
        raise RangeError("reliability", reliability, "between 0 and 1")
    scatter = math.log(1 / reliability) ** (1 / shape)
    ratio = life_ratio / (guaranteed + (characteristic - guaranteed) * scatter)
    return load * float(ratio ** (1 / exponent))


def reliability_of_capacity(
    life_ratio: float,
    load: float,
    capacity: float,
    guaranteed: float = 0.02,
    characteristic: float = 4.459,
    shape: float = 1.483,
    exponent: float = 3.0,
) -> float:
    """Reliability with a chosen bearing; R = exp(-((xD (F/C)^a - x0) / (th - x0))^b).

    Args:
        life_ratio: wanted life over rating life xD [-].
        load: radial load F [N].
        capacity: load rating C10 [N].
        guaranteed: guaranteed life ratio x0 [-].
        characteristic: characteristic life ratio theta [-].
        shape: Weibull shape b [-].
        exponent: load-life exponent a [-].
    Returns:
        reliability [-].
    Valid: three-parameter Weibull life; 1 below the guaranteed life.
    Raises: nothing.
    Source: SHIGLEY ch. 11 bearing survival
    """
    used = life_ratio * (load / capacity) ** exponent - guaranteed
    return math.exp(-(max(used / (characteristic - guaranteed), 0.0) ** shape))


def reference_viscosity(speed: float, pitch_diameter: float) -> float:
    """Viscosity needed; 45000 n^-0.83 Dpw^-0.5 below 1000 rpm, 4500 n^-0.5 Dpw^-0.5 above.

    Args:
        speed: angular speed [rad/s].
        pitch_diameter: pitch diameter of the rolling elements [m].
    Returns:
        reference kinematic viscosity [m²/s].
    Valid: mineral oil; the standard itself steps 2.3 % at 1000 rpm.
    Raises: RangeError for values that aren't positive.
    Source: ISO-281 clause 9.3.3.4
    """
    if not min(speed, pitch_diameter) > 0:
        raise RangeError("speed and pitch diameter", (speed, pitch_diameter), "positive values")
    turns, millimetres = speed * 30 / math.pi, 1e3 * pitch_diameter
    needed = 45000 * turns**-0.83 if turns < 1000 else 4500 * turns**-0.5
    return 1e-6 * float(needed / math.sqrt(millimetres))


def contamination_factor(
    viscosity_ratio: float, pitch_diameter: float, cleanliness: str, *, grease: bool = False
) -> float:
    """Contamination factor; eC = a (1 - b / Dpw^(1/3)), a = c kappa^0.68 Dpw^0.55 <= 1.

    Args:
        viscosity_ratio: kappa [-].
        pitch_diameter: pitch diameter of the rolling elements [m].
        cleanliness: oil code ("-/17/14") or a grease class [-].
        grease: grease instead of an oil bath without filter [-].
    Returns:
        eC, 0 to 1 [-].
    Valid: constants from memory; water in oil isn't in it.
    Raises: RangeError for an unknown cleanliness.
    Source: ISO-281 Annex A
    """
    table = GREASE if grease else OIL_BATH
    if cleanliness not in table:
        raise RangeError("cleanliness", cleanliness, "one of " + ", ".join(table))
    c, b = table[cleanliness]
    millimetres = 1e3 * pitch_diameter
    kappa = min(viscosity_ratio, VISCOSITY_RATIO_CAP)
    a = min(c * kappa**0.68 * millimetres**0.55, 1.0)
    return float(max(a * (1 - b / millimetres ** (1 / 3)), 0.0))


def life_modification(viscosity_ratio: float, clean_load_ratio: float, kind: Kind) -> float:
    """Life modification factor aISO for radial bearings.

    Args:
        viscosity_ratio: kappa = viscosity / reference viscosity [-].
        clean_load_ratio: eC Cu / P [-].
        kind: ball or roller [-].
    Returns:
        aISO, 0.1 to 50 [-].
    Valid: kappa from 0.1; above 4 it counts as 4.
    Raises: RangeError for kappa under 0.1 or a negative ratio.
    Source: ISO-281 clause 9.3.3, formulas for radial ball and roller bearings
    """
    if not viscosity_ratio >= 0.1:
        raise RangeError("viscosity ratio", viscosity_ratio, "at least 0.1")
    if not clean_load_ratio >= 0:
        raise RangeError("eC Cu / P", clean_load_ratio, "zero or more")
    constants = RADIAL_BALL if kind == "ball" else RADIAL_ROLLER
    kappa = min(viscosity_ratio, VISCOSITY_RATIO_CAP)
    a, b = next((a, b) for upper, a, b in constants.ranges if kappa < upper or upper == 4.0)
    film = max(constants.offset - a / kappa**b, 0.0) ** constants.outer
    left = 1 - film * clean_load_ratio**constants.inner
    if left <= 0:
        return MODIFICATION_CAP
    return float(min(0.1 * left**constants.power, MODIFICATION_CAP))


def fatigue_load_limit(static_capacity: float, kind: Kind) -> float:
    """Fatigue load limit, simplified; Cu = C0 / 8.2 roller, C0 / 22 ball.

    Args:
        static_capacity: basic static load rating C0 [N].
        kind: ball or roller [-].
    Returns:
        Cu [N].
    Valid: pitch diameter up to 100 mm.
    Raises: nothing.
    Source: ISO-281 Annex B, simplified
    """
    return static_capacity / FATIGUE_SHARE[kind]


def modified_life(
    capacity: float,
    static_capacity: float,
    load: float,
    kind: Kind,
    *,
    speed: float,
    pitch_diameter: float,
    viscosity: float,
    cleanliness: str = "-/17/14",
    grease: bool = False,
    reliability: float = 0.9,
) -> Life:
    """Modified rating life; Lnm = a1 aISO L10.

    Args:
        capacity: dynamic load rating C [N].
        static_capacity: static load rating C0 [N].
        load: equivalent dynamic load P [N].
        kind: ball or roller [-].
        speed: angular speed [rad/s].
        pitch_diameter: pitch diameter of the rolling elements [m].
        viscosity: kinematic viscosity at the working temperature [m²/s].
        cleanliness: oil code or grease class [-].
        grease: grease instead of oil [-].
        reliability: share that survives [-].
    Returns:
        Life: revolutions [-], seconds [s], factors [-].
    Valid: an estimate; water in oil shortens life far more than the factors show.
    Raises: RangeError for inputs outside the standard.
    Source: ISO-281 clause 9
    """
    basic = basic_life(capacity, load, kind)
    kappa = viscosity / reference_viscosity(speed, pitch_diameter)
    dirt = contamination_factor(kappa, pitch_diameter, cleanliness, grease=grease)
    ratio = dirt * fatigue_load_limit(static_capacity, kind) / load
    a1, a_iso = reliability_factor(reliability), life_modification(kappa, ratio, kind)
    turns = a1 * a_iso * basic
    seconds = turns * 2 * math.pi / speed
    working = Working(
        method="modified bearing life",
        formula="Lnm = a1 aISO (C/P)^p",
        inputs=(Term("load rating", capacity, "N"), Term("equivalent load", load, "N")),
        outputs=(Term("life", seconds, "s"), Term("revolutions", turns)),
        source="ISO 281:2007 clause 9",
        steps=(
            Term("viscosity ratio", kappa, symbol="kappa"),
            Term("contamination factor", dirt, symbol="eC"),
            Term("reliability factor", a1, symbol="a1"),
            Term("life modification factor", a_iso, symbol="aISO"),
        ),
        notes=("Water in the oil isn't in these factors.", "The maker's limits rule."),
        estimate=True,
    )
    return Life(turns, seconds, basic, a1, a_iso, working)
