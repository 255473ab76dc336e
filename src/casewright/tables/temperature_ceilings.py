"""How hot a part may get, how cold a coolant is, and the cautions that go with both.

Typical values, each with its source; the maker's manual rules, and a sheet's own ceiling
replaces the one here. A `Ceiling` has one temperature for any time and, where a source gives
pairs, higher temperatures for a limited time.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from casewright.errors import RangeError

HOUR = 3600.0


@dataclass(frozen=True, slots=True)
class Ceiling:
    """Highest temperature of a part: `lasting` [K] for any time, `steps` (s, K) for less."""

    key: str
    part: str
    lasting: float
    known: str
    steps: tuple[tuple[float, float], ...] = ()
    note: str = ""


@dataclass(frozen=True, slots=True)
class Release:
    """A compound that lets go only when hot: from `low` [K] upwards, surely at `high`."""

    key: str
    name: str
    low: float
    high: float
    known: str


@dataclass(frozen=True, slots=True)
class Coolant:
    """A cold bath for a shaft or a loose ring, with the cautions that belong beside it."""

    key: str
    name: str
    temperature: float
    known: str
    cautions: tuple[str, ...]


STANDING = "Maker's manual, local codes and licensed practice come first."
CAUTIONS = {
    "standing": STANDING,
    "hot-part": "Hot parts look like cold ones: gloves, eye protection, a marked place for them.",
    "probe": "Measure the part itself, inside and outside: a bore at 110 °C with the outside at "
    "60 °C has been seen.",
    "oil-residue": "Oil and grease residue smokes and can catch fire when heated: clean and dry "
    "the part first, drain the housing, no closed cavity, extinguisher at hand.",
    "hydrogen-fluoride": "Burnt or charred FKM seals give off hydrogen fluoride: never heat them "
    "over 300 °C, never touch the residue with bare skin.",
    "penetrant": "Penetrant, solvent and brake cleaner off and aired out before any flame or gun.",
    "frost": "Cold parts burn skin at a touch: insulated gloves, face shield, dry hands.",
    "asphyxiation": "Boiling coolant displaces air: open or ventilated place, never alone, never "
    "in a pit, cabin or car.",
    "no-closed-vessel": "Never close a vessel with dry ice or liquid nitrogen in it.",
    "no-dipping": "Assembled ball bearings and ordinary seals are not to be dipped.",
    "rust": "Water condenses on a chilled ring at once: dry it and oil it as soon as it is home.",
    "hot-seat": "A hot aluminium seat yields easily: let the ring drop in by its own weight, never "
    "press or hammer it into a hot casting.",
    "press": "Stand clear of the line of a press or puller; guard it; parts and tools can fly.",
}


def _celsius(value: float) -> float:
    """Celsius to kelvin, for the table below."""
    return value + 273.15


_SEAL_GUIDE = "read: a seal material temperature guide"
_HUB = "memory: DIN 7190 table of joining temperatures"
CEILINGS = {
    one.key: one
    for one in (
        Ceiling(
            "t6-casting",
            "aluminium casting, T6 temper",
            _celsius(149),
            "read: ageing range of the 356 type 149 to 204 °C and service ceiling 170 °C; the "
            "one-hour step is own: far below what a wrought T6 stands",
            ((HOUR, _celsius(170)),),
            "time and temperature together: 6061-T6 stands 199 °C for 16 h and 218 °C for 4 h",
        ),
        Ceiling(
            "t51-casting",
            "aluminium casting, T51 or T7 temper",
            _celsius(170),
            "own: T6 service ceiling kept; read: aged 7 to 9 h at 204 °C, so less sensitive",
        ),
        Ceiling(
            "die-casting",
            "high-pressure die casting, F temper",
            _celsius(200),
            "memory: blisters possible above about 200 to 250 °C",
        ),
        Ceiling(
            "bearing",
            "standard rolling bearing, metal cage, no seal",
            _celsius(93),
            "read: a bearing maker's temperature guideline",
            ((24 * HOUR, _celsius(93)), (8 * HOUR, _celsius(121))),
        ),
        Ceiling(
            "precision-bearing",
            "precision bearing",
            _celsius(66),
            "read: a bearing maker's temperature guideline",
        ),
        Ceiling("ring-sn", "bearing ring, stabilised SN", _celsius(120), "read: a bearing page"),
        Ceiling("ring-s0", "bearing ring, stabilised S0", _celsius(150), "read: a bearing page"),
        Ceiling("ring-s1", "bearing ring, stabilised S1", _celsius(200), "read: a bearing page"),
        Ceiling("ring-s2", "bearing ring, stabilised S2", _celsius(250), "read: a bearing page"),
        Ceiling("ring-s3", "bearing ring, stabilised S3", _celsius(300), "read: a bearing page"),
        Ceiling(
            "sealed-bearing",
            "sealed or greased bearing",
            _celsius(80),
            "memory",
            (),
            "at most 100 °C for a short time",
        ),
        Ceiling(
            "nbr",
            "NBR seal left in place",
            _celsius(100),
            "memory: class of a shaft seal in oil; " + _SEAL_GUIDE + " has 120, short 140",
        ),
        Ceiling("hnbr", "HNBR seal left in place", _celsius(150), _SEAL_GUIDE, (), "short 170 °C"),
        Ceiling("acm", "ACM seal left in place", _celsius(150), _SEAL_GUIDE, (), "short 175 °C"),
        Ceiling(
            "fkm",
            "FKM seal left in place",
            _celsius(200),
            _SEAL_GUIDE,
            (),
            CAUTIONS["hydrogen-fluoride"],
        ),
        Ceiling("vmq", "VMQ seal left in place", _celsius(200), _SEAL_GUIDE, (), "short 230 °C"),
        Ceiling(
            "anaerobic",
            "anaerobic compound that must go on holding",
            _celsius(150),
            "read: a maker's questions page; special grades to about 210 °C",
        ),
        Ceiling("paint", "stove or powder paint kept", _celsius(150), "memory: 150 to 180 short"),
        Ceiling("soft-steel", "hub of low-strength, cast or nodular iron", _celsius(350), _HUB),
        Ceiling("tempered-steel", "hub of quenched and tempered steel", _celsius(300), _HUB),
        Ceiling("surface-hardened", "hub of surface hardened steel", _celsius(250), _HUB),
        Ceiling("case-hardened", "hub of case hardened steel", _celsius(200), _HUB),
    )
}

RELEASES = {
    "anaerobic": Release(
        "anaerobic",
        "anaerobic retaining compound",
        _celsius(232),
        _celsius(316),
        "read: a maker's questions page (450 to 600 °F)",
    ),
}

_COLD = ("standing", "frost", "rust", "no-dipping")
COOLANTS = {
    "freezer": Coolant(
        "freezer",
        "household freezer",
        _celsius(-18),
        "common practice",
        tuple(CAUTIONS[key] for key in _COLD),
    ),
    "dry-ice": Coolant(
        "dry-ice",
        "dry ice",
        _celsius(-78.5),
        "read: a mechanics' page (-109 °F); memory: -78.5 °C at one atmosphere",
        tuple(CAUTIONS[key] for key in (*_COLD, "asphyxiation", "no-closed-vessel")),
    ),
    "nitrogen": Coolant(
        "nitrogen",
        "liquid nitrogen",
        _celsius(-196),
        "read: a gas supplier's shrink fitting page",
        tuple(CAUTIONS[key] for key in (*_COLD, "asphyxiation", "no-closed-vessel")),
    ),
}

# 6061-T6 extrusion: (K, s) after which the yield falls below the specified minimum.
TEMPER_LIVES = ((472.15, 16 * HOUR), (491.15, 4 * HOUR))


def ceiling(key: str) -> Ceiling:
    """The ceiling of one kind of part.

    Args:
        key: e.g. "t6-casting", "nbr", "paint" [-].
    Returns:
        the ceiling with its source [K, s].
    Valid: typical; a sheet's own ceiling replaces it.
    Raises: RangeError for a key that is not in the table.
    Source: common practice; each record names its own source.
    """
    if key not in CEILINGS:
        raise RangeError("ceiling", key, "one of " + ", ".join(CEILINGS))
    return CEILINGS[key]


def coolant(key: str) -> Coolant:
    """A cold bath with its temperature and cautions.

    Args:
        key: "freezer", "dry-ice" or "nitrogen" [-].
    Returns:
        the coolant [K].
    Valid: at one atmosphere.
    Raises: RangeError for a key that is not in the table.
    Source: common practice; each record names its own source.
    """
    if key not in COOLANTS:
        raise RangeError("coolant", key, "one of " + ", ".join(COOLANTS))
    return COOLANTS[key]


def allowed_temperature(one: Ceiling, duration: float) -> float:
    """Highest temperature of a part for a soak of a given time.

    Args:
        one: the ceiling [-].
        duration: time at temperature [s].
    Returns:
        temperature [K].
    Valid: the source's own pairs, no interpolation between them.
    Raises: RangeError for a negative time.
    Source: common practice; each record names its own source.

    Example:
        >>> round(allowed_temperature(ceiling("bearing"), 4 * 3600) - 273.15)
        121
    """
    if not duration >= 0:
        raise RangeError("duration", duration, "zero or more seconds")
    return max([one.lasting, *(kelvin for limit, kelvin in one.steps if duration <= limit)])


def temper_life(temperature: float) -> float:
    """Soak after which a wrought T6 falls below its minimum; ln t straight over 1/T.

    Args:
        temperature: soak temperature [K].
    Returns:
        time [s].
    Valid: through two published points of a 6061-T6 extrusion (199 °C 16 h, 218 °C 4 h); its
        third, "not in 64 h at 177 °C", agrees. A guide only for castings.
    Raises: RangeError outside 100 to 240 °C.
    Source: T6-SOAK reduction of yield against time at temperature.

    Example:
        >>> temper_life(450.15) > 64 * 3600
        True
    """
    if not 373.15 <= temperature <= 513.15:
        raise RangeError("temperature", temperature, "373.15 to 513.15 K", "Convert °C to K.")
    (hot1, life1), (hot2, life2) = TEMPER_LIVES
    slope = math.log(life1 / life2) / (1 / hot1 - 1 / hot2)
    return life1 * math.exp(slope * (1 / temperature - 1 / hot1))
