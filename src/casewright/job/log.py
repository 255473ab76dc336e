"""The log as text: read lines, check the chain, mend a torn tail, take a new entry.

Every odd thing has one answer. A torn last line (power went while it was written) is left out and
said; everything before it is good. A line that was sent twice is one entry. A broken hash is an
error unless the reader asks to go on, and then every page says it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from casewright.errors import BrokenChainError, EntryRefusedError, LogError
from casewright.job.entry import FIRST, Accepted, Entry, accept, accepted_from, hash_of


@dataclass(frozen=True, slots=True)
class Log:
    """Accepted entries in sequence, and what was odd about the text that they came from."""

    entries: tuple[Accepted, ...]
    oddities: tuple[str, ...] = ()

    @property
    def head(self) -> str:
        """Hash of the last entry."""
        return self.entries[-1].hash if self.entries else FIRST


def read_log(text: str, *, allow_broken: bool = False) -> Log:
    """A log from `.jsonl` text; LogError or BrokenChainError where it can't be trusted."""
    lines = [line for line in text.split("\n") if line.strip()]
    torn = bool(lines) and not text.endswith("\n")
    oddities: list[str] = []
    entries: list[Accepted] = []
    for number, line in enumerate(lines, start=1):
        try:
            entries.append(accepted_from(line))
        except LogError as error:
            if number == len(lines) and torn:
                oddities.append("the last line was torn and is left out; the rest is whole")
                break
            raise LogError(f"line {number}: {error}") from None
    entries, odd = _in_order(entries)
    oddities += odd + list(broken_links(entries, allow_broken=allow_broken))
    return Log(tuple(entries), tuple(oddities))


def _in_order(entries: list[Accepted]) -> tuple[list[Accepted], list[str]]:
    """Entries by sequence, each once; what was out of order or double is said."""
    odd = []
    by_sequence: dict[int, Accepted] = {}
    for accepted in entries:
        twin = by_sequence.setdefault(accepted.sequence, accepted)
        if twin is not accepted:
            if twin != accepted:
                raise LogError(f"two different entries have sequence {accepted.sequence}")
            odd.append(f"entry {accepted.sequence} stands twice; taken once")
    ordered = [by_sequence[sequence] for sequence in sorted(by_sequence)]
    if [a.sequence for a in entries] != sorted(a.sequence for a in entries):
        odd.append("entries stood out of order and were sorted by sequence")
    return ordered, odd


def broken_links(entries: Sequence[Accepted], *, allow_broken: bool = False) -> Iterable[str]:
    """Check sequence and hash chain; yield what is broken, or raise at the first."""
    before = FIRST
    for expected, accepted in enumerate(entries, start=1):
        if accepted.sequence != expected:
            raise LogError(f"entry {expected} is missing: the log goes on with {accepted.sequence}")
        right = hash_of(accepted.text())
        if accepted.before != before or accepted.hash != right:
            if not allow_broken:
                raise BrokenChainError(accepted.sequence, right, accepted.hash)
            yield f"the hash chain is broken at entry {accepted.sequence}"
        before = accepted.hash


def write_log(entries: Iterable[Accepted]) -> str:
    """The `.jsonl` text of a log, one line an entry, each ended."""
    return "".join(accepted.line() + "\n" for accepted in entries)


def take(log: Sequence[Accepted], entry: Entry, recorded_at: str) -> tuple[Accepted, bool]:
    """The entry accepted behind `log`, or the one that it repeats; whether it is new.

    The same id with the same content is a resend and is taken once. The same id with other content
    is refused: a correction needs an id of its own.
    """
    twin = next((known for known in log if known.entry.id == entry.id), None)
    if twin is not None:
        return same_or_refused(twin, entry), False
    before = log[-1].hash if log else FIRST
    return accept(entry, len(log) + 1, recorded_at, before), True


def same_or_refused(twin: Accepted, entry: Entry) -> Accepted:
    """The earlier entry where `entry` repeats it; refused where its content differs."""
    old, new = twin.entry.plain(), entry.plain()
    old.pop("seen"), new.pop("seen")
    if old != new:
        raise EntryRefusedError(
            f"entry {entry.id} is already in the log with other content; "
            "make a new entry that supersedes it"
        )
    return twin
