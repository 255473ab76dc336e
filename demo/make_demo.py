"""Write the demo jobs' logs: `.venv/bin/python demo/make_demo.py`, by hand, after a change.

Each job is a readable list of what was said at the bench (`oyster_boat`, `survey_launch`,
`reseal`). Ids and times are fixed, nothing is random, no clock is asked: the same definitions
give the same bytes. Every entry passes the same door as at the bench (`check_entry`), and nothing
that the door would question is written.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from model import SEATS, SHIMS, Packs

from casewright.job.entry import FIRST, Accepted, Entry, accept
from casewright.job.fold import fold
from casewright.job.log import write_log
from casewright.job.rules import check_entry

HERE = Path(__file__).resolve().parent
SHEETS = HERE.parent / "sheets"


class Log:
    """A job's log being told: who is speaking, what time it is, what has been said."""

    def __init__(self, job: str) -> None:
        self.job = job
        self.accepted: list[Accepted] = []
        self.moment = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)
        self.typed: datetime | None = None
        self.who = "MH"

    def at(self, when: str, who: str = "", typed: str = "") -> None:
        """Go to a moment; `typed` is when the entries that follow were typed, if later."""
        self.moment = datetime.fromisoformat(when).replace(tzinfo=UTC)
        self.typed = datetime.fromisoformat(typed).replace(tzinfo=UTC) if typed else None
        self.who = who or self.who

    def say(self, kind: str, takes: float = 1, **body: Any) -> str:
        """One entry; the next one happens when it is done, `takes` minutes later. Gives its id."""
        number = len(self.accepted) + 1
        happened = self.moment.isoformat(timespec="seconds")
        recorded = (self.typed or self.moment + timedelta(seconds=20)).isoformat(timespec="seconds")
        before = self.accepted[-1] if self.accepted else None
        if before is not None and recorded < before.recorded_at:
            raise SystemExit(f"{self.job} entry {number}: recorded before the entry before it")
        body = {name: list(v) if isinstance(v, tuple) else v for name, v in body.items()}
        entry = Entry(f"{self.job}-{number:04d}", kind, body, self.who, happened)
        self._check(entry)
        self.accepted.append(accept(entry, number, recorded, before.hash if before else FIRST))
        self.moment += timedelta(minutes=body.get("minutes", takes))
        if self.typed:
            self.typed += timedelta(seconds=30)
        return entry.id

    def _check(self, entry: Entry) -> None:
        questions = check_entry(fold(self.accepted), entry)
        if questions:
            raise SystemExit(f"{entry.id}: the door asks: {questions[0].because}")

    def text(self) -> str:
        """The `.jsonl` text."""
        return write_log(self.accepted)


def sheet(name: str) -> str:
    """The text of a shipped sheet."""
    return (SHEETS / f"{name}.toml").read_text("utf-8")


def finding(log: Log, key: str, answer: str = "yes", words: str = "", **more: Any) -> None:
    """A finding of the cause network, answered."""
    log.say("finding", key=key, answer=answer, words=words, **more)


def counted(log: Log, joint: str, *places: int, state: str = "out", words: str = "") -> None:
    """Fasteners of a joint counted off."""
    log.say("fasteners-counted", joint=joint, places=places, fastener_state=state, words=words)


def done(log: Log, step: str, minutes: float, **more: Any) -> None:
    """A step done, with the minutes that it took."""
    log.say("step-done", step=step, minutes=minutes, **{"outcome": "done", **more})


def pack(log: Log, adjuster: str, occasion: str, packs: Packs, words: str = "") -> None:
    """The shims at an adjuster, as measured."""
    size = getattr(packs, SEATS[adjuster])
    log.say(
        "pack-fitted",
        adjuster=adjuster,
        occasion=occasion,
        shims=SHIMS[size],
        measured=True,
        words=words,
    )


def main() -> None:
    """Write all three logs beside this script."""
    import oyster_boat
    import reseal
    import survey_launch

    for module in (oyster_boat, survey_launch, reseal):
        log = Log(module.JOB)
        module.tell(log)
        path = HERE / f"{module.JOB}.jsonl"
        path.write_text(log.text(), "utf-8", newline="\n")
        print(f"{path.name}: {len(log.accepted)} entries, head {log.accepted[-1].hash[:16]}")


if __name__ == "__main__":
    main()
