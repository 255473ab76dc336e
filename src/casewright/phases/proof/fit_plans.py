"""One press fit planned from sizes and materials, without a job: press or heat, and what grips.

`bench_sums` fills it from sheet and readings; a bench sum by hand, the terminal and other programs
call it as it is. Estimates all; the maker's own figures rule.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from casewright.errors import CasewrightError
from casewright.job.settings import Settings
from casewright.mechanics.heat_plans import AssemblyPlan, plan_assembly
from casewright.mechanics.heat_time import TimeRange, heating_time, working_time
from casewright.mechanics.press_fits import Joint as Rings
from casewright.mechanics.press_fits import PressVerdict, judge_press
from casewright.mechanics.press_plans import Duty, Grip, PressPlan, grip_at, press_plan
from casewright.mechanics.wrench import STANDARD_GRAVITY
from casewright.tables.heat_sources import HEAT_SOURCES
from casewright.tables.materials import T20, Friction, Material, press_friction
from casewright.tables.temperature_ceilings import COOLANTS, Ceiling

# Own: yield of an ordinary gravity cast Al-Si-Mg alloy in T6, and of hardened rings (memory).
HUB_YIELD = {"aluminium": 165e6, "cast-iron": 200e6, "bronze": 150e6, "brass": 120e6}
STEEL_YIELD, RING_YIELD = 350e6, 1000e6
# Own: housing and gear oil of a water-cooled leg at work, for what remains of the grip.
WORK = 333.15
# Own: wall of the heated casting, from which its surface follows; both sides take up heat.
WALL = 0.008
# A clearance of a thousandth of the diameter lets a ring drop in (common practice).
DROP_IN = 1e-3


@dataclass(frozen=True, slots=True)
class Span:
    """An interference at 20 °C as a span [m], and where it comes from."""

    least: float
    most: float
    origin: str

    @property
    def middle(self) -> float:
        """The likely value [m]."""
        return (self.least + self.most) / 2


@dataclass(frozen=True, slots=True)
class HeatTimes:
    """How long a source takes to the needed temperature, and what it is set to [K]."""

    source: str
    set_to: float | None
    time: TimeRange


@dataclass(frozen=True, slots=True)
class FitPlan:
    """How one fit goes together; parts that can't be computed are None and say why in `gaps`.

    `way` is "heat", "chill", "press", "slides" or "none".
    """

    press: PressPlan | None
    capacity: PressVerdict | None
    grip_likely: Grip | None
    heat: AssemblyPlan | None
    times: tuple[HeatTimes, ...]
    carry: TimeRange | None
    way: str
    gaps: tuple[str, ...]


def plan_fit(
    rings: Rings,
    span: Span,
    ceilings: Sequence[Ceiling],
    mass: float | None,
    settings: Settings,
    length_known: bool = True,
) -> FitPlan:
    """Press or heat for one fit: `mass` is what is heated [kg], `ceilings` what may get how hot.

    A shaft larger than its hub's outside is refused by name (RangeError).
    """
    gaps: list[str] = []
    if span.most <= 0:
        return FitPlan(None, None, None, None, (), None, "slides", ())
    rings.pressure(span.most)
    friction = _friction(rings, gaps)
    press, capacity = _press(rings, span, settings, friction, length_known)
    clearance = DROP_IN * rings.diameter
    heat = plan_assembly(
        span.most, clearance, rings.diameter, rings.hub, rings.shaft, ceilings,
        coolants=(COOLANTS["freezer"], COOLANTS["dry-ice"]),
    )  # fmt: skip
    times = _times(settings, rings.hub, heat, mass, gaps)
    carry = _carry(rings, heat, clearance, mass)
    grip = grip_at(rings, span.middle, friction.low if friction else 0.0, Duty(WORK, WORK))
    return FitPlan(press, capacity, grip, heat, times, carry, _way(heat, capacity), tuple(gaps))


def _friction(rings: Rings, gaps: list[str]) -> Friction | None:
    """The pair's span of friction; None, and said, where no table holds it."""
    shaft = "steel" if "steel" in rings.shaft.key else rings.shaft.key
    try:
        return press_friction(f"{shaft}/{rings.hub.key}")
    except CasewrightError as error:
        gaps.append(str(error))
        return None


def _press(
    rings: Rings, span: Span, settings: Settings, friction: Friction | None, length_known: bool
) -> tuple[PressPlan | None, PressVerdict | None]:
    """Force to press and whether the shop's press does; None without length or friction."""
    if friction is None or not length_known:
        return None, None
    ring = rings.shaft.key == "bearing-steel"
    plan = press_plan(
        rings, span.middle, (span.most - span.least) / 4, friction,
        HUB_YIELD.get(rings.hub.key, STEEL_YIELD), RING_YIELD if ring else STEEL_YIELD,
        duty=Duty(WORK, WORK),
    )  # fmt: skip
    return plan, judge_press(settings.press_tonnes * 1000 * STANDARD_GRAVITY, plan.force)


def _times(
    settings: Settings, hub: Material, heat: AssemblyPlan, mass: float | None, gaps: list[str]
) -> tuple[HeatTimes, ...]:
    """Time in the shop's oven, set to the ceiling, and with gun, induction or torch on it."""
    window = heat.window
    if not window.is_open or window.low <= T20:
        return ()
    if mass is None:
        gaps.append("The heated part's mass is not in the sheet: no heating time.")
        return ()
    area = surface_of(mass, hub)
    oven = heating_time(mass, area, hub, HEAT_SOURCES["oven"], T20, window.low, window.high)
    # However well the air takes it over, the oven can't give more than its elements do.
    least = mass * hub.specific_heat * (window.low - T20) / settings.oven_watts
    oven = replace(oven, quickest=max(oven.quickest, least), slowest=max(oven.slowest, least))
    return (
        HeatTimes("oven", window.high, oven),
        *(
            HeatTimes(f"{source.name}, the whole part", None,
                      heating_time(mass, area, hub, source, T20, window.low, T20))
            for source in HEAT_SOURCES.values()
            if not source.bath
        ),
    )  # fmt: skip


def surface_of(mass: float, one: Material) -> float:
    """Surface of a thin-walled casting from its mass [m²]; both sides of an 8 mm wall."""
    return 2 * mass / (one.density * WALL)


def _carry(
    rings: Rings, heat: AssemblyPlan, clearance: float, mass: float | None
) -> TimeRange | None:
    """How long the clearance lasts once the casting is out of the oven."""
    window = heat.window
    if mass is None or not window.is_open or window.low <= T20:
        return None
    area = surface_of(mass, rings.hub)
    return working_time(
        clearance, rings.diameter, rings.hub, rings.hub.expansion, mass, area, window.low, T20
    )


def _way(heat: AssemblyPlan, capacity: PressVerdict | None) -> str:
    """Heat where its window is open, else press where the press does, else the chilled shaft."""
    if heat.window.is_open:
        return "heat"
    if any(option.window.is_open for option in heat.chilled):
        return "chill"
    if capacity is not None and capacity.verdict != "too small":
        return "press"
    return "none"
