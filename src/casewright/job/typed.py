"""A reading as numbers, and the size that follows from it."""

from __future__ import annotations

from dataclasses import dataclass, field

from casewright.mechanics.form import CylinderForm, Flatness
from casewright.mechanics.runout import RunOut
from casewright.mechanics.shaft_bend import Held, ShaftBend
from casewright.reasoning.readings import Body, Correction, Instrument
from casewright.reasoning.uncertainty import Budget, Component
from casewright.working import Working


@dataclass(frozen=True, slots=True)
class Brought:
    """How a reading became the size that its limits mean: a chord at its height, wires taken off.

    `change` [m] is added to each value; `components` are what that makes uncertain. `what` names
    the size, `how` says what was done to the reading; `shared` are the components that are the same
    unknown in every reading of the piece.
    """

    what: str
    how: str
    change: float
    components: tuple[Component, ...]
    working: Working
    notes: tuple[str, ...] = ()
    shared: tuple[str, ...] = ()

    def in_common(self, other: Brought) -> float:
        """Covariance with another reading of the same piece: what is unknown alike in both [m²]."""
        theirs = {one.name: one for one in other.components if one.name in other.shared}
        return sum(
            one.sensitivity * one.standard_uncertainty
            * theirs[one.name].sensitivity * theirs[one.name].standard_uncertainty
            for one in self.components
            if one.name in self.shared and one.name in theirs
        )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Typed:
    """A reading of one feature as numbers [SI], with all that its size follows from.

    `angles` [rad] and `points` [m] are where it was taken, where that was said; `bodies` are part
    and gauge with their temperatures, where one was given. `along` [m] are places on a shaft that
    is `held` in its `supports` [m]; they are its heights. Values are `brought` to the size meant.
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
    # Not among what seeds the draws of a run-out: those stay as they were.
    brought: Brought | None = field(default=None, repr=False)

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
    brought: Brought | None = None
    notes: tuple[str, ...] = ()
