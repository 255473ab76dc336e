"""A circuit's volume: measured at the bench by a known bleed, else by the sheet, else by its oil.

The bleed's figures are an entry (`calculation`, named for the circuit) and are read as typed; a log
may still say its own volume, and that one comes first for that log.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from casewright.drive.schema import Circuit
from casewright.errors import CasewrightError, InputError, MissingError
from casewright.job.kinds import Calculated
from casewright.job.state import State
from casewright.mechanics.leak_volume import CircuitVolume, volume_by_air_let_out, volume_by_oil
from casewright.units import parse

PREFIX = "circuit-volume:"
# Field to dimension, unit of a bare number, and whether it must be given.
ASKED: Mapping[str, tuple[str, str, bool]] = {
    "bleed": ("flow", "ml/min", True),
    "minutes": ("time", "min", True),
    "before": ("pressure", "kPa", True),
    "after": ("pressure", "kPa", True),
    "own": ("pressure", "kPa", False),
    "step": ("pressure", "kPa", False),
}


@dataclass(frozen=True, slots=True)
class KnownVolume:
    """A volume [m³], where it comes from, and its working where it was measured."""

    value: float
    origin: str
    measured: CircuitVolume | None = None


def known_volume(state: State, circuit: Circuit) -> KnownVolume | None:
    """The circuit's volume as it is best known; None where nobody knows it."""
    for kept in reversed(state.calculations):
        if kept.body.name == PREFIX + circuit.key:
            try:
                found = bleed_volume(kept.body.inputs)
            except CasewrightError:
                continue
            day = kept.happened_at[:10]
            return KnownVolume(found.volume, f"by a known bleed on {day}", found)
    if circuit.volume is not None:
        return KnownVolume(circuit.volume.value, "by the sheet")
    capacity = state.lookup.sheet.oil.capacity
    if circuit.medium == "oil" and capacity is not None:
        return KnownVolume(volume_by_oil(capacity.value).volume, "by its oil's capacity")
    return None


def bleed_volume(typed: Mapping[str, Any]) -> CircuitVolume:
    """The volume from the figures of a bleed as typed; every refusal names its field."""
    si = {name: _read(name, typed) for name in ASKED}
    before, after = si["before"] or 0.0, si["after"] or 0.0
    if not before > after:
        raise InputError("inputs.after", typed.get("after"), "less than before: air was let out")
    if not before - after > (si["own"] or 0.0):
        raise InputError("inputs.own", typed.get("own"), "less than the whole drop")
    return volume_by_air_let_out(
        si["bleed"] or 0.0, si["minutes"] or 0.0, before - after, si["own"] or 0.0,
        gauge_step=si["step"] or 0.0,
    )  # fmt: skip


def _read(name: str, typed: Mapping[str, Any]) -> float | None:
    dimension, unit, needed = ASKED[name]
    text = str(typed.get(name) or "").strip()
    if not text:
        if needed:
            raise MissingError(f"inputs.{name}", f"a {dimension}")
        return None
    return parse(text, dimension, unit, f"inputs.{name}").value


def mistakes(state: State, body: Calculated) -> Iterator[InputError]:
    """What is wrong with the figures of a bleed; nothing for any other sum."""
    if not body.name.startswith(PREFIX):
        return
    key = body.name.removeprefix(PREFIX)
    if key not in state.lookup.circuits:
        yield InputError("name", key, "one of the sheet's circuits")
    try:
        bleed_volume(body.inputs)
    except InputError as error:
        yield error
