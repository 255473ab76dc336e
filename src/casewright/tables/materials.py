"""Materials of the bench: expansion, elasticity, heat, and friction of press fits.

Typical values, each with what is known about it; the part's own data sheet and the maker's
manual come first. Expansion is the mean coefficient from 20 °C. The `cooling` column is the
mean coefficient from 20 °C down to a cold temperature: it is smaller, and the room-temperature
figure overrates a dipped shaft's contraction by about 9 % in dry ice and 30 % in nitrogen.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from casewright.errors import MissingError, RangeError

T20 = 293.15  # K; reference temperature of ISO 1
FREEZER = 255.15  # K; -18 °C
DRY_ICE = 194.65  # K; -78.5 °C
NITROGEN = 77.15  # K; -196 °C


@dataclass(frozen=True, slots=True)
class Material:
    """One material: typical values in SI, the span seen for the two that matter, and sources."""

    key: str
    name: str
    expansion: float  # 1/K, mean from 20 °C upwards
    modulus: float  # Pa
    poisson: float
    density: float  # kg/m3
    specific_heat: float  # J/(kg K)
    conductivity: float  # W/(m K)
    expansion_span: tuple[float, float]  # 1/K
    modulus_span: tuple[float, float]  # Pa
    cooling: tuple[tuple[float, float], ...]  # (K, mean 1/K from 20 °C down to it)
    expansion_known: str
    cooling_known: str
    known: str


@dataclass(frozen=True, slots=True)
class Friction:
    """Span of the coefficient of friction of a press fit."""

    low: float
    high: float
    pair: str
    known: str


_STEEL_COOLING = ((FREEZER, 11.2e-6), (DRY_ICE, 10.5e-6), (NITROGEN, 8.8e-6))
_TEXTBOOK = "read: materials textbook, table B.6"
_REST = "memory"

MATERIALS = {
    one.key: one
    for one in (
        Material(
            key="steel",
            name="carbon and low-alloy steel",
            expansion=11.7e-6,
            modulus=207e9,
            poisson=0.29,
            density=7850,
            specific_heat=470,
            conductivity=45,
            expansion_span=(11.0e-6, 12.3e-6),
            modulus_span=(205e9, 210e9),
            cooling=_STEEL_COOLING,
            expansion_known=_TEXTBOOK + " (1020 11.7, 1040 11.3, 4140 12.3); DIN 7190 has 11",
            cooling_known="recomputed from the a(T) table of a published bridge trunnion case",
            known=_REST,
        ),
        Material(
            key="bearing-steel",
            name="through-hardened bearing steel",
            expansion=12.5e-6,
            modulus=208e9,
            poisson=0.30,
            density=7800,
            specific_heat=460,
            conductivity=46,
            expansion_span=(11.5e-6, 12.5e-6),
            modulus_span=(205e9, 210e9),
            cooling=_STEEL_COOLING,
            expansion_known="read: needle bearing catalogue",
            cooling_known="own: carbon steel's cooling figures, which understate it if anything",
            known=_REST,
        ),
        Material(
            key="stainless",
            name="austenitic stainless steel",
            expansion=17.2e-6,
            modulus=196e9,
            poisson=0.29,
            density=8000,
            specific_heat=500,
            conductivity=15,
            expansion_span=(15.9e-6, 17.2e-6),
            modulus_span=(193e9, 200e9),
            cooling=((NITROGEN, 13e-6),),
            expansion_known=_TEXTBOOK + " (304 17.2, 316 15.9)",
            cooling_known="memory, 2 ways: contraction 293 to 77 K of 304 is 0.28 %",
            known=_REST,
        ),
        Material(
            key="stainless-shaft",
            name="hardenable stainless steel (440A, 17-7PH)",
            expansion=10.6e-6,
            modulus=200e9,
            poisson=0.29,
            density=7800,
            specific_heat=460,
            conductivity=20,
            expansion_span=(10.2e-6, 11.0e-6),
            modulus_span=(193e9, 204e9),
            cooling=(),
            expansion_known=_TEXTBOOK + " (440A 10.2, 17-7PH 11.0; the middle is taken)",
            cooling_known="not known here",
            known=_REST,
        ),
        Material(
            key="aluminium",
            name="aluminium-silicon casting alloy (356 type)",
            expansion=21.5e-6,
            modulus=72e9,
            poisson=0.33,
            density=2680,
            specific_heat=900,
            conductivity=150,
            expansion_span=(20.5e-6, 23e-6),
            modulus_span=(70e9, 75e9),
            cooling=((NITROGEN, 18e-6),),
            expansion_known=_TEXTBOOK + " (356.0 21.5)",
            cooling_known="memory, 2 ways: contraction 293 to 77 K of 6061 is 0.39 %",
            known="memory; read: a data page of 356.0-T6 (E 70, nu 0.33, c 900, k 150)",
        ),
        Material(
            key="bronze",
            name="tin bronze",
            expansion=18.0e-6,
            modulus=105e9,
            poisson=0.34,
            density=8800,
            specific_heat=380,
            conductivity=55,
            expansion_span=(16e-6, 18.5e-6),
            modulus_span=(100e9, 115e9),
            cooling=((NITROGEN, 14e-6),),
            expansion_known=_TEXTBOOK + " (C93200 18.0); DIN 7190 has 16",
            cooling_known=_REST,
            known=_REST,
        ),
        Material(
            key="brass",
            name="brass",
            expansion=20.2e-6,
            modulus=103e9,
            poisson=0.34,
            density=8500,
            specific_heat=380,
            conductivity=110,
            expansion_span=(18e-6, 20.5e-6),
            modulus_span=(100e9, 105e9),
            cooling=((NITROGEN, 16e-6),),
            expansion_known=_TEXTBOOK + " (C26000 19.9, C36000 20.5; the middle is taken)",
            cooling_known=_REST,
            known=_REST,
        ),
        Material(
            key="cast-iron",
            name="grey cast iron",
            expansion=11.4e-6,
            modulus=110e9,
            poisson=0.24,
            density=7200,
            specific_heat=500,
            conductivity=50,
            expansion_span=(10e-6, 11.4e-6),
            modulus_span=(90e9, 130e9),
            cooling=((NITROGEN, 8e-6),),
            expansion_known=_TEXTBOOK,
            cooling_known=_REST,
            known=_REST,
        ),
    )
}

FRICTION = {
    "steel/steel": Friction(0.07, 0.11, "pressed steel on steel", "memory: DIN 7190 table"),
    "steel/cast-iron": Friction(0.06, 0.12, "pressed steel on grey iron", "memory: DIN 7190 table"),
    "steel/aluminium": Friction(
        0.05, 0.07, "pressed steel on Al-Si casting", "memory: DIN 7190 table"
    ),
    "steel/steel shrunk": Friction(
        0.12, 0.20, "shrunk steel on steel, oiled to degreased", "read in a secondary text"
    ),
}

# Coefficient of expansion of a structural steel at a temperature: (K, 1/K), coldest first.
# Printed in degrees Fahrenheit and 1e-6 per degree Fahrenheit.
_STEEL_FAHRENHEIT = (
    (-340, 2.45),
    (-300, 3.07),
    (-280, 3.33),
    (-260, 3.58),
    (-180, 4.52),
    (-160, 4.72),
    (-100, 5.28),
    (-80, 5.43),
    (0, 6.00),
    (80, 6.47),
)
STEEL_EXPANSION_BY_TEMPERATURE = tuple(
    ((fahrenheit + 459.67) / 1.8, coefficient * 1.8e-6)
    for fahrenheit, coefficient in _STEEL_FAHRENHEIT
)

# 0.2 % yield of a cast Al-Si-Mg (0.5 Cu) T6 alloy after soaking at the temperature: (K, Pa).
HOT_CASTING_YIELD = (
    (293.15, 269e6),
    (423.15, 235e6),
    (473.15, 163e6),
    (523.15, 84e6),
    (573.15, 39e6),
)


def material(key: str) -> Material:
    """Typical values of one material of the table.

    Args:
        key: e.g. "steel", "aluminium", "bronze" [-].
    Returns:
        the material's record [SI, -].
    Valid: typical values only; use `dataclasses.replace` where the part's own are known.
    Raises: RangeError for a key that is not in the table.
    Source: TEXTBOOK-B6 for expansion; the record says how each other value is known.

    Example:
        >>> material("aluminium").expansion
        2.15e-05
    """
    if key not in MATERIALS:
        raise RangeError("material", key, "one of " + ", ".join(MATERIALS))
    return MATERIALS[key]


def press_friction(key: str) -> Friction:
    """Span of the coefficient of friction of a press fit, steel pressed on another material.

    Args:
        key: e.g. "steel/aluminium", "steel/steel shrunk" [-].
    Returns:
        low and high coefficient [-].
    Valid: dry to oiled, clean faces; low end is for oiled faces; always a range.
    Raises: MissingError for a pair without a tabled value.
    Source: DIN7190 friction table for longitudinal press fits (from memory).

    Example:
        >>> press_friction("steel/aluminium").high
        0.07
    """
    if key not in FRICTION:
        raise MissingError(
            "friction",
            "a range for " + key,
            "Tabled are " + ", ".join(FRICTION) + "; give low and high from your own source.",
        )
    return FRICTION[key]


def mean_expansion(one: Material, temperature: float) -> float:
    """Mean coefficient of expansion between 20 °C and a temperature.

    Args:
        one: the material [-].
        temperature: end of the interval [K].
    Returns:
        mean coefficient [1/K].
    Valid: 77 to 600 K; above 20 °C constant. Below, linear between the tabled cold means and
        the room-temperature figure.
    Raises: RangeError outside 77 to 600 K; MissingError when no cold figure is known.
    Source: TRUNNION a(T) table for steel; other cold means from memory, see the record.

    Example:
        >>> round(mean_expansion(material("steel"), 194.65) * 1e6, 2)
        10.5
    """
    if not NITROGEN - 1e-9 <= temperature <= 600:
        raise RangeError(
            "temperature", temperature, "77.15 to 600 K", "20 °C is 293.15 K; convert first."
        )
    if temperature >= T20:
        return one.expansion
    if not one.cooling:
        raise MissingError(
            "cooling expansion",
            f"a mean coefficient for {one.name} below 20 °C",
            "Use a material whose cold figure is tabled, or give your own.",
        )
    points = sorted([*one.cooling, (T20, one.expansion)])
    return float(np.interp(temperature, [p[0] for p in points], [p[1] for p in points]))


def hot_casting_yield(temperature: float) -> float:
    """Yield strength of a typical T6 casting while hot, linear between the tabled values.

    Args:
        temperature: temperature of the casting [K].
    Returns:
        0.2 % yield strength [Pa].
    Valid: 20 to 300 °C, a cast Al-Si-Mg alloy with 0.5 % copper after soaking; second best
        evidence, a guide to how fast a hot seat softens and no design value.
    Raises: RangeError outside 20 to 300 °C.
    Source: HOT-CASTING table of yield against temperature.

    Example:
        >>> round(hot_casting_yield(448.15) / 1e6)
        199
    """
    low, high = HOT_CASTING_YIELD[0][0], HOT_CASTING_YIELD[-1][0]
    if not low <= temperature <= high:
        raise RangeError("temperature", temperature, f"{low} to {high} K", "Convert °C to K.")
    temperatures, values = zip(*HOT_CASTING_YIELD, strict=True)
    return float(np.interp(temperature, temperatures, values))
