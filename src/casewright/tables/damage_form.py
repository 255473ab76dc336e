"""What an entry of the damage vocabulary holds, and how a row of its tables is written."""

from __future__ import annotations

from dataclasses import dataclass

SEVERITIES = ("trace", "moderate", "severe", "destroyed")
GEARS, BEARINGS, SHOP = "ISO 10825", "ISO 15243", "shop word"
GEAR_KINDS = ("gear", "clutch")
BEARING_KINDS = ("bearing", "cup", "cone", "needle-bearing")
CASE_KINDS = ("housing", "carrier", "pump", "other")


@dataclass(frozen=True, slots=True)
class Damage:
    """One kind of damage: the standard's name, how it looks, where it comes from, its four steps.

    `kinds` are the kinds of part that it is offered for; `picture` the drawing that shows it;
    `finding` the finding of the supplied cause network that it answers with yes, if any.
    """

    key: str
    name: str
    group: str
    standard: str
    looks: str
    comes_from: str
    steps: tuple[str, str, str, str]
    picture: str
    kinds: tuple[str, ...]
    finding: str = ""

    def step(self, severity: str) -> str:
        """What a severity means for this damage; empty for an unknown word."""
        return dict(zip(SEVERITIES, self.steps, strict=True)).get(severity, "")
