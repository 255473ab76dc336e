"""Every published value in `tests/published/*.toml` is reproduced to its printed digits.

A case:

    [[case]]
    id = "O5-forces"
    call = "casewright.mechanics.bevel:tooth_forces"
    source = "title, edition, example or clause"
    known = "read"                # read | recomputed | memory | derived | own
    inputs = { power = "8 kW", pitch_radius = "200 mm", teeth = 20, sizes = ["1 mm", "2 mm"] }
    [case.expect]
    tangential = "1061 N"         # attribute path of the result: "pinion.radial", "[0]", "" for the result itself
    ratio = "2.00"
    [case.tolerance]              # only where the source or check list states one; else half of the last printed digit
    tangential = "0.5 N"          # absolute, or "0.3 %" of the printed value
    [case.raises]                 # instead of expect: the error class and words of its message
    error = "RangeError"
    says = "diameter"

Inputs that read as a number with a unit become SI floats; other strings stay as they are.
An expected value that is not a number (a word, true/false, a list of words) must be equal.
`as_unit` is not needed: our SI result is converted to the unit that the source printed.
"""

from __future__ import annotations

import importlib
import re
import tomllib
from decimal import Decimal
from pathlib import Path
from typing import Any

import pint
import pytest

from casewright import errors

REGISTRY = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)
REGISTRY.define("ppm = 1e-6")
NUMBER = re.compile(r"^([+-]?\d*\.?\d+(?:[eE][+-]?\d+)?)(?:\s+(\S.*)|\s*(%))?$")
KNOWN = {"read", "recomputed", "memory", "derived", "own"}


def cases() -> list[Any]:
    """All cases of all files, named file:id."""
    found = []
    for path in sorted(Path(__file__).parent.glob("*.toml")):
        for case in tomllib.loads(path.read_text("utf-8"))["case"]:
            found.append(pytest.param(case, id=f"{path.stem}:{case['id']}"))
    return found


def to_si(value: object) -> object:
    """A quantity string as an SI float, lists and tables item by item, the rest unchanged."""
    if isinstance(value, list):
        return [to_si(item) for item in value]
    if isinstance(value, dict):
        return {key: to_si(item) for key, item in value.items()}
    if isinstance(value, str) and (match := NUMBER.match(value)):
        unit = match[2] or match[3]
        if unit is None:
            return float(match[1])
        if unit == "%":
            return float(match[1]) / 100
        return REGISTRY.Quantity(float(match[1]), unit).to_base_units().magnitude
    return value


def printed(text: str) -> tuple[float, str, float]:
    """Value, unit and half of the last printed digit."""
    match = NUMBER.match(text)
    assert match, f"not a number with a unit: {text!r}"
    exponent = Decimal(match[1]).as_tuple().exponent
    assert isinstance(exponent, int)
    return float(match[1]), match[2] or match[3] or "", 0.5 * 10.0**exponent


def in_unit(value: float, unit: str) -> float:
    """An SI number in the unit that the source printed."""
    if unit == "":
        return value
    if unit == "%":
        return 100 * value
    base = REGISTRY.Quantity(1, unit).to_base_units().units
    return REGISTRY.Quantity(value, base).to(unit).magnitude


def pick(result: Any, path: str) -> Any:
    """Follow an attribute path with indices and keys: `pinion.radial`, `[0].mean`."""
    for step in re.findall(r"\[(-?\d+|\w+)\]|([^.\[\]]+)", path):
        index, name = step
        if index:
            result = result[int(index) if index.lstrip("-").isdigit() else index]
        elif isinstance(result, dict):
            result = result[name]
        else:
            result = getattr(result, name)
    return result


def assert_printed(got: Any, wanted: object, stated: str | None) -> None:
    """`got` equals the printed value within its digits, or the stated tolerance."""
    if isinstance(wanted, list):
        assert len(got) == len(wanted)
        for one, other in zip(got, wanted, strict=True):
            assert_printed(one, other, stated)
        return
    if not (isinstance(wanted, str) and NUMBER.match(wanted)):
        assert got == wanted or str(got) == wanted
        return
    value, unit, tolerance = printed(wanted)
    if stated is not None:
        amount, tolerance_unit, _ = printed(stated)
        tolerance = amount / 100 * abs(value) if tolerance_unit == "%" else amount
    assert in_unit(float(got), unit) == pytest.approx(value, abs=tolerance * (1 + 1e-9), rel=0)


@pytest.mark.parametrize("case", cases())
def test_case_is_reproduced(case: dict[str, Any]) -> None:
    assert case["source"].strip() and set(re.split(r"[+, ]+", case["known"])) <= KNOWN
    module, name = case["call"].split(":")
    function = getattr(importlib.import_module(module), name)
    inputs = {key: to_si(value) for key, value in case.get("inputs", {}).items()}
    if raised := case.get("raises"):
        with pytest.raises(
            getattr(errors, raised["error"]), match=re.escape(raised.get("says", ""))
        ):
            function(**inputs)
        return
    result = function(**inputs)
    assert case["expect"], "a case without an expected value proves nothing"
    for path, wanted in case["expect"].items():
        assert_printed(pick(result, path), wanted, case.get("tolerance", {}).get(path))
