"""What several bench sums ask alike: sizes, materials, what gets hot, threads."""

from __future__ import annotations

from casewright.mechanics.tightening import SURFACE_FRICTION
from casewright.sums.form import Given
from casewright.tables.materials import MATERIALS
from casewright.tables.temperature_ceilings import CEILINGS

METALS = tuple((key, one.name) for key, one in MATERIALS.items())
CHILLED = tuple((key, one.name) for key, one in MATERIALS.items() if one.cooling)
# A bench meets these; a bare 293 that was meant as kelvin is far outside in °C.
COLDEST, HOTTEST, HOT_PART = 233.15, 343.15, 673.15
SHOP_BOUNDS = "a temperature of −40 to 70 °C"
PART_BOUNDS = "a temperature of −80 to 400 °C"


def length(name: str, label: str, unit: str = "mm", **more: object) -> Given:
    """A length."""
    return Given(name, label, "quantity", "length", unit, **more)  # type: ignore[arg-type]


def fine(name: str, label: str, **more: object) -> Given:
    """A small length: micrometres or thou."""
    return length(name, label, "µm", from_zero=True, **more)


def metal(
    name: str, label: str, value: str, choices: tuple[tuple[str, str], ...] = METALS
) -> Given:
    """A material."""
    return Given(name, label, "choice", choices=choices, needed=True, value=value)


def gas(name: str, label: str, **more: object) -> Given:
    """A temperature of air or of a wall."""
    return Given(
        name, label, "quantity", "temperature", "°C", low=COLDEST, high=HOTTEST,
        bounds=SHOP_BOUNDS, **more,  # type: ignore[arg-type]
    )  # fmt: skip


def heat(name: str, label: str, **more: object) -> Given:
    """A temperature of a part that is heated or chilled."""
    return Given(
        name, label, "quantity", "temperature", "°C", low=193.15, high=HOT_PART,
        bounds=PART_BOUNDS, **more,  # type: ignore[arg-type]
    )  # fmt: skip


def work(name: str, label: str, **more: object) -> Given:
    """A temperature at work."""
    return Given(
        name, label, "quantity", "temperature", "°C", low=COLDEST, high=423.15,
        bounds="a temperature of −40 to 150 °C", **more,  # type: ignore[arg-type]
    )  # fmt: skip


def pressure(name: str, label: str, **more: object) -> Given:
    """A pressure as its gauge shows it; vacuum is negative."""
    return Given(
        name, label, "quantity", "pressure", "kPa", low=-101_325.0, high=2e6,
        bounds="a pressure from full vacuum to 2 MPa", **more,  # type: ignore[arg-type]
    )  # fmt: skip


# What a bench heats; rarer rings and seals have the field for a ceiling of their own.
HOT = (
    "t6-casting", "t51-casting", "die-casting", "soft-steel", "case-hardened", "bearing",
    "sealed-bearing", "nbr", "hnbr", "fkm", "anaerobic", "paint",
)  # fmt: skip


def hot(value: str = "t6-casting") -> Given:
    """What gets hot with the part, so that its ceiling counts."""
    parts = tuple((key, CEILINGS[key].part) for key in HOT)
    return Given(
        "hot", "What gets hot with it", "ticks", choices=parts, value=value, front=True,
        hint="every one counts; the lowest ceiling rules",
    )  # fmt: skip


def ceiling() -> Given:
    """The sheet's own ceiling of temperature."""
    return heat("ceiling", "The sheet's own ceiling, if it gives one")


def wanted() -> Given:
    """The clearance wanted while putting together."""
    return fine("clearance", "Clearance wanted while it goes in",
                hint="a thousandth of the diameter where nothing is typed")  # fmt: skip


def mass(label: str) -> Given:
    """What is heated or chilled, for the times."""
    return Given("mass", label, "quantity", "mass", "kg", hint="gives the times", front=True)


def thread(name: str = "designation") -> Given:
    """A thread."""
    return Given(
        name, "Thread", "words", needed=True, hint="as M10, M10x1.25, 3/8-16 UNC; LH for left"
    )


SURFACES = tuple((key, key) for key in SURFACE_FRICTION)
FRICTIONS = (
    Given("friction_low", "Friction, least", "number", low=0.0, high=0.99,
          bounds="a coefficient from 0 to below 1", hint="from your own source"),
    Given("friction_high", "Friction, most", "number", low=0.0, high=0.99,
          bounds="a coefficient from 0 to below 1"),
)  # fmt: skip


def bolt_class(needed: bool = False) -> Given:
    """Strength of the bolt."""
    return Given("bolt_class", "Class of the bolt", "words", needed=needed, front=True,
                 hint="as 8.8, A4-70 or grade 5")  # fmt: skip
