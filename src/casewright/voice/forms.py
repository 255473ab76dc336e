"""From what a form posted to the body of an entry: nested names, several boxes, no empty ones.

A field `lines.0.size` is the `size` of the first of `lines`. The same name several times is a
list. Nothing typed is judged here; the body's model and the job's rules do that, all at once.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, get_origin

from casewright.job.kinds import BODIES


def body_from(kind: str, posted: Mapping[str, Sequence[str]]) -> dict[str, Any]:
    """The plain body for an entry of `kind`; `fixed` holds JSON of the parts that are not asked."""
    body: dict[str, Any] = {}
    for text in posted.get("fixed", ()):
        body |= json.loads(text or "{}")
    fields = BODIES[kind].model_fields
    for name, values in posted.items():
        top = name.partition(".")[0]
        if top not in fields:
            continue
        given = [value for value in values if value.strip()]
        if not given:
            continue
        if name == "values":
            _keep_places(body, values, posted.get("place", ()))
        many = "." not in name and get_origin(fields[top].annotation) is tuple
        many = many or (top in ("values", "at") and "." not in name)
        _put(body, name.split("."), _split(given) if many else given[-1])
    tidy = _without_empty(body)
    return tidy if isinstance(tidy, dict) else {}


def pairs(name: str, value: object) -> Iterator[tuple[str, str]]:
    """The names and texts that a form (or `casewright add`) needs to say a part of a body.

    >>> list(pairs("lines", [{"size": "0.20 mm", "count": 2}]))
    [('lines.0.size', '0.20 mm'), ('lines.0.count', '2')]
    """
    if isinstance(value, Mapping):
        for key, inner in value.items():
            yield from pairs(f"{name}.{key}", inner)
    elif isinstance(value, list | tuple):
        rows = bool(value) and isinstance(value[0], Mapping)
        for index, inner in enumerate(value):
            yield from pairs(f"{name}.{index}" if rows else name, inner)
    elif value not in ("", None, False):
        yield name, "true" if value is True else str(value)


def _split(given: Sequence[str]) -> list[str]:
    """Several boxes, and several lines or semicolons in one box, as one list."""
    return [part.strip() for text in given for part in _parts(text) if part.strip()]


def _keep_places(body: dict[str, Any], values: Sequence[str], names: Sequence[str]) -> None:
    """A box left empty takes the name of its place with it: the others stay where they are."""
    told = body.get("at")
    places = told if isinstance(told, list) else list(names)
    whole = all(value.strip() for value in values)
    if len(places) == len(values) and not whole:
        body["at"] = [at for at, value in zip(places, values, strict=True) if value.strip()]


def _parts(text: str) -> list[str]:
    return text.replace(";", "\n").splitlines()


def _put(body: dict[str, Any], path: list[str], value: object) -> None:
    """Set a value at a nested name; indices become keys, made lists afterwards."""
    for step in path[:-1]:
        body = body.setdefault(step, {})
    body[path[-1]] = value


def _without_empty(item: Any) -> Any:
    """Indexed mappings as lists, rows with nothing in them dropped."""
    if not isinstance(item, dict):
        return item
    inner = {key: _without_empty(value) for key, value in item.items()}
    if inner and all(key.isdigit() for key in inner):
        return [inner[key] for key in sorted(inner, key=int) if inner[key] not in ({}, "", [])]
    return inner
