"""Public functions of the computing layers say shapes, units, validity, errors and source.

The form (checked here for `tables`, `mechanics` and `reasoning`):

    What it gives; the formula in words or symbols.

    Args:
        name: meaning [unit], shape where it is an array.
    Returns:
        meaning [unit].
    Valid: range of validity and known bias.
    Raises: errors, or "nothing".
    Source: KEY of docs/theory/*.md with clause, equation or table; or "own: ..." / "common practice".
"""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

LAYERS = ("tables", "mechanics", "reasoning")
THEORY = Path(__file__).parents[2] / "docs" / "theory"
UNIT = re.compile(r"\[[^\]]*\]")


def public_functions() -> list[Any]:
    """Every public function defined in the computing layers."""
    found = []
    for layer in LAYERS:
        package = importlib.import_module(f"casewright.{layer}")
        for info in pkgutil.walk_packages(package.__path__, package.__name__ + "."):
            module = importlib.import_module(info.name)
            for name, item in vars(module).items():
                if inspect.isfunction(item) and item.__module__ == info.name and name[0] != "_":
                    found.append(
                        pytest.param(item, id=f"{info.name.removeprefix('casewright.')}.{name}")
                    )
    return found


def bibliography() -> set[str]:
    """Keys defined as `- **KEY**: ...` in the theory pages."""
    text = "\n".join(path.read_text("utf-8") for path in THEORY.glob("*.md"))
    return set(re.findall(r"^- \*\*([^*]+)\*\*:", text, re.MULTILINE))


def section(doc: str, name: str) -> str:
    """The text of one section, up to the next."""
    match = re.search(
        rf"^{name}:(.*?)(?=^(?:Args|Returns|Valid|Raises|Source|Example):|\Z)", doc, re.M | re.S
    )
    return match[1] if match else ""


@pytest.mark.parametrize("function", public_functions())
def test_docstring_has_the_form(function: Callable[..., Any]) -> None:
    doc = inspect.cleandoc(function.__doc__ or "")
    assert doc, "no docstring"
    arguments = section(doc, "Args")
    for name in inspect.signature(function).parameters:
        entry = re.search(
            rf"^\s+\*{{0,2}}{name}:(.*?)(?=^\s+\*{{0,2}}\w+:|\Z)", arguments, re.M | re.S
        )
        assert entry, f"argument {name} is not described"
        assert UNIT.search(entry[1]), f"argument {name} has no [unit]"
    assert UNIT.search(section(doc, "Returns")), "Returns has no [unit]"
    for name in ("Valid", "Raises", "Source"):
        assert section(doc, name).strip(), f"no {name}"


@pytest.mark.parametrize("function", public_functions())
def test_source_is_in_the_bibliography(function: Callable[..., Any]) -> None:
    source = section(inspect.cleandoc(function.__doc__ or ""), "Source").strip()
    if re.match(r"(own|common practice)\b", source):
        return
    key = re.match(r"[\w.\-]+", source)
    assert key
    assert key[0] in bibliography(), f"{source!r}: no such key in docs/theory"
