"""A wire thread insert as rework: what its seat carries in the parent metal."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

from casewright.errors import RangeError
from casewright.mechanics.stripping import TAN_30, stripping
from casewright.mechanics.threads import geometry
from casewright.tables.threads import limits, thread
from casewright.working import Term, Working

# Major diameter of a wire insert's seat over the bolt's, in pitches.
SEAT_COEFFICIENT = 1.2990
INSERT_NOTES = (
    "Drill and tap square to the face; the tang out, no chips left in an oil passage.",
    "Check the wall left around the seat, above all beside water passages.",
    "The insert's top turn stands below the face; the bolt must reach its last turn.",
    "Steel in wet aluminium: an insert set in compound, or it corrodes its seat.",
)


@dataclass(frozen=True, slots=True)
class InsertRework:
    """A thread insert in its parent: strip load [N] beside the bolt's and the old thread's."""

    insert_strip: float
    former_strip: float
    breaking: float
    margin: float
    weakest: str
    notes: tuple[str, ...]
    working: Working


def insert_rework(
    designation: str,
    length: float,
    bolt_strength: float,
    parent_strength: float,
    parent_shear_ratio: float,
    former_length: float | None = None,
) -> InsertRework:
    """Wire insert as rework; its seat is 1.299 P wider, so the parent shears on a wider ring.

    Args:
        designation: thread of the bolt [-].
        length: length of insert in full parent thread [m].
        bolt_strength: tensile strength of the bolt [Pa].
        parent_strength: tensile strength of the housing [Pa].
        parent_shear_ratio: its shear over tensile strength, aluminium 0.70 [-].
        former_length: engagement of the sound thread before; the insert's where not given [m].
    Returns:
        strip load of the insert's seat and of the former thread [N], breaking load [N], margin [-],
        which gives first [-].
    Valid: wire inserts with a seat of the same pitch, sound metal around the seat; the bolt must
        run through the whole insert. An estimate: the insert maker's tables come first.
    Raises: RangeError as `stripping`.
    Source: FEDH28 formula (2a) on the insert's seat (own application)
    """
    if not length > 0:
        raise RangeError("insert length", length, "more than zero")
    former = stripping(
        designation,
        length if former_length is None else former_length,
        bolt_strength,
        parent_strength,
        parent_shear_ratio,
    )
    seat_major, area = _insert_seat(designation, length)
    strip = area * parent_strength * parent_shear_ratio * former.internal_factor
    inputs = (
        Term("insert length", length, "m", "L"),
        Term("pitch", geometry(designation).pitch, "m", "P"),
        Term("housing tensile strength", parent_strength, "Pa"),
        Term("housing shear over tensile", parent_shear_ratio),
    )
    working = Working(
        method="thread insert in its seat",
        formula="F = π·L/P·ds·(P/2 + tan 30°·(ds − D2s))·τ·C3, ds = dmin + 1.299·P",
        inputs=inputs,
        steps=(Term("seat major diameter", seat_major, "m", "ds"), Term("shear area", area, "m²")),
        outputs=(
            Term("insert's seat strips", strip, "N"),
            Term("former thread stripped", former.internal, "N"),
            Term("bolt breaks", former.breaking, "N"),
        ),
        source="own: FED-STD-H28 shear area on the insert's seat",
        estimate=True,
    )
    return InsertRework(
        insert_strip=strip,
        former_strip=former.internal,
        breaking=former.breaking,
        margin=strip / former.breaking,
        weakest="insert's seat" if strip < former.breaking else "bolt",
        notes=INSERT_NOTES,
        working=working,
    )


def _insert_seat(designation: str, length: float) -> tuple[float, float]:
    """Major diameter of the insert's tapped seat and the parent's shear area on it."""
    this, edge = thread(designation), limits(designation)
    # The coil's crests are taken as short of the seat as the smallest bolt's are of its nut.
    widening = SEAT_COEFFICIENT * this.pitch
    seat_major, seat_pitch = edge.bolt_major + widening, edge.nut_pitch + widening
    section = 0.5 * this.pitch + TAN_30 * (seat_major - seat_pitch)
    return seat_major, pi * length / this.pitch * seat_major * section
