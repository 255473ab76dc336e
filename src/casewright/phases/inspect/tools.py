"""Which instrument for which feature, and the register with what this job taught about each."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache

from casewright.drive.schema import Feature
from casewright.errors import CasewrightError
from casewright.job.feature_verdicts import suiting
from casewright.job.gauged import with_setting
from casewright.job.instruments import BenchInstrument, bench_instrument
from casewright.job.limits import Limits
from casewright.job.state import State
from casewright.reasoning.instrument_choice import Suitability, suggest, suitability
from casewright.reasoning.readings import Instrument
from casewright.units import DIMENSIONS

# Kinds whose size as new is nothing: the room to their single limit is the limit itself.
FROM_ZERO = ("wear", "run-out", "flatness", "squareness", "ovality", "twist")


@dataclass(frozen=True, slots=True)
class ToolLine:
    """An instrument of the register: its figures, and whether it is past its date today."""

    bench: BenchInstrument
    overdue: bool
    measures: str


def register(state: State, today: str) -> tuple[ToolLine, ...]:
    """The register, with what repeats of this job taught about each."""
    return tuple(
        ToolLine(
            bench_instrument(state, name, kept.body.measures, day=today),
            bool(kept.body.due and kept.body.due < today),
            kept.body.measures,
        )
        for name, kept in state.instruments.items()
        if kept.body.measures in DIMENSIONS
    )


def tools_for(
    state: State, feature: Feature, limits: Limits, today: str
) -> tuple[Suitability, ...]:
    """Instruments for a feature, the suggested one first; none where nothing can be said.

    What the sheet names stands in the list too, by practice values where the register lacks it.
    """
    if not limits.known or (_nominal(feature, limits) is None and not _both(limits)):
        return ()
    found = {one.name: _today(one, today) for one in suiting(state, feature, limits)}
    if feature.instrument and feature.instrument not in found:
        named = bench_instrument(state, feature.instrument, limits.dimension, day=today)
        found[feature.instrument] = _today(named, today)
    usable = tuple(
        with_setting(state, feature, one) for one in found.values() if one.resolution > 0
    )
    return _suggested(usable, limits.low, limits.high, _nominal(feature, limits), feature.kind)


def _both(limits: Limits) -> bool:
    return limits.low is not None and limits.high is not None


def _nominal(feature: Feature, limits: Limits) -> float | None:
    return 0.0 if feature.kind in FROM_ZERO and not _both(limits) else None


def _today(one: BenchInstrument, today: str) -> Instrument:
    return replace(one.instrument, overdue=bool(one.due and one.due < today))


@lru_cache(maxsize=1024)
def _suggested(
    instruments: tuple[Instrument, ...],
    low: float | None,
    high: float | None,
    nominal: float | None,
    kind: str,
) -> tuple[Suitability, ...]:
    if not instruments:
        return ()
    try:
        return suggest(instruments, low, high, nominal, kind=kind)
    except CasewrightError:
        return ()


@lru_cache(maxsize=1024)
def _suits(
    instrument: Instrument, low: float | None, high: float | None, nominal: float | None, kind: str
) -> Suitability | None:
    try:
        return suitability(instrument, low, high, nominal, kind=kind)
    except CasewrightError:
        return None


def warning_of(state: State, feature: Feature, limits: Limits, used: Instrument) -> str:
    """What the instrument that was used can't do here; empty where it can decide."""
    if not limits.known or used.resolution <= 0:
        return ""
    used = with_setting(state, feature, used)
    found = _suits(used, limits.low, limits.high, _nominal(feature, limits), feature.kind)
    weak = found is not None and (not found.can_decide or found.undecided > 0.5)
    return found.warning if found and weak else ""


def names(tools: tuple[Suitability, ...], feature: Feature) -> Iterator[str]:
    """Names to choose from, the suggested one first, then the sheet's."""
    yield from dict.fromkeys([one.instrument for one in tools] + [feature.instrument])
