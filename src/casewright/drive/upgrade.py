"""Bring a sheet of an older version to the present one, step by step.

A later schema never refuses an old sheet: each version gets one function here that takes the plain
mapping one version up. The text that a job adopted stays as it was; only the reading changes.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from casewright.drive.schema import SHEET_VERSION

Plain = dict[str, Any]


def _from_0(sheet: Plain) -> Plain:
    """Version 0 (trial sheets) called the response list `windows` and had no `[sheet] key`."""
    head = dict(sheet.get("sheet", {}))
    head.setdefault("key", str(head.get("name", "sheet")).lower().replace(" ", "-"))
    upgraded = {**sheet, "sheet": head}
    if "windows" in upgraded:
        upgraded["responses"] = upgraded.pop("windows")
    return upgraded


UPGRADERS: Mapping[int, Callable[[Plain], Plain]] = {0: _from_0}


def version_of(sheet: Mapping[str, Any]) -> int | None:
    """The version that a plain sheet says it has; None where it says none or nonsense."""
    head = sheet.get("sheet")
    version = head.get("sheet_version") if isinstance(head, Mapping) else None
    return version if isinstance(version, int) and not isinstance(version, bool) else None


def upgrade(sheet: Plain) -> Plain:
    """The same sheet in the present version's words."""
    version = version_of(sheet)
    while version is not None and version < SHEET_VERSION and version in UPGRADERS:
        sheet = UPGRADERS[version](sheet)
        version += 1
        sheet = {**sheet, "sheet": {**sheet["sheet"], "sheet_version": version}}
    return sheet
