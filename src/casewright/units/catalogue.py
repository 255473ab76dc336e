"""The kinds of quantity that a bench meets, their units and the spellings that people type.

Conversion factors come from pint, asked once per unit and kept; pint is imported when the first
number is converted, so that `--help` doesn't pay for it.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cache
from typing import Any

from casewright.errors import InputError


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit as shown, its name for pint, the decimals shown, and the spellings understood."""

    sign: str
    pint_name: str
    decimals: int
    spellings: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Dimension:
    """A kind of quantity: name, the SI unit that floats inside are in, units people use."""

    name: str
    si: str
    units: tuple[Unit, ...]
    can_be_negative: bool = False
    ambiguous: dict[str, str] = field(default_factory=dict)

    @property
    def signs(self) -> tuple[str, ...]:
        """The unit signs, for buttons and messages."""
        return tuple(unit.sign for unit in self.units)

    def unit(self, spelling: str) -> Unit | None:
        """The unit that a spelling means here, or None."""
        return _spellings(self.name).get(_plain(spelling))


_MIL = {"mil": "thou or mm", "mils": "thou or mm"}
_TON = {"ton": "tf (metric) or kN", "tons": "tf (metric) or kN", "t": "tf (metric) or kN"}

DIMENSIONS: dict[str, Dimension] = {
    item.name: item
    for item in (
        Dimension(
            "length",
            "m",
            (
                Unit("mm", "millimeter", 3, ("millimetre", "millimetres", "millimeter")),
                Unit("in", "inch", 4, ('"', "″", "inch", "inches", "''")),
                Unit("thou", "thou", 1, ("thousandth", "thousandths")),
                Unit("µm", "micrometer", 1, ("um", "micron", "microns", "μm")),
                Unit("cm", "centimeter", 3, ("centimetre",)),
                Unit("m", "meter", 4, ("metre", "metres")),
                Unit("ft", "foot", 3, ("'", "′", "feet", "foot")),
            ),
            can_be_negative=True,
            ambiguous=_MIL,
        ),
        Dimension(
            "torque",
            "N*m",
            (
                Unit("N·m", "newton * meter", 2, ("nm", "n-m", "n.m", "nxm", "newton metre")),
                Unit(
                    "ft·lb",
                    "foot * force_pound",
                    2,
                    ("ftlb", "ft-lb", "lb·ft", "lbft", "lb-ft", "lbf·ft", "lbfft", "ft·lbf"),
                ),
                Unit(
                    "in·lb", "inch * force_pound", 1, ("inlb", "in-lb", "lb·in", "lbin", "lbf·in")
                ),
                Unit("kgf·m", "kilogram_force * meter", 3, ("kgm", "kg·m", "kgfm", "kg-m")),
            ),
        ),
        Dimension(
            "pressure",
            "Pa",
            (
                Unit("kPa", "kilopascal", 2),
                Unit("bar", "bar", 4),
                Unit("psi", "psi", 3, ("lb/in2", "psig")),
                Unit("mbar", "millibar", 1, ("hpa",)),
                Unit("Pa", "pascal", 0),
                Unit("MPa", "megapascal", 4),
                Unit("inHg", "inch_Hg_60F", 2, ('"hg', "in·hg")),
                Unit("mmHg", "mmHg", 1, ("torr",)),
            ),
            can_be_negative=True,
        ),
        Dimension(
            "temperature",
            "K",
            (
                Unit("°C", "degC", 1, ("c", "degc", "celsius", "deg c", "º c", "ºc")),
                Unit("°F", "degF", 1, ("f", "degf", "fahrenheit", "deg f", "ºf")),
                Unit("K", "kelvin", 2, ("kelvin",)),
            ),
            can_be_negative=True,
        ),
        Dimension(
            "force",
            "N",
            (
                Unit("N", "newton", 1, ("newton", "newtons")),
                Unit("kN", "kilonewton", 4),
                Unit("lbf", "force_pound", 1, ("lb", "lbs", "pound", "pounds")),
                Unit("kgf", "kilogram_force", 2, ("kg", "kp")),
                Unit("tf", "metric_ton * standard_gravity", 3, ("tonne", "tonnes")),
            ),
            ambiguous=_TON,
        ),
        Dimension(
            "mass",
            "kg",
            (
                Unit("kg", "kilogram", 3, ("kilo", "kilos")),
                Unit("g", "gram", 1, ("gram", "grams")),
                Unit("lb", "pound", 3, ("lbs", "pound", "pounds")),
                Unit("oz", "ounce", 2),
            ),
        ),
        Dimension(
            "volume",
            "m**3",
            (
                Unit("L", "liter", 3, ("litre", "litres", "liter", "ltr")),
                Unit("ml", "milliliter", 1, ("cc", "cm3", "cm³", "millilitre")),
                Unit("US qt", "quart", 3, ("usqt", "us quart")),
                Unit("US fl oz", "fluid_ounce", 2, ("usfloz",)),
                Unit("m³", "meter ** 3", 6, ("m3",)),
            ),
            ambiguous={
                "qt": "L or US qt",
                "quart": "L or US qt",
                "floz": "ml or US fl oz",
                "oz": "ml or US fl oz",
                "pint": "L",
                "gal": "L",
            },
        ),
        Dimension(
            "time",
            "s",
            (
                Unit("min", "minute", 2, ("mins", "minute", "minutes", "m")),
                Unit("h", "hour", 3, ("hr", "hrs", "hour", "hours")),
                Unit("s", "second", 1, ("sec", "secs", "second", "seconds")),
                Unit("d", "day", 2, ("day", "days")),
            ),
        ),
        Dimension(
            "angle",
            "rad",
            (
                Unit("°", "degree", 3, ("deg", "degree", "degrees")),
                Unit("rad", "radian", 5),
                Unit("arcmin", "arcminute", 2, ("min", "'", "′")),
            ),
            can_be_negative=True,
        ),
        Dimension("potential", "V", (Unit("mV", "millivolt", 0), Unit("V", "volt", 3)), True),
        Dimension("resistance", "ohm", (Unit("Ω", "ohm", 3, ("ohm", "ohms", "ω")),)),
        Dimension(
            "flow",
            "m**3/s",
            (
                Unit("L/min", "liter / minute", 2, ("lpm",)),
                Unit("ml/min", "milliliter / minute", 1, ("cc/min", "cm3/min", "ccm")),
            ),
        ),
        Dimension("speed", "rad/s", (Unit("rpm", "revolution / minute", 0, ("1/min", "r/min")),)),
        Dimension(
            "count", "", (Unit("×", "dimensionless", 0, ("", "pcs", "pc", "x", "teeth", "turns")),)
        ),
        Dimension(
            "ratio", "", (Unit("%", "percent", 1, ("percent",)), Unit("ppm", "1e-6", 0)), True
        ),
    )
}


def _plain(spelling: str) -> str:
    """Spelling without case, blanks or dots between units."""
    text = spelling.strip().lower().replace(" ", "")
    return text.replace("·", "").replace("*", "").replace("⋅", "")


@cache
def _spellings(dimension: str) -> dict[str, Unit]:
    """Every spelling of a dimension's units, the first unit winning a clash."""
    known: dict[str, Unit] = {}
    for unit in DIMENSIONS[dimension].units:
        for spelling in (unit.sign, *unit.spellings):
            known.setdefault(_plain(spelling), unit)
    return known


def dimension_named(name: str) -> Dimension:
    """The dimension of that name, or an error that lists them."""
    try:
        return DIMENSIONS[name]
    except KeyError:
        raise InputError("kind of quantity", name, f"one of {', '.join(DIMENSIONS)}") from None


def unit_named(dimension: str, sign: str) -> Unit:
    """The unit of that sign or spelling, or an error that lists what there is."""
    found = dimension_named(dimension).unit(sign)
    if found is None:
        raise InputError(
            f"unit of {dimension}", sign, f"one of {', '.join(DIMENSIONS[dimension].signs)}"
        )
    return found


@cache
def _registry() -> Any:
    import pint

    return pint.UnitRegistry(autoconvert_offset_to_baseunit=True)


@cache
def scale(pint_name: str, si: str) -> tuple[float, float]:
    """Factor and offset so that SI = factor * value + offset."""
    if not si:
        return ({"percent": 0.01, "1e-6": 1e-6}.get(pint_name, 1.0), 0.0)
    registry = _registry()
    if si == "K":
        zero, ten = (registry.Quantity(v, pint_name).to("K").magnitude for v in (0.0, 100.0))
        return ((ten - zero) / 100, zero)
    return (
        registry.Quantity(1.0, registry.parse_expression(pint_name).units).to(si).magnitude,
        0.0,
    )
