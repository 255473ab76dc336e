"""Small words that the proof sections share."""

from __future__ import annotations

import math
from collections.abc import Mapping

from casewright import __version__
from casewright.units import write
from casewright.voice.document import Ask, Block, Caution, Facts, Fold
from casewright.voice.quantities import Style, say_minutes, working_rows
from casewright.working import Working

STANDING = "Maker's manual, local codes and licensed practice come first."


def force(value: float, style: Style) -> str:
    """A force in kilonewtons, or the unit that the person likes."""
    unit = style.units.get("force") or "kN"
    return write(value, "force", unit, 1 if unit in ("kN", "tf") else 0)


def degrees(kelvin: float, style: Style) -> str:
    """A temperature to the whole degree."""
    return write(kelvin, "temperature", style.unit("temperature"), 0)


def small(value: float, style: Style) -> str:
    """An interference or clearance: micrometres, or thou for who likes inches."""
    return write(value, "length", "thou" if style.unit("length") in ("in", "thou") else "µm", 1)


def lasting(seconds: float) -> str:
    """A time of seconds, minutes or hours; "never" where it is endless."""
    if math.isinf(seconds):
        return "never"
    return f"{seconds:.0f} s" if seconds < 90 else say_minutes(seconds / 60)


def working_fold(title: str, working: Working, style: Style) -> Fold:
    """A working, unfolded on demand."""
    return Fold(title, (Facts(working_rows(working, style)),))


def went_by(
    name: str, inputs: Mapping[str, object], outputs: Mapping[str, object], working: Working | None
) -> Fold:
    """A touch that keeps a sum with the job, as it stands: what went in, what came out, how."""
    fixed: dict[str, object] = {
        "name": name, "inputs": dict(inputs), "outputs": dict(outputs),
        "method": working.method if working else "", "formula": working.formula if working else "",
        "source": working.source[:200] if working else "", "version": __version__,
    }  # fmt: skip
    ask = Ask("calculation", "Keep this sum with the job", "I went by this", (), fixed,
              caution=STANDING)  # fmt: skip
    return Fold("I went by these figures", (ask,))


def cautions(texts: tuple[str, ...]) -> tuple[Block, ...]:
    """These dangers in one caution, and the standing line."""
    own = [text for text in dict.fromkeys(texts) if "local codes" not in text]
    return (*((Caution(" ".join(own)),) if own else ()), Caution(STANDING))
