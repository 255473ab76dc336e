"""The main job on the demo: what matters of it in the terminal, and the rebuild book as files."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from casewright.errors import MissingError
from casewright.job.fold import fold
from casewright.job.log import read_log
from casewright.job.settings import Settings
from casewright.job.state import State
from casewright.store.shipped import demo_logs
from casewright.voice.document import Ask, Block, Card, Document, Fold, Link, Picture
from casewright.voice.plain import as_plain
from casewright.voice.rooms import document

JOB = "oyster-boat"
SERVE = "python3 go.py serve"
# The sections that carry a room's result; a room without any of them gives its first one.
RESULTS: Mapping[str, tuple[str, ...]] = {
    "strip": ("list", "record", "counts"),
    "inspect": ("verdicts", "rule"),
    "setup": ("advice", "packs", "final"),
    "handover": ("gaps", "sign"),
}


@dataclass(frozen=True, slots=True)
class Files:
    """The book as written."""

    pdf: Path
    html: Path


def run(out: Path, settings: Settings, as_json: bool) -> None:
    """Read the demo job, show its main result, write its book into a folder, say what is next."""
    text = demo_logs().get(JOB)
    if text is None:
        raise MissingError(
            "demo", f"demo/{JOB}.jsonl", "Run Casewright from its folder, or make it anew."
        )
    state = fold(read_log(text).entries)
    results = main_result(state, settings)
    files = write_book(state, settings, out)
    if as_json:
        _print_json(state, results, files)
    else:
        _print_text(state, results, files)


def main_result(state: State, settings: Settings) -> tuple[Document, ...]:
    """Strip list, verdicts, packs and the checked build, each as its room says it, shortened."""
    return tuple(
        _short(document(room, state, settings, with_map=False), keys)
        for room, keys in RESULTS.items()
    )


def _short(said: Document, keys: tuple[str, ...]) -> Document:
    chosen = [section for section in said.sections if section.key in keys] or said.sections[:1]
    sections = tuple(replace(section, blocks=_plain(section.blocks)) for section in chosen)
    return Document(said.room, said.title, None, tuple(s for s in sections if s.blocks))


def _plain(blocks: tuple[Block, ...]) -> tuple[Block, ...]:
    """What the room says outright: no forms, no pictures, no working; those are in the book."""
    return tuple(b for b in blocks if not isinstance(b, Ask | Card | Fold | Link | Picture))


def write_book(state: State, settings: Settings, out: Path) -> Files:
    """The rebuild book as PDF and as one self-contained HTML file."""
    from casewright.book.book import book
    from casewright.book.pdf import pdf
    from casewright.book.self_contained import self_contained

    made = book(state, settings)
    out.mkdir(parents=True, exist_ok=True)
    files = Files(out / f"{JOB}.pdf", out / f"{JOB}.html")
    files.pdf.write_bytes(pdf(made, date.fromisoformat(settings.today)))
    files.html.write_text(self_contained(made), "utf-8")
    return files


def _print_text(state: State, results: tuple[Document, ...], files: Files) -> None:
    from rich.console import Console
    from rich.rule import Rule

    from casewright.voice.terminal import show

    console = Console()
    title = state.opened.body.title if state.opened else JOB
    console.print(f"{title} (invented), {state.count} entries, head {state.head[:16]}")
    for said in results:
        console.print(Rule(style="dim"))
        show(said, console, asks=False)
    console.print(Rule(style="dim"))
    lines = (
        f"The rebuild book: {files.pdf} and {files.html}",
        f"The same job as pages: {SERVE}",
        f"One room: casewright setup demo/{JOB}.jsonl",
    )
    for line in lines:
        console.print(line, soft_wrap=True, highlight=False)


def _print_json(state: State, results: tuple[Document, ...], files: Files) -> None:
    """One JSON object with what the terminal shows."""
    said = {
        "job": JOB,
        "entries": state.count,
        "head": state.head,
        "rooms": {one.room: as_plain(one) for one in results},
        "files": {"pdf": str(files.pdf), "html": str(files.html)},
        "serve": SERVE,
    }
    print(json.dumps(said, ensure_ascii=False, indent=2))
