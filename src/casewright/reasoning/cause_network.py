"""The cause network as data: roots, mechanisms, findings and their links, read from a mapping.

Layers: root causes → mechanisms (which may also follow from earlier mechanisms) → findings.
Every link is a noisy-OR link in the *net* convention: `strength` is the chance that this parent
alone, without the leak, brings the child about; `leak` is the chance that the child is there
with every named parent absent. A child that no noisy-OR fits may carry its whole table instead.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from casewright.errors import FormErrors, InputError, MissingError, RangeError

MOST_ROOTS = 16
MOST_MECHANISMS = 20
MOST_PARENTS = 10


@dataclass(frozen=True, slots=True)
class Link:
    """One noisy-OR link: `parent` alone brings the child about with chance `strength`."""

    parent: str
    strength: float
    reason: str = ""


@dataclass(frozen=True, slots=True)
class RootCause:
    """A root cause: prior chance by kind of duty, what mends it, what leaving it open costs."""

    key: str
    label: str
    priors: tuple[tuple[str, float], ...]
    remedy: str = ""
    remedy_cost: float = 0.0
    comeback_cost: float = 0.0

    def prior(self, duty: str) -> float:
        """The prior chance for one kind of duty."""
        return dict(self.priors)[duty]


@dataclass(frozen=True, slots=True)
class Mechanism:
    """What a cause does inside the leg; not seen itself, only through findings.

    `table`, where given, is P(present) for every state of the parents (first link slowest,
    absent before present) and rules over leak and strengths.
    """

    key: str
    label: str
    leak: float
    links: tuple[Link, ...]
    table: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Finding:
    """What a technician can see or read: yes, no or unknown; `minutes` is what looking costs."""

    key: str
    label: str
    leak: float
    links: tuple[Link, ...]
    minutes: float
    where: str = ""
    table: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Network:
    """A whole cause network; mechanisms stand after the mechanisms that they follow from."""

    title: str
    duties: tuple[str, ...]
    roots: tuple[RootCause, ...]
    mechanisms: tuple[Mechanism, ...]
    findings: tuple[Finding, ...]
    note: str = ""


class _Desk:
    """Collects mistakes while a mapping is read, so that all are named in one pass."""

    def __init__(self) -> None:
        self.mistakes: list[InputError] = []

    def chance(self, field: str, value: object) -> float:
        """A number from 0 to 1, else a noted mistake."""
        number = self.number(field, value)
        if not 0 <= number <= 1:
            self.mistakes.append(RangeError(field, value, "a chance from 0 to 1"))
            return 0.0
        return number

    def number(self, field: str, value: object) -> float:
        """A finite number that is not negative, else a noted mistake."""
        if isinstance(value, bool) or not isinstance(value, int | float):
            mistake = MissingError if value is None else InputError
            note = (field, "a number") if value is None else (field, value, "a number")
            self.mistakes.append(mistake(*note))
            return 0.0
        if not 0 <= value < float("inf"):
            self.mistakes.append(RangeError(field, value, "a number that is not negative"))
            return 0.0
        return float(value)

    def text(self, field: str, value: object) -> str:
        """Words that are not empty, else a noted mistake."""
        if not isinstance(value, str) or not value.strip():
            self.mistakes.append(MissingError(field, "words"))
            return ""
        return value.strip()

    def known(self, field: str, given: Iterable[str], allowed: Iterable[str]) -> None:
        """Notes every key that nobody reads: a misspelt one would be lost in silence."""
        names = sorted(allowed)
        for key in sorted(set(given) - set(names)):
            self.mistakes.append(
                InputError(f"{field}.{key}", key, f"one of {', '.join(names) or 'none'}")
            )


def network_from_mapping(mapping: Mapping[str, Any]) -> Network:
    """A cause network from a parsed data file, with every mistake found in one pass.

    Args:
        mapping: tables `cause`, `mechanism`, `finding` (key → entry), `duties`, `title` [-].
    Returns:
        the network, mechanisms put in the order in which they follow from each other [-].
    Valid: up to 16 root causes and 20 mechanisms; links may not run in a circle.
    Raises: FormErrors holding one InputError per mistake, each with its field's path.
    Source: own: form of the data file; noisy-OR as in PEARL1988 section 4.3.2.
    """
    desk = _Desk()
    desk.known("file", mapping, ("title", "note", "duties", "cause", "mechanism", "finding"))
    duties = tuple(str(duty) for duty in mapping.get("duties", ()))
    if not duties:
        desk.mistakes.append(MissingError("duties", "a list of kinds of duty"))
    tables = {kind: dict(mapping.get(kind, {})) for kind in ("cause", "mechanism", "finding")}
    _check_sizes(desk, tables)
    roots = tuple(_root(desk, key, entry, duties) for key, entry in tables["cause"].items())
    parents = tables["cause"].keys() | tables["mechanism"].keys()
    mechanisms = [
        _mechanism(desk, key, entry, parents) for key, entry in tables["mechanism"].items()
    ]
    findings = tuple(
        _finding(desk, key, entry, parents) for key, entry in tables["finding"].items()
    )
    ordered = _in_order(desk, mechanisms)
    if desk.mistakes:
        raise FormErrors("cause network", desk.mistakes)
    title = str(mapping.get("title", ""))
    return Network(title, duties, roots, ordered, findings, str(mapping.get("note", "")))


def _check_sizes(desk: _Desk, tables: Mapping[str, Mapping[str, object]]) -> None:
    for kind, most in (("cause", MOST_ROOTS), ("mechanism", MOST_MECHANISMS)):
        if len(tables[kind]) > most:
            desk.mistakes.append(RangeError(kind, len(tables[kind]), f"at most {most} entries"))
    for kind in ("cause", "finding"):
        if not tables[kind]:
            desk.mistakes.append(MissingError(kind, "at least one entry"))
    names = [name for table in tables.values() for name in table]
    for name in sorted({name for name in names if names.count(name) > 1}):
        desk.mistakes.append(InputError(name, name, "one key for one thing", "Rename one of them."))


def _root(desk: _Desk, key: str, entry: Mapping[str, Any], duties: tuple[str, ...]) -> RootCause:
    field = f"cause.{key}"
    desk.known(field, entry, ("label", "prior", "remedy", "remedy_cost", "comeback_cost", "reason"))
    given = entry.get("prior", {})
    given = given if isinstance(given, Mapping) else dict.fromkeys(duties, given)
    desk.known(f"{field}.prior", given, duties)
    priors = tuple((d, desk.chance(f"{field}.prior.{d}", given.get(d))) for d in duties)
    return RootCause(
        key,
        desk.text(f"{field}.label", entry.get("label")),
        priors,
        desk.text(f"{field}.remedy", entry.get("remedy")),
        desk.number(f"{field}.remedy_cost", entry.get("remedy_cost", 0.0)),
        desk.number(f"{field}.comeback_cost", entry.get("comeback_cost", 0.0)),
    )


def _mechanism(
    desk: _Desk, key: str, entry: Mapping[str, Any], parents: Iterable[str]
) -> Mechanism:
    field = f"mechanism.{key}"
    desk.known(field, entry, ("label", "leak", "links", "table"))
    return Mechanism(
        key,
        desk.text(f"{field}.label", entry.get("label")),
        desk.chance(f"{field}.leak", entry.get("leak", 0.0 if "table" in entry else None)),
        _links(desk, field, entry, parents),
        _table(desk, field, entry),
    )


def _finding(desk: _Desk, key: str, entry: Mapping[str, Any], parents: Iterable[str]) -> Finding:
    field = f"finding.{key}"
    desk.known(field, entry, ("label", "leak", "links", "minutes", "where", "table"))
    minutes = desk.number(f"{field}.minutes", entry.get("minutes"))
    if minutes == 0 and entry.get("minutes") is not None:
        desk.mistakes.append(RangeError(f"{field}.minutes", minutes, "more than 0 minutes"))
    return Finding(
        key,
        desk.text(f"{field}.label", entry.get("label")),
        desk.chance(f"{field}.leak", entry.get("leak", 0.0 if "table" in entry else None)),
        _links(desk, field, entry, parents),
        minutes,
        str(entry.get("where", "")),
        _table(desk, field, entry),
    )


def _links(
    desk: _Desk, field: str, entry: Mapping[str, Any], parents: Iterable[str]
) -> tuple[Link, ...]:
    """Links written as `parent = [strength, "reason"]`."""
    table = entry.get("links") or {}
    if not table:
        desk.mistakes.append(MissingError(f"{field}.links", "at least one parent"))
    if len(table) > MOST_PARENTS:
        expected = f"at most {MOST_PARENTS} parents"
        desk.mistakes.append(RangeError(f"{field}.links", len(table), expected))
    desk.known(f"{field}.links", table, parents)
    links = []
    for parent, pair in table.items():
        strength, reason = (pair[0], pair[1]) if _is_pair(pair) else (pair, None)
        path = f"{field}.links.{parent}"
        links.append(Link(parent, desk.chance(path, strength), desk.text(path, reason)))
    return tuple(links)


def _table(desk: _Desk, field: str, entry: Mapping[str, Any]) -> tuple[float, ...]:
    """P(present) for every state of the parents, where a child carries its whole table."""
    given = entry.get("table", ())
    wanted = 2 ** len(entry.get("links") or {})
    if given and len(given) != wanted:
        desk.mistakes.append(RangeError(f"{field}.table", len(given), f"{wanted} chances"))
    return tuple(desk.chance(f"{field}.table", value) for value in given)


def _is_pair(pair: object) -> bool:
    return isinstance(pair, list | tuple) and len(pair) == 2


def _in_order(desk: _Desk, mechanisms: list[Mechanism]) -> tuple[Mechanism, ...]:
    """Mechanisms with parents first; a circle is a mistake that names its members."""
    waiting = {item.key: item for item in mechanisms}
    ordered: list[Mechanism] = []
    while waiting:
        ready = [m for m in waiting.values() if not any(x.parent in waiting for x in m.links)]
        if not ready:
            circle = ", ".join(waiting)
            desk.mistakes.append(InputError("mechanism", circle, "links that run in no circle"))
            break
        ordered += ready
        for item in ready:
            del waiting[item.key]
    return tuple(ordered)
