"""What a dial shows: sampled spans, V-blocks, micrometers, inclined plungers."""

from __future__ import annotations

from math import cos, pi, sin

from casewright.errors import InputError, RangeError


def _parity(order: int) -> int:
    return -1 if order % 2 else 1


def raw_span_range(eccentricity: float, positions: int) -> tuple[float, float]:
    """Raw span that equal positions show of pure eccentricity; 2e cos(π/n) to 2e for even n.

    Args:
        eccentricity: e [m].
        positions: equal positions n [-].
    Returns:
        least and greatest span [m].
    Valid: pure eccentricity; for odd n the greatest is 2e cos(π/2n), the least with it
        2e cos²(π/2n).
    Raises: RangeError below three positions.
    Source: own: sampled cosine
    """
    if positions < 3:
        raise RangeError("positions", positions, "three or more")
    if positions % 2 == 0:
        return 2 * eccentricity * cos(pi / positions), 2 * eccentricity
    half = pi / (2 * positions)
    return 2 * eccentricity * cos(half) ** 2, 2 * eccentricity * cos(half)


def plunger_second_wave(eccentricity: float, radius: float) -> float:
    """Second wave that an eccentric round shaft shows a fixed plunger; e²/(4R).

    Args:
        eccentricity: e [m].
        radius: shaft radius [m].
    Returns:
        amplitude of the second wave [m].
    Valid: e well below R.
    Raises: RangeError where e is not below R.
    Source: own: series of √(R² − e² sin²θ)
    """
    if not 0 <= eccentricity < radius:
        raise RangeError("eccentricity", eccentricity, f"from 0 to below the radius, {radius:g} m")
    return eccentricity**2 / (4 * radius)


def vblock_factor(order: int, included_angle: float, dial: str = "opposite") -> float:
    """What a V-block shows of a lobed form; K = 1 + (−1)ⁿ cos(n(90° − h))/sin h, h half the V.

    Args:
        order: lobes n round the turn; 1 is eccentricity [-].
        included_angle: angle of the V [rad].
        dial: "opposite" (on the bisector over the V) or "apex" (from below, in the V) [-].
    Returns:
        K; the reading's span is |K| times the span of the radius error [-].
    Valid: n = 1 gives 0: a V-block centres the journal, its eccentricity is invisible.
    Raises: RangeError for an order below 1 or an angle outside 0 to 180°; InputError for the dial.
    Source: ISO4292 three-point measurement (symmetrical setting)
    """
    if order < 1:
        raise RangeError("lobes", order, "1 or more")
    if not 0 < included_angle < pi:
        raise RangeError("V angle", included_angle, "between 0 and 180 degrees")
    half = 0.5 * included_angle
    part = cos(order * (0.5 * pi - half)) / sin(half)
    if dial == "opposite":
        return 1 + _parity(order) * part
    if dial == "apex":
        return 1 - part
    raise InputError("dial", dial, '"opposite" or "apex"')


def blind_waves(
    included_angle: float, dial: str = "opposite", highest: int = 12, least: float = 0.25
) -> tuple[int, ...]:
    """Lobes that a V-block hardly shows; orders with |K| below a limit.

    Args:
        included_angle: angle of the V [rad].
        dial: "opposite" or "apex" [-].
        highest: highest order looked at [-].
        least: |K| below which a wave counts as unseen (2 shows it like a micrometer) [-].
    Returns:
        orders, 1 (eccentricity) among them for a dial over the V [-].
    Valid: as `vblock_factor`.
    Raises: RangeError as `vblock_factor`.
    Source: ISO4292 three-point measurement
    Example:
        >>> from math import pi
        >>> blind_waves(pi / 2)
        (1, 7, 9)
    """
    orders = range(1, highest + 1)
    return tuple(n for n in orders if abs(vblock_factor(n, included_angle, dial)) < least)


def vblock_span(
    amplitude: float, order: int, included_angle: float, dial: str = "opposite"
) -> float:
    """Span that the dial shows of a lobed form on a V-block; |K| 2c.

    Args:
        amplitude: of the radius error, c (a quarter of an oval's difference of diameters) [m].
        order: lobes [-].
        included_angle: angle of the V [rad].
        dial: "opposite" or "apex" [-].
    Returns:
        span of the reading [m].
    Valid: one wave alone.
    Raises: RangeError as `vblock_factor`.
    Source: ISO4292 three-point measurement
    """
    return abs(vblock_factor(order, included_angle, dial)) * 2 * amplitude


def two_point_factor(order: int) -> int:
    """What a micrometer shows of a lobed form; 1 + (−1)ⁿ.

    Args:
        order: lobes [-].
    Returns:
        2 for even, 0 for odd lobes: those are invisible to it [-].
    Valid: two parallel faces.
    Raises: RangeError for an order below 1.
    Source: ISO4292 two-point measurement
    """
    if order < 1:
        raise RangeError("lobes", order, "1 or more")
    return 1 + _parity(order)


def cosine_corrected(reading: float, inclination: float, square_to: str) -> float:
    """True travel from an inclined plunger, two cases apart: reading × cos ε or reading / cos ε.

    Args:
        reading: what the dial showed [m].
        inclination: plunger against the motion, ε [rad].
        square_to: "motion": the touched face stands square to the motion (shaft, flange, flat of
            a lever: the usual case, the dial over-reads); "plunger": the face stands square to
            the plunger or the tip rests in a dimple (the dial under-reads) [-].
    Returns:
        true travel along the motion [m].
    Valid: inclination below 60°.
    Raises: InputError where the case is not named; RangeError for a steeper plunger.
    Source: own: plane triangle, for each of the two contacts
    """
    if not abs(inclination) < pi / 3:
        raise RangeError("inclination", inclination, "below 60 degrees (1.05 rad)")
    if square_to == "motion":
        return reading * cos(inclination)
    if square_to == "plunger":
        return reading / cos(inclination)
    raise InputError("touched face", square_to, '"motion" or "plunger": which is it square to')
