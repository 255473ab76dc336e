"""Sheets that a job can be opened from: those shipped, those in the shop's folder, or pasted."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from django.conf import settings as django_settings

from casewright.drive.load import Loaded, load
from casewright.errors import FormErrors, InputError
from casewright.job.entry import Entry
from casewright.job.sheet_file import sheet_changed
from casewright.job.state import State
from casewright.shop import desk
from casewright.shop.models import Owner
from casewright.store.shipped import shipped_sheets

SCOPES: Mapping[str, tuple[str, ...]] = {
    "whole rebuild": (
        "takein", "strip", "inspect", "cause", "order", "setup", "proof", "handover",
    ),
    "reseal": ("strip", "proof", "handover"),
    "propeller shaft": ("takein", "strip", "inspect", "proof", "handover"),
    "set-up only": ("setup", "proof", "handover"),
    "water pump": ("strip", "handover"),
    "shift fault": ("takein", "strip", "inspect", "handover"),
    "look and quote": ("takein", "inspect", "cause", "order"),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class SheetName:
    """A sheet to choose: its key, its name, and whether the shop wrote it."""

    key: str
    name: str
    own: bool


def folder() -> Path:
    """Where the shop keeps its own sheets."""
    return Path(django_settings.HOME) / "sheets"


def texts() -> dict[str, tuple[str, bool]]:
    """Key to text of every sheet; a shop's own comes before a shipped one of the same key."""
    found = {key: (text, False) for key, text in shipped_sheets().items()}
    if folder().is_dir():
        own = sorted(folder().glob("*.toml"))
        found |= {path.stem: (path.read_text("utf-8"), True) for path in own}
    return found


def names() -> list[SheetName]:
    """The sheets to choose from: the shop's own, those shipped, then the skeletons to fill in."""
    listed = []
    for key, (text, own) in texts().items():
        match = re.search(r'^name\s*=\s*"([^"]+)"', text, re.MULTILINE)
        listed.append(SheetName(key, match[1] if match else key, own))
    return sorted(listed, key=lambda one: (not one.own, "(fill in)" in one.name, one.name))


def sheet(key: str) -> Loaded:
    """A sheet by key, checked."""
    known = texts()
    if key not in known:
        raise InputError("sheet", key, f"one of {', '.join(known)}")
    return load(known[key][0], key)


def open_from_form(typed: Mapping[str, str], who: str) -> str:
    """Open a job: its owner outside the log, then two entries. Returns the job's id."""
    mistakes = [
        InputError(name, typed.get(name, ""), expected)
        for name, expected in (
            ("title", "a name for the job, like 'launch 4, starboard leg'"),
            ("sheet", "a drive sheet"),
        )
        if not typed.get(name, "").strip()
    ]
    if not who.strip():
        mistakes.append(InputError("who", who, "your name or initials"))
    if mistakes:
        raise FormErrors("open a job", mistakes)
    loaded = sheet(typed["sheet"])
    job = _job_id(typed["title"])
    for kind, body in _first_entries(typed, loaded):
        moment = datetime.now(UTC).isoformat(timespec="seconds")
        desk.take(job, Entry(desk.new_id(), kind, body, who, moment))
    return job


def _first_entries(typed: Mapping[str, str], loaded: Loaded) -> list[tuple[str, dict[str, object]]]:
    scope = typed.get("scope") or "whole rebuild"
    opened: dict[str, object] = {
        "title": typed["title"].strip(),
        "scope": scope,
        "rooms": list(SCOPES.get(scope, SCOPES["whole rebuild"])),
        "duty": typed.get("duty", ""),
        "leg_serial": typed.get("leg_serial", ""),
        "owner": _owner(typed),
        "currency": typed.get("currency") or "EUR",
    }
    adopted: dict[str, object] = {
        "name": typed["sheet"],
        "text": loaded.text,
        "digest": loaded.digest,
    }
    return [("job-opened", opened), ("sheet-adopted", adopted)]


def _owner(typed: Mapping[str, str]) -> str:
    if not (typed.get("owner_name") or typed.get("owner_contact")):
        return ""
    row = Owner.objects.create(
        key=desk.new_id(),
        name=typed.get("owner_name", "")[:200],
        contact=typed.get("owner_contact", ""),
    )
    return str(row.key)


def _job_id(title: str) -> str:
    """An id that a person can read: the date, words of the title, four letters that differ."""
    words = re.sub(r"[^a-z0-9]+", "-", title.lower()).strip("-")[:40] or "job"
    return f"{desk.today().isoformat()}-{words}-{desk.new_id()[:4]}"


def changed_since(state: State) -> str:
    """What to say where the sheet's file is no longer what the job adopted; "" where it is."""
    text = texts().get(state.sheet_name, ("", False))[0]
    return sheet_changed(state, text)
