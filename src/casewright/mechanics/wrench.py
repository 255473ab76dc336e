"""What the wrench must show: adapters, click-tool deviation, ring-nut tools, slide hammer."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, pi, sin, sqrt

from casewright.errors import RangeError
from casewright.tables.torque_tools import permissible_deviation
from casewright.working import Term, Working

STANDARD_GRAVITY = 9.80665
# Stopping paths of a slide hammer are hardly ever known better than this.
HAMMER_FACTOR = 3.0


@dataclass(frozen=True, slots=True)
class AdapterSetting:
    """Wrench setting [N m] for a wanted torque through an adapter, and setting over torque."""

    setting: float
    ratio: float
    direction: str
    working: Working


@dataclass(frozen=True, slots=True)
class ToolCheck:
    """Deviation of a torque tool, its limit, and whether it passes."""

    deviation: float
    limit: float
    passes: bool


@dataclass(frozen=True, slots=True)
class SpannerForce:
    """Torque [N m] at a ring nut and the force on each pin or hook [N]."""

    torque: float
    contact_force: float
    working: Working


@dataclass(frozen=True, slots=True)
class HammerBlow:
    """One blow: energy [J], momentum [N s], speed [m/s]; mean force only as a range [N]."""

    energy: float
    momentum: float
    speed: float
    force_low: float
    force_high: float
    common_speed: float
    lost_share: float
    caution: str
    working: Working


def _positive(name: str, value: float) -> float:
    if not value > 0:
        raise RangeError(name, value, "more than zero")
    return value


def _reach(wrench_length: float, adapter_length: float, angle: float) -> float:
    _positive("wrench length", wrench_length)
    if not adapter_length >= 0:
        raise RangeError("adapter length", adapter_length, "zero or more")
    if not -2 * pi <= angle <= 2 * pi:
        raise RangeError("adapter angle", angle, "an angle in radians, within one turn")
    reach = wrench_length + adapter_length * cos(angle)
    if not reach > 0:
        raise RangeError(
            "adapter length", adapter_length, "an adapter that ends short of the hand point"
        )
    return reach


def adapter_setting(
    torque: float, wrench_length: float, adapter_length: float, angle: float
) -> AdapterSetting:
    """Setting of the wrench for a torque through an offset adapter; Tw = T L/(L + A cos θ).

    Args:
        torque: wanted torque at the fastener [N m].
        wrench_length: drive centre to the marked hand point, L [m].
        adapter_length: drive centre to fastener centre, A [m].
        angle: 0 straight ahead (longer), π/2 square to it (no change), π back to the hand [rad].
    Returns:
        setting [N m], setting over torque [-].
    Valid: hand force square to the wrench, at the marked point, in one plane.
    Raises: RangeError for lengths that make no lever, or an angle beyond one turn (degrees given).
    Source: TM1500 torque wrench with adapter; TM 9-254 for the angle
    Example:
        >>> from math import pi
        >>> round(adapter_setting(100, 0.4, 0.05, pi / 4).setting, 3)
        91.879
    """
    _positive("torque", torque)
    ratio = wrench_length / _reach(wrench_length, adapter_length, angle)
    words = "as the torque itself"
    if abs(ratio - 1) > 1e-9:
        words = "lower than the torque" if ratio < 1 else "higher than the torque"
    working = Working(
        method="wrench setting with an offset adapter",
        formula="Tw = T·L/(L + A·cos θ)",
        inputs=(
            Term("wanted torque", torque, "N m", "T"),
            Term("wrench length to the hand mark", wrench_length, "m", "L"),
            Term("adapter length", adapter_length, "m", "A"),
            Term("angle, 0 is straight ahead", angle, "rad", "θ"),
        ),
        outputs=(Term("setting", torque * ratio, "N m", "Tw"),),
        source="US Army TM 1-1500-204-23-9; TM 9-254",
        notes=("Hold the wrench at its mark: with an adapter the grip changes the torque.",),
    )
    return AdapterSetting(torque * ratio, ratio, words, working)


def torque_through_adapter(
    setting: float,
    wrench_length: float,
    adapter_length: float,
    angle: float,
    grip_length: float | None = None,
) -> float:
    """Torque at the fastener for a wrench reading; T = Tw (L' + A cos θ)/L'.

    Args:
        setting: what the wrench shows or clicks at [N m].
        wrench_length: drive centre to the marked hand point [m].
        adapter_length: drive centre to fastener centre [m].
        angle: 0 straight ahead, π/2 square, π back to the hand [rad].
        grip_length: where the hand really was; the mark if not given [m].
    Returns:
        torque at the fastener [N m].
    Valid: as `adapter_setting`.
    Raises: RangeError as `adapter_setting`.
    Source: TM1500 torque wrench with adapter, solved for the torque
    """
    _positive("setting", setting)
    grip = wrench_length if grip_length is None else grip_length
    return setting * _reach(grip, adapter_length, angle) / grip


def tool_deviation(indicated: float, reference: float) -> float:
    """Deviation of a torque tool; (Xa − Xr)/Xr, over the reference.

    Args:
        indicated: set or shown torque Xa [N m].
        reference: true torque of the tester Xr [N m].
    Returns:
        deviation as a share [-].
    Valid: any torque above zero.
    Raises: RangeError for a torque of zero or less.
    Source: ISO6789 deviation
    """
    _positive("indicated torque", indicated)
    return (indicated - _positive("reference torque", reference)) / reference


def check_tool(
    indicated: float, reference: float, largest_torque: float, tool_class: str = "IIA"
) -> ToolCheck:
    """Whether a torque tool passes at one test point; |deviation| ≤ limit of its largest torque.

    Args:
        indicated: set or shown torque [N m].
        reference: true torque of the tester [N m].
        largest_torque: end of the tool's scale [N m].
        tool_class: type and class [-].
    Returns:
        deviation, limit and verdict [-].
    Valid: from 20 % of the tool's largest torque.
    Raises: RangeError outside the tool's range.
    Source: ISO6789 permissible deviations
    """
    deviation = tool_deviation(indicated, reference)
    limit = permissible_deviation(largest_torque, indicated, tool_class)
    return ToolCheck(deviation, limit, abs(deviation) <= limit + 1e-12)


def true_torque_interval(reading: float, tolerance: float) -> tuple[float, float]:
    """Torques that a reading may stand for; Xa/(1 + t) to Xa/(1 − t).

    Args:
        reading: what the tool showed or was set to [N m].
        tolerance: permissible deviation as a share of the reference [-].
    Returns:
        lowest and highest true torque [N m].
    Valid: a tool inside its calibration.
    Raises: RangeError for a reading of zero or less or a tolerance outside 0 to 1.
    Source: ISO6789 deviation, solved for the reference
    """
    _positive("reading", reading)
    if not 0 <= tolerance < 1:
        raise RangeError("tool tolerance", tolerance, "a share from 0 to below 1")
    return reading / (1 + tolerance), reading / (1 - tolerance)


def lever_force(torque: float, length: float, angle: float = pi / 2) -> float:
    """Hand force at a bar's end for a torque; F = T/(L sin angle).

    Args:
        torque: wanted torque [N m].
        length: axis to hand [m].
        angle: between force and bar [rad].
    Returns:
        force [N].
    Valid: force in the plane square to the axis.
    Raises: RangeError where the force points along the bar.
    Source: own: moment of a force
    """
    _positive("torque", torque)
    arm = _positive("lever", length) * sin(angle)
    if not arm > 1e-9 * length:
        raise RangeError("angle", angle, "a force that is not along the bar")
    return torque / arm


def spanner_force(
    hand_force: float,
    length: float,
    circle: float,
    contacts: int,
    angle: float = pi / 2,
) -> SpannerForce:
    """Force on hook, pins or lugs of a ring-nut tool; T/(D/2) for one hook, T/D each for two pins.

    Args:
        hand_force: force at the bar's end [N].
        length: axis to hand [m].
        circle: diameter on which hook or pins bear [m].
        contacts: 1 for a hook spanner, 2 or more for pins and lugs evenly round [-].
        angle: between force and bar [rad].
    Returns:
        torque [N m] and force on each contact [N].
    Valid: contacts that share evenly; with a loose tool one lug may carry it all.
    Raises: RangeError for a size of zero or less.
    Source: own: moment of a force
    """
    if contacts < 1:
        raise RangeError("contacts", contacts, "one or more")
    arm = _positive("lever", length) * sin(angle)
    torque = _positive("hand force", hand_force) * arm
    force = torque / (0.5 * _positive("circle", circle) * contacts)
    working = Working(
        method="force on the contacts of a ring-nut tool",
        formula="T = F·L·sin(angle); contact = T/(n·D/2)",
        inputs=(
            Term("hand force", hand_force, "N", "F"),
            Term("lever", length, "m", "L"),
            Term("circle of the contacts", circle, "m", "D"),
            Term("contacts", contacts, "", "n"),
        ),
        outputs=(Term("torque", torque, "N m", "T"), Term("force on each", force, "N")),
        source="moment of a force",
        notes=("Lugs break under impact or when one carries all: seat the tool fully.",),
    )
    return SpannerForce(torque, force, working)


def drop_speed(height: float) -> float:
    """Speed after a fall; √(2 g h).

    Args:
        height: drop [m].
    Returns:
        speed [m/s].
    Valid: free fall without guide friction.
    Raises: RangeError for a height of zero or less.
    Source: own: energy of a fall
    """
    return sqrt(2 * STANDARD_GRAVITY * _positive("height", height))


def hand_driven_speed(force: float, path: float, mass: float) -> float:
    """Speed of a sliding mass pulled by hand; √(2 F x/m).

    Args:
        force: mean hand force [N].
        path: sliding path [m].
        mass: sliding mass [kg].
    Returns:
        speed [m/s].
    Valid: no friction on the rod: the most it can be.
    Raises: RangeError for a value of zero or less.
    Source: own: work of a force
    """
    work = _positive("hand force", force) * _positive("path", path)
    return sqrt(2 * work / _positive("mass", mass))


def hammer_blow(mass: float, speed: float, stopping: float, moved_mass: float) -> HammerBlow:
    """A slide-hammer blow as a range; E = m v²/2, mean force E/s within a factor of 3 either way.

    Args:
        mass: sliding mass [kg].
        speed: speed at the stop [m/s].
        stopping: guessed path over which it stops [m].
        moved_mass: mass of the puller and of the part that moves with it [kg].
    Returns:
        energy [J], momentum [N s], force range [N], common speed [m/s], lost share [-].
    Valid: an order of magnitude; the force is never one number. Bearings, gears and lugs in its
        path take it too.
    Raises: RangeError for a value of zero or less.
    Source: own: energy and momentum of a plastic impact
    """
    energy = 0.5 * _positive("mass", mass) * _positive("speed", speed) ** 2
    middle = energy / _positive("stopping path", stopping)
    total = mass + _positive("moved mass", moved_mass)
    low, high = middle / HAMMER_FACTOR, middle * HAMMER_FACTOR
    working = Working(
        method="slide-hammer blow, order of magnitude",
        formula="E = m·v²/2; F = E/s, divided and multiplied by 3",
        inputs=(
            Term("sliding mass", mass, "kg", "m"),
            Term("speed", speed, "m/s", "v"),
            Term("stopping path, guessed", stopping, "m", "s"),
            Term("mass moved", moved_mass, "kg", "M"),
        ),
        outputs=(Term("force from", low, "N"), Term("force to", high, "N")),
        source="energy and momentum",
        estimate=True,
    )
    return HammerBlow(
        energy=energy,
        momentum=mass * speed,
        speed=speed,
        force_low=low,
        force_high=high,
        common_speed=mass * speed / total,
        lost_share=moved_mass / total,
        caution="Flying steel: shield and eye protection, nobody in line with the rod.",
        working=working,
    )


def elastic_stop(mass: float, speed: float, stiffness: float) -> tuple[float, float]:
    """Peak force and path where a mass is stopped by a spring; v √(k m), v √(m/k).

    Args:
        mass: sliding mass [kg].
        speed: speed at the stop [m/s].
        stiffness: of what stops it [N/m].
    Returns:
        peak force [N] and stopping path [m].
    Valid: nothing yields: the upper end of what a blow may do.
    Raises: RangeError for a value of zero or less.
    Source: own: energy of a spring
    """
    _positive("mass", mass)
    _positive("speed", speed)
    _positive("stiffness", stiffness)
    return speed * sqrt(stiffness * mass), speed * sqrt(mass / stiffness)
