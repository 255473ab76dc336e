"""What a shop and a person have set, given to every room beside the state."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from casewright.job.prices import read_sum
from casewright.job.state import State


@dataclass(frozen=True, slots=True)
class Settings:
    """Date of today (the core has no clock), rates and tools of the shop, data files as mappings.

    `today`: ISO date. `hourly_rate` and `waiting_per_day`: money of the job's currency.
    Nobody has said what waiting costs where `waiting_per_day` is None. `units`: dimension to the
    unit shown. `tools_missing`: tools that the shop doesn't own.
    `cause_family`: the cause network's family file as a plain mapping. `shop`: what lies beneath
    where a job has set its own. `earlier`: earlier jobs of the same leg, the oldest first.
    `family`: other jobs on the same drive sheet in which contact patterns were seen.
    """

    today: str
    hourly_rate: float = 60.0
    waiting_per_day: float | None = None
    units: Mapping[str, str] = field(default_factory=dict)
    tools_missing: frozenset[str] = frozenset()
    cause_family: Mapping[str, Any] = field(default_factory=dict)
    cause_threshold: float = 0.5
    oven_watts: float = 1500.0
    press_tonnes: float = 10.0
    shop: Settings | None = None
    earlier: tuple[State, ...] = ()
    family: tuple[State, ...] = ()

    def with_job(self, made: Mapping[str, str]) -> Settings:
        """The shop's with what this job has set for itself (entries of kind `setting`)."""
        shop = self.shop or self
        missing = {t.strip() for t in made.get("tools-missing", "").split(",") if t.strip()}
        return replace(
            shop,
            hourly_rate=read_sum(made.get("hourly-rate")) or shop.hourly_rate,
            waiting_per_day=_either(read_sum(made.get("waiting-per-day")), shop.waiting_per_day),
            tools_missing=shop.tools_missing | missing,
            shop=shop,
        )


def _either(first: float | None, other: float | None) -> float | None:
    return other if first is None else first
