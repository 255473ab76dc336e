"""Find things in a sheet by key, once per sheet."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from types import MappingProxyType
from typing import TypeVar

from casewright.drive.schema import (
    Adjuster,
    Circuit,
    DriveSheet,
    DryReading,
    Feature,
    Joint,
    Mesh,
    Part,
    Position,
    Response,
    Shaft,
)
from casewright.drive.schema_base import Keyed
from casewright.errors import InputError

T = TypeVar("T", bound=Keyed)


def _by_key(items: tuple[T, ...]) -> Mapping[str, T]:
    return MappingProxyType({item.key: item for item in items})


@dataclass(frozen=True)
class Lookup:
    """A sheet with its tables by key; unknown keys raise InputError naming what there is."""

    sheet: DriveSheet

    @cached_property
    def parts(self) -> Mapping[str, Part]:
        """Parts by key."""
        return _by_key(self.sheet.parts)

    @cached_property
    def positions(self) -> Mapping[str, Position]:
        """Positions by key."""
        return _by_key(self.sheet.positions)

    @cached_property
    def joints(self) -> Mapping[str, Joint]:
        """Joints by key."""
        return _by_key(self.sheet.joints)

    @cached_property
    def adjusters(self) -> Mapping[str, Adjuster]:
        """Adjusters by key."""
        return _by_key(self.sheet.adjusters)

    @cached_property
    def responses(self) -> Mapping[str, Response]:
        """Responses by key."""
        return _by_key(self.sheet.responses)

    @cached_property
    def features(self) -> Mapping[str, Feature]:
        """Features by key."""
        return _by_key(self.sheet.features)

    @cached_property
    def meshes(self) -> Mapping[str, Mesh]:
        """Meshes by key."""
        return _by_key(self.sheet.meshes)

    @cached_property
    def shafts(self) -> Mapping[str, Shaft]:
        """Shafts by key."""
        return _by_key(self.sheet.shafts)

    @cached_property
    def circuits(self) -> Mapping[str, Circuit]:
        """Circuits by key."""
        return _by_key(self.sheet.circuits)

    @cached_property
    def dry_readings(self) -> Mapping[str, DryReading]:
        """Dry readings by key."""
        return _by_key(self.sheet.dry_readings)

    @cached_property
    def features_at(self) -> Mapping[str, tuple[Feature, ...]]:
        """Position key to its features."""
        found: dict[str, tuple[Feature, ...]] = {}
        for feature in self.sheet.features:
            found[feature.position] = (*found.get(feature.position, ()), feature)
        return MappingProxyType(found)

    @cached_property
    def matched_with(self) -> Mapping[str, frozenset[str]]:
        """Position key to the positions that stay or go with it (itself included)."""
        found: dict[str, frozenset[str]] = {}
        for group in self.sheet.matched_sets:
            joined = frozenset(group.positions).union(*(found.get(p, ()) for p in group.positions))
            found.update(dict.fromkeys(joined, joined))
        return MappingProxyType(found)

    def meshes_with(self, position: str) -> tuple[Mesh, ...]:
        """The meshes in which the piece of a position runs."""
        return tuple(one for one in self.sheet.meshes if position in (one.pinion, one.gear))

    def part_at(self, position: str) -> Part:
        """The part that a position holds."""
        if position not in self.positions:
            raise InputError("position", position, f"one of {', '.join(self.positions)}")
        return self.parts[self.positions[position].part]

    def name_of(self, key: str) -> str:
        """The words for any key of the sheet; the key itself where there are none."""
        tables: tuple[Mapping[str, Keyed], ...] = (
            self.positions, self.joints, self.adjusters, self.responses, self.features,
            self.meshes, self.shafts, self.circuits, self.parts,
        )  # fmt: skip
        return next((table[key].name for table in tables if key in table), key)
