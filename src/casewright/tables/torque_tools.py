"""Permissible deviation of hand torque tools (ISO 6789), by the tool's largest torque."""

from __future__ import annotations

from types import MappingProxyType

from casewright.errors import InputError, RangeError

# Type and class to permissible deviation (largest torque to 10 N·m, above 10 N·m).
# Type I shows the torque (beam, dial, electronic), type II is set (click, slipping).
TOOL_CLASSES = MappingProxyType(
    {
        "IA": (0.06, 0.06),
        "IB": (0.06, 0.04),
        "IC": (0.06, 0.04),
        "ID": (0.06, 0.06),
        "IE": (0.06, 0.04),
        "IIA": (0.06, 0.04),
        "IIB": (0.06, 0.04),
        "IIC": (0.06, 0.04),
        "IID": (0.06, 0.06),
        "IIE": (0.06, 0.06),
        "IIF": (0.06, 0.06),
        "IIG": (0.06, 0.06),
    }
)
STEP_TORQUE = 10.0
LOWEST_SHARE = 0.2
TEST_SHARES = (0.2, 0.6, 1.0)


def permissible_deviation(
    largest_torque: float, torque: float | None = None, tool_class: str = "IIA"
) -> float:
    """Permissible deviation of a torque tool; 6 % up to a *largest* torque of 10 N·m, 4 % above.

    Args:
        largest_torque: largest torque of the tool's scale [N m].
        torque: torque at which it is used or tested; below 20 % of the largest it has no limit
            and is refused [N m].
        tool_class: type and class, "IIA" the usual adjustable click tool [-].
    Returns:
        permissible deviation as a share of the reference torque [-].
    Valid: hand tools in calibration; not power tools.
    Raises: RangeError outside 20 to 100 % of the tool's largest torque; InputError for the class.
    Source: ISO6789 permissible deviations (type II class A read, the other classes memory)
    """
    if tool_class not in TOOL_CLASSES:
        raise InputError("tool class", tool_class, "one of " + ", ".join(TOOL_CLASSES))
    if not largest_torque > 0:
        raise RangeError("largest torque of the tool", largest_torque, "more than zero")
    if torque is not None and not torque / largest_torque * (1 + 1e-12) >= LOWEST_SHARE:
        raise RangeError(
            "torque",
            torque,
            f"at least 20 % of the tool's largest torque ({LOWEST_SHARE * largest_torque:g} N·m)",
            "Use a smaller tool: below that its deviation has no limit.",
        )
    if torque is not None and torque > largest_torque * (1 + 1e-12):
        raise RangeError("torque", torque, f"at most the tool's largest, {largest_torque:g} N·m")
    small, large = TOOL_CLASSES[tool_class]
    return small if largest_torque <= STEP_TORQUE else large
