"""What a bench sum asks, and how typed texts become SI values: units at the door, all at once."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from casewright.errors import (
    CasewrightError,
    FormErrors,
    InputError,
    MissingError,
    QuantityError,
    RangeError,
)
from casewright.sums.answer import Answer
from casewright.units import dimension_named, parse, parse_any

Kind = Literal["quantity", "number", "words", "choice", "ticks", "any"]
# Dimensions that may be zero or negative; every other quantity must be more than zero.
SIGNED = ("temperature", "potential", "angle")


@dataclass(frozen=True, slots=True)
class Given:
    """One thing that a sum asks for.

    `kind`: quantity (of a `dimension`, bare numbers in `unit`), number, words, choice, ticks
    (several of `choices`), any (a quantity of any kind). `low` and `high` bound the SI value; the
    bounds are said in `bounds`. `value` stands where nothing was typed.
    """

    name: str
    label: str
    kind: Kind = "quantity"
    dimension: str = ""
    unit: str = ""
    choices: tuple[tuple[str, str], ...] = ()
    needed: bool = False
    value: str = ""
    hint: str = ""
    low: float | None = None
    high: float | None = None
    bounds: str = ""
    from_zero: bool = False
    front: bool = False

    @property
    def shown(self) -> bool:
        """Whether it stands in the form at once, not among what may be left out."""
        return self.needed or self.front


@dataclass(frozen=True, slots=True)
class Sum:
    """One bench sum: its key, what it answers, what it asks, and the function that works it out.

    `blames` maps the field that a formula names in its refusal to the field of this form.
    """

    key: str
    title: str
    question: str
    group: str
    asks: tuple[Given, ...]
    work: Callable[..., Answer]
    caution: str = ""
    button: str = "Work it out"
    blames: Mapping[str, str] | None = None


@dataclass(frozen=True, slots=True)
class Worked:
    """A sum worked out: what was typed (with units), and the answer."""

    sum: Sum
    typed: Mapping[str, str]
    answer: Answer


def unit_for(one: Given, likes: Mapping[str, str]) -> str:
    """The unit of a bare number: what the person likes for that kind, else the trade's."""
    liked = likes.get(one.dimension, "")
    if one.unit == "µm":
        return "thou" if liked in ("in", "thou") else "µm"
    if one.dimension == "length" and one.unit != "mm":
        return one.unit
    return liked or one.unit


def work_out_sum(
    one: Sum, typed: Mapping[str, str | Sequence[str]], likes: Mapping[str, str]
) -> Worked:
    """Read every field, then work the sum out; a refusal names the field that it is about."""
    texts = {ask.name: _texts(ask, typed) for ask in one.asks}
    _unknown(one, typed)
    values, mistakes = {}, []
    for ask in one.asks:
        unit = (_first(typed.get(f"{ask.name}.unit")) or unit_for(ask, likes)).strip()
        try:
            values[ask.name] = _value(ask, texts[ask.name], unit)
        except InputError as error:
            mistakes.append(error)
    if mistakes:
        raise FormErrors(one.title, mistakes)
    shown = {
        ask.label: _shown(ask, texts[ask.name], _first(typed.get(f"{ask.name}.unit")), likes)
        for ask in one.asks
        if texts[ask.name]
    }
    try:
        return Worked(one, shown, one.work(**values))
    except FormErrors:
        raise
    except InputError as error:
        raise _blamed(one, error, texts) from error


def _unknown(one: Sum, typed: Mapping[str, object]) -> None:
    """A name that this sum doesn't ask for is a slip of the pen, not to be swallowed."""
    names = [ask.name for ask in one.asks]
    odd = [name for name in typed if name.removesuffix(".unit") not in names]
    if odd:
        raise FormErrors(
            one.title, [InputError(name, typed[name], "one of " + ", ".join(names)) for name in odd]
        )


def _first(given: str | Sequence[str] | None) -> str:
    if given is None:
        return ""
    return given if isinstance(given, str) else (given[0] if given else "")


def _texts(ask: Given, typed: Mapping[str, str | Sequence[str]]) -> tuple[str, ...]:
    """What was typed for a field, or its standing value."""
    given = typed.get(ask.name, ())
    texts = (given,) if isinstance(given, str) else tuple(given)
    if ask.kind == "ticks":
        texts = tuple(part for text in texts for part in text.split(","))
    texts = tuple(text.strip() for text in texts if text.strip())
    return texts or ((ask.value,) if ask.value else ())


def _shown(ask: Given, texts: tuple[str, ...], unit: str, likes: Mapping[str, str]) -> str:
    """A field as it was said, with its unit, for the snapshot."""
    if ask.kind in ("choice", "ticks"):
        words = dict(ask.choices)
        return ", ".join(words.get(text, text) for text in texts)
    if ask.kind == "quantity":
        bare = parse(texts[0], ask.dimension, unit or unit_for(ask, likes), ask.name)
        return f"{texts[0]} {bare.unit}" if bare.bare else texts[0]
    return texts[0]


def _value(ask: Given, texts: tuple[str, ...], unit: str) -> Any:
    """The value of one field: SI, number, words or choice; None where nothing was given."""
    if not texts:
        if ask.needed:
            raise MissingError(ask.name, _expected(ask), ask.hint and f"{ask.hint}.")
        return () if ask.kind == "ticks" else "" if ask.kind == "words" else None
    if ask.kind == "ticks":
        return tuple(_chosen(ask, text) for text in texts)
    if ask.kind == "choice":
        return _chosen(ask, texts[0])
    if ask.kind == "words":
        return texts[0]
    if ask.kind == "any":
        return parse_any(texts[0], ask.name)
    if ask.kind == "number":
        return _within(ask, texts[0], _number(ask, texts[0]))
    return _within(ask, texts[0], parse(texts[0], ask.dimension, unit, ask.name).value)


def _expected(ask: Given) -> str:
    if ask.choices:
        return "one of " + ", ".join(value for value, _ in ask.choices)
    return ask.label.lower()


def _chosen(ask: Given, text: str) -> str:
    if text not in dict(ask.choices):
        raise InputError(ask.name, text, _expected(ask))
    return text


def _number(ask: Given, text: str) -> float:
    try:
        value = float(text.replace(",", "."))
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        raise QuantityError(ask.name, text, "a plain number", "Type it like 0.08.")
    return value


def _within(ask: Given, text: str, value: float) -> float:
    """The value where its bounds hold."""
    below = ask.low is not None and value < ask.low
    above = ask.high is not None and value > ask.high
    if below or above:
        raise RangeError(ask.name, text, ask.bounds or "a value within reason", _doubt(ask))
    zero_is_well = ask.from_zero and value == 0
    if ask.low is None and ask.dimension not in SIGNED and not (value > 0 or zero_is_well):
        raise RangeError(ask.name, text, "more than zero", "Check the sign.")
    return value


def _doubt(ask: Given) -> str:
    if ask.dimension == "temperature":
        return "Is it in the unit that was meant? 20 °C is 293.15 K and 68 °F."
    return "Is it in the unit that was meant?" if ask.dimension else ""


def _blamed(one: Sum, error: InputError, texts: Mapping[str, tuple[str, ...]]) -> CasewrightError:
    """A formula's refusal as the mistake of a field of this form; as it was where none is meant."""
    names = {ask.name for ask in one.asks}
    field = (one.blames or {}).get(error.field, error.field.replace(" ", "_"))
    if field not in names:
        return error
    given = ", ".join(texts[field])
    if isinstance(error, MissingError) or not given:
        said: InputError = MissingError(field, error.expected, error.remedy)
    else:
        said = InputError(field, given, error.expected, error.remedy)
    return FormErrors(one.title, [said])


def signs(ask: Given) -> tuple[str, ...]:
    """The units offered beside a field."""
    return dimension_named(ask.dimension).signs if ask.dimension else ()
