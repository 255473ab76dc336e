"""What a bench sum says: its form's fields, its answer as blocks, and the snapshot for a log."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Any

from casewright import __version__
from casewright.sums import Given, Line, Sum, Worked, signs, unit_for
from casewright.units import write
from casewright.voice.document import (
    Block,
    Card,
    Caution,
    Document,
    Facts,
    Field,
    Fold,
    Say,
    Section,
)
from casewright.voice.draw_sums import draw
from casewright.voice.quantities import Style, say
from casewright.voice.say_proof_parts import (
    STANDING,
    cautions,
    degrees,
    force,
    lasting,
    small,
    working_fold,
)

KINDS = {"quantity": "measure", "number": "number", "choice": "choice", "ticks": "ticks"}


def fields(one: Sum, style: Style) -> tuple[Field, ...]:
    """The form of a sum; bare numbers are in the unit shown."""
    return tuple(_field(ask, style) for ask in one.asks)


def _field(ask: Given, style: Style) -> Field:
    kind: Any = KINDS.get(ask.kind, "text")
    unit = unit_for(ask, style.units) if ask.kind == "quantity" else ""
    units = signs(ask) if kind == "measure" else ()
    return Field(
        ask.name, ask.label, kind, ask.dimension, unit,
        choices=ask.choices or tuple((sign, sign) for sign in units), needed=ask.needed,
        hint=ask.hint, value=ask.value,
    )  # fmt: skip


def answer_document(worked: Worked, style: Style) -> Document:
    """The answer: first what was asked, then the rest, hard limits, cautions, the working."""
    answer = worked.answer
    lead = tuple((line.name, said(line, style)) for line in answer.lines if line.lead)
    rest = tuple((line.name, said(line, style)) for line in answer.lines if not line.lead)
    first = [Say(told.text, told.tone) for told in answer.words if told.tone in FIRST]
    more = [Say(told.text, told.tone) for told in answer.words if told.tone not in FIRST]
    blocks: list[Block] = [*first, Facts(lead), *_limits(worked, style)]
    if any(working.estimate for _, working in answer.workings):
        blocks.append(Say("The maker's own figures rule.", "estimate"))
    blocks += list(cautions(answer.cautions or (STANDING,)))
    picture = (draw(answer.drawing, style),) if answer.drawing else ()
    facts = (Facts(rest),) if rest else ()
    beside = (Caution(" ".join(answer.beside)),) if answer.beside else ()
    sections = [Section("more", "More of it", (*picture, *beside, *facts, *more))]
    folds: list[Block] = [
        Fold("What it was worked out from", (Facts(tuple(worked.typed.items())),))
    ]
    folds += [working_fold(title, working, style) for title, working in answer.workings]
    sections.append(Section("working", "The working", tuple(folds)))
    if not sections[0].blocks:
        sections = sections[1:]
    return Document("sums", worked.sum.title, Card("The answer", tuple(blocks)), tuple(sections))


FIRST = ("lead", "good", "bad", "unsure")


def _limits(worked: Worked, style: Style) -> tuple[Block, ...]:
    return tuple(
        Caution(f"Never above {said(line, style)}: {line.name}.", "Hard limit")
        for line in worked.answer.ceilings
    )


def said(line: Line, style: Style) -> str:
    """A line's value as people read it: one number, a range, ± its doubt, or words."""
    if isinstance(line.value, str):
        return line.value
    if line.high is not None:
        ends = (_one(line.value, line, style), _one(line.high, line, style))
        if ends[0] == ends[1]:
            return ends[0]
        return f"{ends[0]}, or never" if ends[1] == "never" else f"{_bare(*ends)} to {ends[1]}"
    if line.doubt is not None:
        shown, doubt = (_one(value, line, style) for value in (line.value, line.doubt))
        return f"{_bare(shown, doubt)} ± {doubt}"
    return _one(line.value, line, style)


def _bare(first: str, second: str) -> str:
    """The first text without its unit where the second has the same."""
    number, _, unit = first.rpartition(" ")
    return number if number and second.endswith(f" {unit}") else first


def _one(value: float, line: Line, style: Style) -> str:
    """One number by its kind."""
    if math.isinf(value):
        return "never"
    if line.kind.startswith("in:"):
        return write(value, line.kind.removeprefix("in:"), line.unit)
    if line.kind == "plain":
        return f"{value:.4g} {line.unit}".strip()
    maker = _SAYING.get(line.kind)
    return maker(value, style) if maker else say(value, line.kind, style)


def _size(value: float, style: Style) -> str:
    inches = style.unit("length") in ("in", "thou")
    return write(value, "length", "in" if inches else "mm", 5 if inches else 4)


def _hand(value: float, style: Style) -> str:
    return write(value, "force", style.units.get("force") or "N", 0)


def _lasting(value: float, style: Style) -> str:
    return lasting(value)


_SAYING: Mapping[str, Callable[[float, Style], str]] = {
    "fine": small,
    "size": _size,
    "force": force,
    "hand": _hand,
    "temperature": degrees,
    "lasting": _lasting,
    "stress": lambda value, style: write(value, "pressure", "MPa", 1),
    "leak": lambda value, _: f"{value * 1e3:.2f} Pa·L/s",
    "share": lambda value, style: f"{100 * value:.0f} %",
    "days": lambda value, style: f"{value / 86_400:.0f} days",
}


def snapshot(worked: Worked, style: Style) -> dict[str, Any]:
    """The body of a `calculation`: what went in and came out, as typed and as shown."""
    answer = worked.answer
    first = answer.workings[0][1] if answer.workings else None
    outputs = {line.name: said(line, style) for line in answer.lines}
    told = [told.text for told in answer.words if told.tone in FIRST]
    return {
        "name": worked.sum.title,
        "inputs": dict(worked.typed),
        "outputs": {**({"in words": " ".join(told)} if told else {}), **outputs},
        "method": first.method if first else worked.sum.key,
        "formula": first.formula if first else "",
        "source": first.source[:200] if first else "",
        "version": __version__,
    }


def as_data(worked: Worked) -> Mapping[str, Any]:
    """The answer as plain data in SI, for `--json` and other programs."""
    answer = worked.answer
    return {
        "sum": worked.sum.key,
        "typed": dict(worked.typed),
        "answers": [
            {"name": one.name, "value": _finite(one.value), "to": _finite(one.high),
             "doubt": one.doubt, "kind": one.kind, "unit": one.unit}
            for one in answer.lines
        ],
        "words": [{"text": told.text, "tone": told.tone} for told in answer.words],
        "never above": [{"what": one.name, "value": one.value, "kind": one.kind}
                        for one in answer.ceilings],
        "cautions": list(answer.cautions),
    }  # fmt: skip


def _finite(value: float | str | None) -> float | str | None:
    """JSON knows no infinity."""
    return "never" if isinstance(value, float) and math.isinf(value) else value
