"""Leak logs by the gas law, an opened leg, and a leg put together again."""

from __future__ import annotations

import numpy as np

from casewright.job import kinds
from casewright.job.kinds import Body

ATMOSPHERE = 101.325
CARRIER = (
    "drain-oil", "propeller-nut-off", "propeller-off", "ring-nut-off", "carrier-out",
    "propeller-shaft-apart", "carrier-seals-out",
)  # fmt: skip


def opened(*joints: str) -> list[Body]:
    """Steps of the strip list, done."""
    return [kinds.StepDone(step=joint) for joint in joints]


def leak_text(
    start: float,
    lost: float = 0.0,
    cooled: float = 0.0,
    seconds: float = 600.0,
    header: str = "time [s], pressure [kPa], wall [degC]",
) -> str:
    """A log by p V = n R T: gauge kPa at the start, kPa lost a second at first, kelvin cooled.

    A leak passes gas in proportion to the pressure across it, so the loss decays exponentially.
    """
    time = np.arange(0.0, seconds + 1, 5.0)
    celsius = 22.0 - cooled * (1 - np.exp(-time / 300)) / (1 - np.exp(-seconds / 300))
    left = start * np.exp(-lost / start * time) + ATMOSPHERE
    absolute = left * (celsius + 273.15) / (celsius[0] + 273.15)
    rows = [
        f"{t:g}, {p - ATMOSPHERE:.2f}, {c:.2f}"
        for t, p, c in zip(time, absolute, celsius, strict=True)
    ]
    return "\n".join([header, *rows])


def leak(test: str, start: float, lost: float = 0.0, **more: object) -> kinds.LeakLogged:
    """A sealing test of the gear oil space."""
    shape = {name: more.pop(name) for name in ("cooled", "seconds", "header") if name in more}
    text = leak_text(start, lost, **shape)  # type: ignore[arg-type]
    plain = {"circuit": "gear-oil", "test": test, "relative_to": "gauge", "text": text}
    plain |= {"resolution": "0.01 kPa"} | more
    return kinds.LeakLogged.model_validate(plain)


def torque(joint: str, step: int, value: str, **more: object) -> kinds.Torqued:
    """A torque step in newton metres."""
    plain = {"joint": joint, "step": step, "value": value, "unit": "N·m"} | more
    return kinds.Torqued.model_validate(plain)


def new_at(*positions: str) -> list[Body]:
    """New pieces placed for the final build."""
    return [
        kinds.PiecePlaced(piece=f"new:{key}", position=key, occasion="final") for key in positions
    ]
