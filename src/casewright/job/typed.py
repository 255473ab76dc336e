"""A reading as numbers, and the size that follows from it."""

from __future__ import annotations

from dataclasses import dataclass

from casewright.mechanics.form import CylinderForm, Flatness
from casewright.mechanics.runout import RunOut
from casewright.mechanics.shaft_bend import Held, ShaftBend
from casewright.reasoning.readings import Body, Correction, Instrument
from casewright.reasoning.uncertainty import Budget


@dataclass(frozen=True, slots=True)
class Typed:
    """A reading of one feature as numbers [SI], with all that its size follows from.

    `angles` [rad] and `points` [m] are where it was taken, where that was said; `bodies` are part
    and gauge with their temperatures, where one was given. `along` [m] are places on a shaft that
    is `held` in its `supports` [m]; they are its heights.
    """

    kind: str
    values: tuple[float, ...]
    directions: int
    heights: int
    instrument: Instrument
    low: float | None
    high: float | None
    unit: str
    angles: tuple[float, ...] | None = None
    points: tuple[tuple[float, float], ...] | None = None
    bodies: tuple[Body, Body] | None = None
    notes: tuple[str, ...] = ()
    along: tuple[float, ...] = ()
    supports: tuple[float, float] | None = None
    held: Held = "v-blocks"

    @property
    def places(self) -> int:
        """Places that the sheet asks for."""
        return self.directions * self.heights


@dataclass(frozen=True, slots=True)
class Sized:
    """The size that is judged, in words and with its budget; None where none can be had.

    `form` holds ovality and taper, `turn` the once-per-turn wave, `plane` a flange's plane, `bend`
    a shaft read along its length.
    """

    what: str
    budget: Budget | None
    form: CylinderForm | None = None
    turn: RunOut | None = None
    plane: Flatness | None = None
    bend: ShaftBend | None = None
    correction: Correction | None = None
    notes: tuple[str, ...] = ()
