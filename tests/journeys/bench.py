"""A bench for journeys: a job kept in a real store, every entry through the door, rooms read back."""

from __future__ import annotations

import tomllib
from datetime import UTC, datetime, timedelta
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Any

from casewright.drive.load import load
from casewright.job.entry import Accepted, Entry
from casewright.job.fold import fold
from casewright.job.log import Log, read_log
from casewright.job.rules import check_entry
from casewright.job.settings import Settings
from casewright.job.state import State
from casewright.store.files import FileStore
from casewright.store.protocol import LogStore
from casewright.voice.document import Ask, Card, Document, Fold
from casewright.voice.plain import texts
from casewright.voice.rooms import document

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "demo"
DEMOS = ("oyster-boat", "survey-launch", "reseal")


@cache
def settings() -> Settings:
    """A shop on a fixed day, with the cause network that comes along."""
    text = resources.files("casewright.tables.data").joinpath("causes-drive-leg.toml")
    return Settings(today="2026-06-01", cause_family=tomllib.loads(text.read_text("utf-8")))


@cache
def demo_log(name: str) -> Log:
    """A demo job's log as read from its file."""
    return read_log((DEMO / f"{name}.jsonl").read_text("utf-8"))


@cache
def demo_state(name: str) -> State:
    """A demo job's state."""
    return fold(demo_log(name).entries)


def demo_until(name: str, kind: str, **body: Any) -> State:
    """A demo job as it stood just before the first entry of a kind with these parts of its body."""
    kept: list[Accepted] = []
    for accepted in demo_log(name).entries:
        same = all(accepted.entry.body.get(key) == value for key, value in body.items())
        if accepted.entry.kind == kind and same:
            return fold(kept)
        kept.append(accepted)
    raise AssertionError(f"no {kind} with {body} in {name}")


def sheet_text(name: str) -> str:
    """The text of a shipped sheet."""
    return (ROOT / "sheets" / f"{name}.toml").read_text("utf-8")


class Bench:
    """One job in a store with a clock that the test sets; speaks entries, reads rooms."""

    def __init__(
        self, folder: Path, sheet: str = "winkle-3", store: LogStore | None = None
    ) -> None:
        self.clock = datetime(2026, 3, 4, 8, 0, tzinfo=UTC)
        self.store = store or FileStore(folder, self.now)
        self.count = 0
        self.sheet = sheet

    def now(self) -> str:
        """The test's own clock."""
        return self.clock.isoformat(timespec="seconds")

    def open(self, **more: Any) -> Bench:
        """Open the job and adopt its sheet."""
        text = sheet_text(self.sheet)
        self.say("job-opened", title="Journey", **more)
        self.say("sheet-adopted", name=self.sheet, text=text, digest=load(text).digest)
        return self

    def say(self, kind: str, *, at: str = "", **body: Any) -> Accepted:
        """One entry through the door and into the store; it happened `at`, or now."""
        self.count += 1
        self.clock += timedelta(seconds=30)
        entry = Entry(f"journey-{self.count:04d}", kind, body, "AB", at or self.now())
        asked = check_entry(self.state if self.count > 1 else State(), entry)
        assert not asked, asked
        return self.store.append("journey", entry)

    @property
    def log(self) -> Log:
        """The log as the store gives it back."""
        return self.store.read("journey")

    @property
    def state(self) -> State:
        """The state now."""
        return fold(self.log.entries)

    def room(self, name: str) -> Document:
        """What a room says now."""
        return document(name, self.state, settings(), with_map=False)

    def text(self, name: str) -> str:
        """All that a room says now, card included, as one text."""
        return all_text(self.room(name))


def all_text(said: Document) -> str:
    """Every text of a document with its card: titles, paragraphs, facts, cells, questions."""
    found = [said.title, *texts(said)]
    if said.card is not None:
        found += [said.card.title, said.card.where, *_inside(said.card)]
    found += [
        text for section in said.sections for block in section.blocks for text in _asks(block)
    ]
    return "\n".join(found)


def _inside(card: Card) -> list[str]:
    from casewright.voice.document import Section

    inner = Document("card", card.title, None, (Section("card", card.title, card.blocks),))
    return [*texts(inner), *(text for block in card.blocks for text in _asks(block))]


def _asks(block: Any) -> list[str]:
    if isinstance(block, Ask):
        return [block.title, block.button, block.caution, *(f.label for f in block.fields)]
    if isinstance(block, Fold):
        return [text for inner in block.blocks for text in _asks(inner)]
    return [getattr(block, "title", "")] if hasattr(block, "columns") else []
