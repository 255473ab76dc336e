"""What a shop and a person have set, given to every room beside the state."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any


@dataclass(frozen=True, slots=True)
class Settings:
    """Date of today (the core has no clock), rates and tools of the shop, data files as mappings.

    `today`: ISO date. `hourly_rate` and `waiting_per_day`: money of the job's currency.
    `units`: dimension to the unit shown. `tools_missing`: tools that the shop doesn't own.
    `cause_family`: the cause network's family file as a plain mapping.
    """

    today: str
    hourly_rate: float = 60.0
    waiting_per_day: float = 0.0
    units: Mapping[str, str] = field(default_factory=dict)
    tools_missing: frozenset[str] = frozenset()
    cause_family: Mapping[str, Any] = field(default_factory=dict)
    cause_threshold: float = 0.5
    oven_watts: float = 1500.0
    press_tonnes: float = 10.0

    def with_job(self, made: Mapping[str, str]) -> Settings:
        """The same with what this job has set for itself (entries of kind `setting`)."""
        missing = {t.strip() for t in made.get("tools-missing", "").split(",") if t.strip()}
        return replace(
            self,
            hourly_rate=_number(made.get("hourly-rate"), self.hourly_rate),
            waiting_per_day=_number(made.get("waiting-per-day"), self.waiting_per_day),
            tools_missing=self.tools_missing | missing,
        )


def _number(text: str | None, otherwise: float) -> float:
    try:
        return float(text) if text else otherwise
    except ValueError:
        return otherwise
