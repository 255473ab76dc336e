"""What may get how hot: the sheet's ceiling of a unit, and the ceilings of what is still in it."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.drive.schema import Joint, Position
from casewright.job.build import positions_out
from casewright.job.state import State
from casewright.tables.temperature_ceilings import CEILINGS, Ceiling

SEALS = ("seal", "o-ring", "gasket")
BEARINGS = ("bearing", "needle-bearing", "cup", "cone")


def ceilings_of(state: State, joint: Joint) -> tuple[Ceiling, ...]:
    """Ceilings of everything that gets hot with this joint, the sheet's own first."""
    return tuple(_ceilings(state, joint))


def _ceilings(state: State, joint: Joint) -> Iterator[Ceiling]:
    units = units_of(state, joint)
    given = [one for one in state.lookup.sheet.heat_ceilings if one.unit in units]
    for one in given:
        name = next((u.name for u in state.lookup.sheet.units if u.key == one.unit), one.unit)
        yield Ceiling("sheet", f"{name}, by the sheet", one.most.value, one.source or "sheet")
    hub = joint.fit.hub_material if joint.fit else ""
    if hub == "aluminium" and not given:
        yield CEILINGS["t6-casting"]
    elif hub != "aluminium":
        yield CEILINGS["case-hardened"]
    yield CEILINGS["paint"]
    for position in _still_in(state, joint):
        part = state.lookup.parts[position.part]
        if part.kind in SEALS and part.seal_kind.lower() in CEILINGS:
            typical = CEILINGS[part.seal_kind.lower()]
            yield Ceiling(
                typical.key, f"{position.name} ({part.seal_kind}), left in place",
                typical.lasting, typical.known, typical.steps,
            )  # fmt: skip
    if any(state.lookup.parts[p.part].kind in BEARINGS for p in _still_in(state, joint)):
        yield CEILINGS["bearing"]


def units_of(state: State, joint: Joint) -> frozenset[str]:
    """Units in which the joint's positions sit."""
    places = state.lookup.positions
    return frozenset(places[key].unit for key in joint.holds if key in places)


def _still_in(state: State, joint: Joint) -> list[Position]:
    """Positions of the unit that never came out in this job."""
    units, out = units_of(state, joint), positions_out(state)
    return [
        position
        for position in state.lookup.sheet.positions
        if position.unit in units and position.key not in out and position.key not in joint.holds
    ]


def left_in_place(state: State, joint: Joint) -> tuple[str, ...]:
    """Names of seals and bearings that are still in the unit and get hot with it."""
    kinds = (*SEALS, *BEARINGS)
    return tuple(
        position.name
        for position in _still_in(state, joint)
        if state.lookup.parts[position.part].kind in kinds
    )


def heated_part(state: State, joint: Joint) -> tuple[str, float | None]:
    """The casting that is heated, with its mass [kg]: the unit's housing, else the whole unit."""
    units = units_of(state, joint)
    for position in state.lookup.sheet.positions:
        part = state.lookup.parts[position.part]
        if position.unit in units and part.kind == "housing" and part.mass is not None:
            return position.name, part.mass.value
    for unit in state.lookup.sheet.units:
        if unit.key in units and unit.mass is not None:
            return unit.name, unit.mass.value
    return "the unit", None
