"""Sums that somebody went by, as they stood when they were kept; nothing is worked out again."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from casewright.job.state import State
from casewright.voice.document import Facts, Fold, Section, Table
from casewright.voice.quantities import say_chance


@dataclass(frozen=True, slots=True)
class _KeptSum:
    """A snapshot with who kept it and when."""

    name: str
    who: str
    when: str
    body: Mapping[str, Any]


def kept_sums(state: State) -> Section | None:
    """Every sum gone by; None where none was kept. Figures typed for a room's own sum aren't."""
    found = tuple(_found(state))
    if not found:
        return None
    rows = tuple((one.when[:10], one.who, one.name, _short(one.body)) for one in found)
    table = Table("", ("On", "Who", "Sum", "What it said"), rows)
    folds = tuple(Fold(f"{one.name}, {one.when[:10]}", (Facts(_rows(one.body)),)) for one in found)
    return Section("sums-kept", "Sums gone by", (table, *folds))


def _found(state: State) -> Iterator[_KeptSum]:
    for kept in state.calculations:
        if kept.body.outputs:
            body = kept.body
            yield _KeptSum(body.name, kept.who, kept.happened_at, body.model_dump())
    for key, packs in state.packs.items():
        for occasion, pack in packs.items():
            if pack.body.gone_by:
                adjuster = state.lookup.adjusters.get(key)
                name = f"{adjuster.name if adjuster else key}, {occasion}: packs advised"
                yield _KeptSum(name, pack.who, pack.happened_at, pack.body.gone_by)


def _short(body: Mapping[str, Any]) -> str:
    """The verdict in words, the chance, or the first two figures."""
    outputs = body.get("outputs") or {}
    if isinstance(body.get("chance"), float):
        return f"all windows hold: {say_chance(body['chance'])}"
    if outputs.get("in words"):
        return str(outputs["in words"])
    return "; ".join(f"{name} {_text(value)}" for name, value in list(outputs.items())[:2])


def _rows(body: Mapping[str, Any]) -> tuple[tuple[str, str], ...]:
    """Inputs, outputs, method, formula, source, version."""
    rows = [(name, _text(value)) for name, value in (body.get("inputs") or {}).items()]
    rows += [(name, _text(value)) for name, value in (body.get("outputs") or {}).items()]
    named = (("Method", "method"), ("Formula", "formula"), ("Source", "source"),
             ("Worked out by version", "version"))  # fmt: skip
    rows += [(label, str(body[key])) for label, key in named if body.get(key)]
    return tuple(rows)


def _text(value: object) -> str:
    if isinstance(value, Mapping):
        return ", ".join(f"{name} {_text(inner)}" for name, inner in value.items())
    return f"{value:.6g}" if isinstance(value, float) else str(value)
