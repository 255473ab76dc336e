"""A small fixed cast: jobs made from bodies, in a few words."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from casewright.drive.load import load
from casewright.job import kinds
from casewright.job.entry import Accepted, Entry, accept
from casewright.job.fold import fold
from casewright.job.kinds import Body
from casewright.job.settings import Settings
from casewright.job.state import State

ROOT = Path(__file__).parents[2]
MOMENT = "2026-03-04T09:00:00+00:00"
SETTINGS = Settings(today="2026-03-04")


def sheet_text(name: str = "winkle-3") -> str:
    """The text of a shipped sheet."""
    return (ROOT / "sheets" / f"{name}.toml").read_text("utf-8")


def opening(sheet: str = "winkle-3", scope: str = "whole rebuild", **more: object) -> list[Body]:
    """The two bodies that open a job from a shipped sheet (or from a sheet's text)."""
    text = sheet if "\n" in sheet else sheet_text(sheet)
    loaded = load(text, "sheet")
    opened = kinds.JobOpened(title="Oyster boat, port leg", scope=scope, **more)  # type: ignore[arg-type]
    return [opened, kinds.SheetAdopted(name="sheet", text=text, digest=loaded.digest)]


def log_of(bodies: Iterable[Body], who: str = "AB") -> list[Accepted]:
    """Bodies as a log, one after the other."""
    log: list[Accepted] = []
    before = "0" * 64
    for number, body in enumerate(bodies, start=1):
        plain = body.model_dump(mode="json")
        entry = Entry(f"entry-{number:04d}", body.KIND, plain, who, MOMENT)
        accepted = accept(entry, number, MOMENT, before)
        before = accepted.hash
        log.append(accepted)
    return log


def job(*bodies: Body, sheet: str = "winkle-3", **more: object) -> State:
    """A job's state from its bodies, opened from a shipped sheet."""
    return fold(log_of([*opening(sheet, **more), *bodies]))  # type: ignore[arg-type]
