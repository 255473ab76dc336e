"""Read a sheet's text: grammar, strict schema and meaning, all mistakes in one pass with lines."""

from __future__ import annotations

import hashlib
import json
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from casewright.drive.findings import Finding
from casewright.drive.lines import line_map, line_of
from casewright.drive.meaning import meaning
from casewright.drive.schema import SHEET_VERSION, DriveSheet
from casewright.drive.upgrade import upgrade, version_of
from casewright.errors import SheetError

Lines = Mapping[tuple[str | int, ...], int]


@dataclass(frozen=True, slots=True)
class Loaded:
    """A sheet with its text, the digest of that text, and what was found in it."""

    sheet: DriveSheet
    text: str
    digest: str
    warnings: tuple[Finding, ...]


def digest_of(text: str) -> str:
    """SHA-256 of a sheet's text, which a job keeps beside it."""
    return hashlib.sha256(text.encode("utf-8")).hexdigest()


def load(text: str, name: str = "sheet") -> Loaded:
    """A usable sheet from TOML text; SheetError with every mistake otherwise."""
    sheet, findings = check(text)
    mistakes = [finding for finding in findings if finding.weight == "mistake"]
    if sheet is None or mistakes:
        raise SheetError(name, mistakes)
    return Loaded(sheet, text, digest_of(text), tuple(f for f in findings if f.weight == "warning"))


def check(text: str) -> tuple[DriveSheet | None, tuple[Finding, ...]]:
    """The sheet where it can be read at all, and everything found in it, by line."""
    try:
        plain = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        return None, (_grammar(error),)
    lines: Lines = line_map(text)
    if problem := _version_problem(plain):
        return None, (Finding(line_of(("sheet", "sheet_version"), lines), "sheet", problem),)
    plain = upgrade(plain)
    found: list[Finding] = []
    try:
        sheet = DriveSheet.model_validate(plain)
    except ValidationError as error:
        details = error.errors()
        found += [_schema(detail, lines) for detail in details]
        rest, lines = _readable_rest(plain, details, lines)
        left_out = _keys_left_out(plain, details)
        found += [f for f in meaning(rest, lines) if not _about(f, left_out)] if rest else []
        return rest, tuple(sorted(set(found)))
    found += meaning(sheet, lines)
    return sheet, tuple(sorted(set(found)))


def json_schema() -> str:
    """The JSON Schema of a sheet, for editors that complete and check TOML."""
    schema = DriveSheet.model_json_schema()
    schema["title"] = f"Casewright drive sheet, version {SHEET_VERSION}"
    return json.dumps(schema, indent=2, ensure_ascii=False)


def _grammar(error: tomllib.TOMLDecodeError) -> Finding:
    words = str(error)
    line = words.rpartition("line ")[2].partition(",")[0]
    return Finding(int(line) if line.isdigit() else 0, "grammar", f"not TOML: {words}")


def _version_problem(plain: dict[str, Any]) -> str:
    version = version_of(plain)
    if version is None:
        return f"sheet_version is missing; write sheet_version = {SHEET_VERSION} under [sheet]"
    if version > SHEET_VERSION:
        return (
            f"sheet_version {version} is from a newer Casewright (this one reads up to "
            f"{SHEET_VERSION}); update Casewright, or take the sheet's older copy"
        )
    return ""


def _schema(detail: ErrorDetails, lines: Lines) -> Finding:
    path = tuple(step for step in detail["loc"] if not str(step).startswith("literal["))
    where = ".".join(str(step) for step in path)
    words = detail["msg"].removeprefix("Value error, ")
    if detail["type"] == "extra_forbidden":
        words = f"{path[-1]!r} isn't a word of the sheet; check its spelling, or leave it out"
    elif detail["type"] == "missing":
        words = f"{path[-1]!r} is needed here"
    elif isinstance(detail["input"], str | int | float):
        words = f"{words} (got {detail['input']!r})"
    return Finding(line_of(path, lines), where, words)


def _bad_items(plain: dict[str, Any], details: list[ErrorDetails]) -> dict[str, set[int]]:
    """Table name to the indices of the items in it that don't read."""
    bad: dict[str, set[int]] = {}
    for detail in details:
        table, *rest = detail["loc"]
        if table in plain:
            bad.setdefault(str(table), set()).update(i for i in rest[:1] if isinstance(i, int))
    return bad


def _keys_left_out(plain: dict[str, Any], details: list[ErrorDetails]) -> set[str]:
    """Keys of items that don't read: whoever points at them is not to blame."""
    return {
        str(plain[table][index].get("key"))
        for table, indices in _bad_items(plain, details).items()
        if isinstance(plain[table], list)
        for index in indices
        if index < len(plain[table]) and isinstance(plain[table][index], dict)
    }


def _about(finding: Finding, keys: set[str]) -> bool:
    return any(f"{key!r} is not among" in finding.message for key in keys)


def _readable_rest(
    plain: dict[str, Any], details: list[ErrorDetails], lines: Lines
) -> tuple[DriveSheet | None, Lines]:
    """The sheet without what doesn't read, so that the rest is still checked for meaning.

    Indices move up where items are left out, so the line map moves with them.
    """
    bad = _bad_items(plain, details)
    kept: dict[str, Any] = {"sheet": _STAND_IN}
    moved = dict(lines)
    for table, value in plain.items():
        if table not in DriveSheet.model_fields or (table in bad and not isinstance(value, list)):
            continue
        kept[table] = value
        if table in bad:
            stay = [index for index in range(len(value)) if index not in bad[table]]
            kept[table] = [value[index] for index in stay]
            moved = _moved(moved, table, stay)
    try:
        return DriveSheet.model_validate(kept), moved
    except ValidationError:
        return None, lines


# Takes the place of a head that doesn't read, so that the rest can still be checked.
_STAND_IN = {"sheet_version": SHEET_VERSION, "key": "unread", "name": "head can't be read"}


def _moved(lines: Lines, table: str, stay: list[int]) -> dict[tuple[str | int, ...], int]:
    new = {old: index for index, old in enumerate(stay)}
    moved = {}
    for path, line in lines.items():
        if len(path) > 1 and path[0] == table and isinstance(path[1], int):
            if path[1] in new:
                moved[(table, new[path[1]], *path[2:])] = line
        else:
            moved[path] = line
    return moved
