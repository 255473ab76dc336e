"""A bearing's figures: its maker's, from the sheet, and those typed for it. Two rooms read them."""

from __future__ import annotations

from collections.abc import Mapping

from casewright.drive.lookup import Lookup
from casewright.drive.schema_setup import BearingData
from casewright.job.state import State
from casewright.mechanics.bearing_life import Kind
from casewright.units import parse

LIFE = "bearing-life:"
METHOD = "ISO 281, ISO 76"


def typed_figures(state: State, name: str) -> Mapping[str, object] | None:
    """What was typed last for the calculation of this name; None where nothing was."""
    found = [kept.body.inputs for kept in state.calculations if kept.body.name == name]
    return found[-1] if found else None


def figure(
    typed: Mapping[str, object], key: str, dimension: str = "force", unit: str = "N"
) -> float | None:
    """One typed figure [SI]; None where it was left empty."""
    text = str(typed.get(key) or "").strip()
    return parse(text, dimension, unit, key).value if text else None


def data_at(lookup: Lookup, position: str) -> BearingData | None:
    """A bearing's figures in the sheet: on its own part, or on its cup or cone."""
    if position not in lookup.positions:
        return None
    near = (position, *sorted(lookup.matched_with.get(position, ())))
    return next((d for p in near if (d := lookup.part_at(p).bearing) is not None), None)


def rolls_on(state: State, position: str) -> Kind:
    """Balls or rollers: as its maker's figures say, else by the kind of part."""
    data = data_at(state.lookup, position)
    if data is not None:
        return "ball" if data.kind == "ball" else "roller"
    return "ball" if state.lookup.part_at(position).kind == "bearing" else "roller"
