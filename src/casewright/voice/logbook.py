"""The log as people read it: what was said, by whom, when; what counts, what was taken back."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from casewright.job.entry import Accepted
from casewright.job.log import Log
from casewright.job.state import Conflict, State
from casewright.voice.document import (
    Ask,
    Block,
    Cell,
    Document,
    Facts,
    Field,
    Fold,
    Say,
    Section,
    Table,
)


def logbook(log: Log, state: State) -> Document:
    """The log page: conflicts to settle first, then the entries, latest first."""
    gone = _gone(log)
    sections = (
        [Section("conflicts", "Two answers to one question", _conflicts(log, state.conflicts))]
        if state.conflicts
        else []
    )
    rows = tuple(_row(accepted, gone) for accepted in reversed(log.entries))
    table = Table("", ("No.", "When it happened", "Who", "What", "Counts"), rows, "no entry yet")
    facts = Facts((("Entries", str(len(log.entries))), ("Head of the hash chain", log.head)))
    odd = tuple(Say(words, "unsure") for words in (*log.oddities, *state.oddities))
    undo = Ask(
        "withdrawn",
        "Take an entry back",
        "Take it back",
        (
            Field("entry", "Entry", "choice", choices=_choices(log, gone), needed=True),
            Field("reason", "Why", "words", needed=True),
        ),
    )
    sections += [
        Section("undo", "Undo", (undo,)),
        Section("entries", "All entries", (facts, *odd, table)),
        Section("chain", "What the chain proves", (Say(CHAIN),)),
    ]
    return Document("log", "Log", None, tuple(sections))


CHAIN = (
    "The hash chain finds accidents and careless edits, not a determined forger who rewrites the "
    "tail. The book prints the head hash, which makes a copy outside."
)


def _gone(log: Log) -> Mapping[str, str]:
    """Entry id to why it no longer counts."""
    gone: dict[str, str] = {}
    for accepted in log.entries:
        entry = accepted.entry
        if entry.supersedes:
            gone[entry.supersedes] = f"corrected by {accepted.sequence}"
        if entry.kind == "withdrawn":
            gone[str(entry.body.get("entry"))] = f"taken back by {accepted.sequence}"
        if entry.kind == "settled":
            gone |= {str(one): f"settled by {accepted.sequence}" for one in entry.body["drop"]}
    return gone


def _row(accepted: Accepted, gone: Mapping[str, str]) -> tuple[Cell | str, ...]:
    entry = accepted.entry
    counts = Cell(gone[entry.id], "gap") if entry.id in gone else Cell("counts", "done")
    return (
        str(accepted.sequence),
        entry.happened_at.replace("T", " ")[:16],
        entry.who,
        f"{entry.kind}: {in_words(_answer_first(entry.body))}",
        counts,
    )


def _answer_first(body: Mapping[str, Any]) -> Mapping[str, Any]:
    """A kept sum says its name and answer before what went in; other bodies stay as they are."""
    order = ("name", "outputs", "inputs")
    return {name: body[name] for name in order} if set(order) <= set(body) else body


def in_words(body: Mapping[str, Any], most: int = 160) -> str:
    """A body as a line of words; long texts are cut."""
    parts = []
    for name, value in body.items():
        if value in ("", [], (), {}, None, False):
            continue
        shown = _shown(value)
        parts.append(f"{name.replace('_', ' ')} {shown}" if value is not True else name)
    line = "; ".join(parts).replace("\n", " ")
    return line if len(line) <= most else line[: most - 1] + "…"


def _shown(value: Any) -> str:
    """A list or mapping in words."""
    if isinstance(value, Mapping):
        return ", ".join(f"{name} {_shown(inner)}" for name, inner in value.items())
    if isinstance(value, list | tuple):
        return ", ".join(_shown(inner) for inner in value)
    return str(value)


def _choices(log: Log, gone: Mapping[str, str]) -> tuple[tuple[str, str], ...]:
    """Entries that can be taken back, latest first; the two that open a job stay."""
    fixed = ("job-opened", "sheet-adopted", "withdrawn", "settled")
    return tuple(
        (a.entry.id, f"{a.sequence}: {a.entry.kind}, {in_words(a.entry.body, 60)}")
        for a in reversed(log.entries)
        if a.entry.id not in gone and a.entry.kind not in fixed
    )


def _conflicts(log: Log, conflicts: tuple[Conflict, ...]) -> tuple[Block, ...]:
    by_id = {accepted.entry.id: accepted for accepted in log.entries}
    blocks: list[Block] = []
    for conflict in conflicts:
        answers = [by_id[one] for one in conflict.entries if one in by_id]
        lines = tuple(
            (f"{a.entry.who}, entry {a.sequence}", in_words(a.entry.body)) for a in answers
        )
        asks = tuple(_settle(a, conflict) for a in answers)
        title = "Settle: " + " ".join(conflict.slot)
        blocks.append(Fold(title, (Facts(lines), *asks), open=True))
    return tuple(blocks)


def _settle(keep: Accepted, conflict: Conflict) -> Ask:
    drop = [one for one in conflict.entries if one != keep.entry.id]
    return Ask(
        "settled",
        f"Keep what {keep.entry.who} said",
        f"Keep entry {keep.sequence}",
        (Field("reason", "Why this one", "text", needed=True),),
        {"keep": keep.entry.id, "drop": drop},
    )
