"""Where a nut, ring or sleeve stands, as typed: turns, degrees, notches, a length from a start."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

from casewright.drive.schema import PACKED, Adjuster
from casewright.errors import InputError, QuantityError
from casewright.job import kinds
from casewright.job.build import adjusters_of
from casewright.job.state import State
from casewright.units import Quantity, parse, parse_any

_SETTING = re.compile(r"^\s*([-−+]?)\s*(.*?)\s*$")
_TURNS = re.compile(r"^(.*?)\s*turns?$", re.I)
_NOTCHES = re.compile(r"^(.*?)\s*notch(?:es)?$", re.I)
EXPECTED = "turns, degrees, notches or a length from one start"
REMEDY = "Type it like 2.25 turns, 1/4 turn, 90°, 3 notches or 0.30 mm; farther out with a minus."


def read_setting(text: str, notches: int = 0) -> Quantity:
    """A setting as typed, less than nothing farther out; `notches` of the sheet in one turn.

    >>> read_setting("-1/4 turn").value
    -0.25
    >>> read_setting("3 notches", 24).value
    0.125
    """
    sign, plain = _SETTING.match(text).groups()  # type: ignore[union-attr]
    try:
        if counted := _NOTCHES.match(plain):
            if not notches:
                raise QuantityError("setting", text, "turns: the sheet has no number of notches")
            found = parse(counted[1], "count", "×")
            found = replace(found, value=found.value / notches)
        elif turned := _TURNS.match(plain):
            found = parse(turned[1], "count", "×")
        else:
            found = parse_any(plain, "setting")
    except InputError as error:
        raise QuantityError("setting", text, EXPECTED, REMEDY) from error
    return replace(
        found, text=text.strip(), value=-found.value if sign in ("-", "−") else found.value
    )


def wrong_setting(state: State, body: kinds.Reading | kinds.PackFitted) -> Iterator[InputError]:
    """A setting that can't be read would teach nothing, unseen."""
    turned = _turned(state, body)
    if body.setting and turned:
        try:
            read_setting(body.setting, max(one.notches for one in turned))
        except InputError as error:
            yield error


def _turned(state: State, body: kinds.Reading | kinds.PackFitted) -> list[Adjuster]:
    """The turned adjusters that a setting may be of."""
    if isinstance(body, kinds.PackFitted):
        keys: tuple[str, ...] = (body.adjuster,)
    else:
        response = state.lookup.responses.get(body.target)
        keys = adjusters_of(state, response) if response else ()
    found = [state.lookup.adjusters[key] for key in keys if key in state.lookup.adjusters]
    return [one for one in found if one.kind not in PACKED]
