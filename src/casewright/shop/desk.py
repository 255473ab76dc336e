"""Where the parts are joined for a request: store, clock, settings, state, entries from forms."""

from __future__ import annotations

import json
import tomllib
import uuid
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime
from functools import cache, lru_cache
from importlib import resources
from typing import Any

from django.http import HttpRequest
from django.utils import timezone

from casewright.errors import CasewrightError, FormErrors, InputError
from casewright.job.entry import Accepted, Entry
from casewright.job.fold import fold
from casewright.job.log import Log
from casewright.job.rules import check_entry
from casewright.job.settings import Settings
from casewright.job.state import State
from casewright.shop.store import DatabaseStore
from casewright.store.earlier import with_memory
from casewright.units import Question
from casewright.voice.forms import body_from


@dataclass(frozen=True, slots=True)
class Opened:
    """A job as read for one request."""

    job: str
    log: Log
    state: State


def new_id() -> str:
    """An id for a new entry or job."""
    return str(uuid.uuid4())


def store() -> DatabaseStore:
    """The one store of this shop."""
    return DatabaseStore()


def open_job(job: str) -> Opened:
    """A job's log and state; the state is kept while the log's head stays the same."""
    log = store().read(job, allow_broken=True)
    return Opened(job, log, _state(job, log.head, log))


@lru_cache(maxsize=64)
def _state_of(job: str, head: str, count: int, carrier: _Carrier) -> State:
    return fold(carrier.entries)


class _Carrier:
    """Carries the entries past the cache's key: equal for every log with the same head."""

    def __init__(self, entries: tuple[Accepted, ...]) -> None:
        self.entries = entries

    def __hash__(self) -> int:
        return 0

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Carrier)


def _state(job: str, head: str, log: Log) -> State:
    return _state_of(job, head, len(log.entries), _Carrier(log.entries))


@cache
def cause_family() -> Mapping[str, Any]:
    """The supplied family file of the cause network."""
    text = resources.files("casewright.tables.data").joinpath("causes-drive-leg.toml")
    return tomllib.loads(text.read_text("utf-8"))


def settings_for(request: HttpRequest | None = None, opened: Opened | None = None) -> Settings:
    """The settings for this person and today; with a job, what other jobs tell of its leg."""
    likes: dict[str, str] = dict(request.session.get("units", {})) if request else {}
    today = timezone.localdate().isoformat()
    settings = Settings(today=today, units=likes, cause_family=cause_family())
    if opened is None:
        return settings
    return with_memory(settings, store(), opened.job, opened.state, lambda job: open_job(job).state)


def who(request: HttpRequest) -> str:
    """Who is at the bench: the login where there is one, else the name given for this browser."""
    user = getattr(request, "user", None)
    if user is not None and user.is_authenticated:
        return str(user.get_username())
    return str(request.session.get("who", ""))


def entry_from_form(request: HttpRequest, posted: Mapping[str, Sequence[str]]) -> Entry:
    """The entry that a posted form says; who and when may be given for what is typed later."""
    kind = _last(posted, "kind")
    name = _last(posted, "by") or who(request)
    seen = _last(posted, "seen")
    try:
        body = body_from(kind, posted)
    except KeyError:
        raise InputError("kind", kind, "a kind of entry") from None
    except json.JSONDecodeError:
        raise InputError(
            "fixed", _last(posted, "fixed"), "what the page sent with the form"
        ) from None
    if "confirmed" in posted and kind == "reading":
        body["confirmed"] = True
    return Entry(
        id=_last(posted, "id") or new_id(),
        kind=kind,
        body=body,
        who=name,
        happened_at=_moment(_last(posted, "happened_at")),
        supersedes=_last(posted, "supersedes") or None,
        seen=int(seen) if seen.isdigit() else None,
    )


def _last(posted: Mapping[str, Sequence[str]], name: str) -> str:
    values = posted.get(name) or [""]
    return values[-1].strip()


def now() -> str:
    """This moment, as entries carry it."""
    return datetime.now(UTC).isoformat(timespec="seconds")


def _moment(text: str) -> str:
    """A local date and time as typed, with the shop's zone; now where nothing was typed."""
    if not text:
        return now()
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        raise InputError("happened_at", text, "a date and time") from None
    zoned = moment if moment.tzinfo else timezone.make_aware(moment)
    return zoned.isoformat(timespec="seconds")


def take(job: str, entry: Entry) -> tuple[Accepted | None, tuple[Question, ...]]:
    """Check an entry against the job and append it; questions instead where it is odd.

    A form sent again (its id is in the log with the same content) is answered as the first time,
    though the job has moved on and the clock too.
    """
    opened = _opened_or_new(job)
    twin = next((one for one in opened.log.entries if one.entry.id == entry.id), None)
    if twin is not None and (twin.entry.kind, twin.entry.body) == (entry.kind, entry.body):
        return twin, ()
    questions = check_entry(opened.state, entry, settings_for())
    if questions:
        return None, questions
    return store().append(job, entry), ()


def _opened_or_new(job: str) -> Opened:
    if job in store().jobs():
        return open_job(job)
    return Opened(job, Log(()), State())


def errors_by_field(error: CasewrightError) -> dict[str, str]:
    """Field name to message, for the page that shows each beside its field."""
    if isinstance(error, FormErrors):
        found = error.by_field()
        return {name.partition(".")[0]: text for name, text in found.items()} | dict(found)
    if isinstance(error, InputError):
        return {error.field: error.sentence()}
    return {}


def today() -> date:
    """The shop's date."""
    return timezone.localdate()
