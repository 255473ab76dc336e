"""An entry as its client makes it, and as the one store that owns the job accepts it."""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from pydantic import ValidationError

from casewright.errors import EntryRefusedError, FormErrors, InputError, LogError
from casewright.job.kinds import BODIES, Body

_ID = re.compile(r"^[A-Za-z0-9._\-]{8,64}$")
FIRST = "0" * 64


@dataclass(frozen=True, slots=True)
class Entry:
    """What a client says: its own id, kind and version, body, who, and when it happened.

    `supersedes` names the entry that this one corrects. `seen` is the last sequence that the client
    had seen: an answer given without having seen another answer to the same question is a conflict.
    """

    id: str
    kind: str
    body: Mapping[str, Any]
    who: str
    happened_at: str
    version: int = 1
    supersedes: str | None = None
    seen: int | None = None

    def plain(self) -> dict[str, Any]:
        """As a plain mapping, ready for canonical text."""
        return {
            "id": self.id,
            "kind": self.kind,
            "version": self.version,
            "body": dict(self.body),
            "who": self.who,
            "happened_at": self.happened_at,
            "supersedes": self.supersedes,
            "seen": self.seen,
        }


@dataclass(frozen=True, slots=True)
class Accepted:
    """An entry with its place in the log: sequence, time of recording, hash, and hash before."""

    entry: Entry
    sequence: int
    recorded_at: str
    before: str
    hash: str = field(default="")

    def text(self) -> str:
        """Canonical text over which the hash is taken: sorted keys, no blanks, UTF-8 as it is."""
        plain = self.entry.plain()
        plain |= {"sequence": self.sequence, "recorded_at": self.recorded_at, "before": self.before}
        return canonical(plain)

    def line(self) -> str:
        """One line of a `.jsonl` file: the canonical text with its hash."""
        return canonical({**json.loads(self.text()), "hash": self.hash})


def canonical(plain: Mapping[str, Any]) -> str:
    """JSON text that is the same for the same content."""
    return json.dumps(
        plain, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False
    )


def hash_of(text: str) -> str:
    """SHA-256 of canonical text, hexadecimal."""
    return hashlib.sha256(text.encode("utf-8")).hexdigest()


def check_id(given: str) -> None:
    """Refuse an id that would make a log unreadable."""
    if not _ID.match(given):
        raise EntryRefusedError(f"entry id {given!r}: expected 8 to 64 letters, digits, . _ -")


def accept(entry: Entry, sequence: int, recorded_at: str, before: str) -> Accepted:
    """The entry with its place in the log and its hash; refused with an id that no log can hold."""
    check_id(entry.id)
    unsealed = Accepted(entry, sequence, recorded_at, before)
    return Accepted(entry, sequence, recorded_at, before, hash_of(unsealed.text()))


def entry_from(plain: Mapping[str, Any]) -> Entry:
    """An entry from a plain mapping (form, file, request); EntryRefusedError if it isn't one."""
    try:
        entry = Entry(
            id=str(plain["id"]),
            kind=str(plain["kind"]),
            body=dict(plain["body"]),
            who=str(plain.get("who", "")),
            happened_at=str(plain["happened_at"]),
            version=int(plain.get("version", 1)),
            supersedes=plain.get("supersedes") or None,
            seen=None if plain.get("seen") is None else int(plain["seen"]),
        )
    except (KeyError, TypeError, ValueError) as error:
        raise EntryRefusedError(f"this isn't an entry: {error!r} is missing or malformed") from None
    check_id(entry.id)
    check_time(entry.happened_at, "happened_at")
    return entry


def accepted_from(line: str) -> Accepted:
    """An accepted entry from one line of a log; LogError where the line isn't one."""
    try:
        plain = json.loads(line)
        entry = entry_from(plain)
        return Accepted(
            entry, int(plain["sequence"]), str(plain["recorded_at"]), plain["before"], plain["hash"]
        )
    except (json.JSONDecodeError, KeyError, TypeError, ValueError, EntryRefusedError) as error:
        raise LogError(f"a line of the log can't be read: {error}") from None


def check_time(text: str, field_name: str) -> datetime:
    """An ISO 8601 time with its zone; InputError otherwise."""
    moment: datetime | None
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        moment = None
    if moment is None or moment.tzinfo is None:
        raise InputError(
            field_name, text, "a date and time with its zone", "Like 2026-03-04T15:20:00+00:00."
        )
    return moment


def is_known(entry: Entry) -> bool:
    """Whether this Casewright knows the kind and version; newer ones are kept, not understood."""
    return entry.kind in BODIES and entry.version <= BODIES[entry.kind].VERSION


def body_of(entry: Entry) -> Body:
    """The typed body; FormErrors with every field that isn't right, in one pass."""
    try:
        return BODIES[entry.kind].model_validate(dict(entry.body))
    except ValidationError as error:
        mistakes = [
            InputError(
                ".".join(str(step) for step in detail["loc"]) or entry.kind,
                detail["input"] if not isinstance(detail["input"], dict) else None,
                _expected(detail["type"], detail["msg"]),
            )
            for detail in error.errors()
        ]
        raise FormErrors(entry.kind, mistakes) from None


def _expected(kind: str, message: str) -> str:
    words = {
        "missing": "an answer here",
        "string_too_short": "some words here",
        "extra_forbidden": "no such field",
        "too_short": "at least one",
    }
    return words.get(kind, message[0].lower() + message[1:])
