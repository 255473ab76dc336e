"""What a bearing's or a pair's rating is reckoned from: as typed, else from the sheet.

Set-up and inspection ask for the same figures; what the sheet holds, or what follows from its duty,
needn't be typed again, and what is taken from there is said.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from casewright.drive.lookup import Lookup
from casewright.job.bearing_figures import data_at, figure
from casewright.job.bearing_loads import Carried, load_lines, torque_of
from casewright.job.state import State

WORDS = {
    "capacity": "dynamic load rating C", "load": "equivalent load P", "speed": "speed",
    "static_capacity": "static load rating C0", "static_load": "greatest static load",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Ratings:
    """A bearing's figures [N, rad/s]; `given` are those that needn't be typed, key to source."""

    capacity: float | None
    load: float | None
    speed: float | None
    static_capacity: float | None
    static_load: float | None
    given: Mapping[str, str]

    @property
    def missing(self) -> tuple[str, ...]:
        """What a rating life still needs, in words."""
        asked = (("capacity", self.capacity), ("load", self.load), ("speed", self.speed))
        return tuple(WORDS[key] for key, found in asked if found is None)


def ratings(state: State, position: str, typed: Mapping[str, object]) -> Ratings:
    """A bearing's figures: as typed, then the sheet's ratings and what its duty asks."""
    found = dict(_from_sheet(state, position))
    sizes = {key: value for key, (value, _) in found.items()}
    own = {key: figure(typed, key, *_unit(key)) for key in WORDS}
    if own["load"] is not None:
        # A typed load goes with its own static load: the duty's belongs to another case.
        sizes.pop("static_load", None)
        own["static_load"] = own["static_load"] or own["load"]
    used = {key: sizes.get(key) if own[key] is None else own[key] for key in WORDS}
    given = {key: found[key][1] for key in sizes if own[key] is None}
    return Ratings(**used, given=given)


def _unit(key: str) -> tuple[str, str]:
    return ("speed", "rpm") if key == "speed" else ("force", "N")


def _from_sheet(state: State, position: str) -> Iterator[tuple[str, tuple[float, str]]]:
    data = data_at(state.lookup, position)
    if data is not None and data.dynamic_rating is not None:
        yield "capacity", (data.dynamic_rating.value, "by the sheet")
    if data is not None and data.static_rating is not None:
        yield "static_capacity", (data.static_rating.value, "by the sheet")
    hardest = _hardest(state, position)
    if hardest is not None:
        mesh, one = hardest
        yield "load", (one.equivalent, f"from the duty of the {mesh}")
        yield "static_load", (one.static, f"from the duty of the {mesh}")
        if one.speed is not None:
            yield "speed", (one.speed, f"from the duty of the {mesh}")


def _hardest(state: State, position: str) -> tuple[str, Carried] | None:
    """The mesh under whose duty the bearing carries most, and what it carries."""
    near = {position, *state.lookup.matched_with.get(position, ())}
    loads = [
        (line.mesh, one) for line in load_lines(state) for one in line.bearings
        if one.position in near
    ]  # fmt: skip
    return max(loads, key=lambda found: found[1].equivalent, default=None)


def duty_figures(lookup: Lookup, mesh: str) -> tuple[float | None, float | None]:
    """Torque [N·m] and speed [rad/s] of a mesh's pinion by the sheet's duty, where it has them."""
    duty = next((one for one in reversed(lookup.sheet.duties) if one.mesh == mesh), None)
    if duty is None:
        return None, None
    return torque_of(duty), duty.speed.value if duty.speed else None
