"""The rooms as commands."""

from __future__ import annotations

from collections.abc import Callable

import typer

from casewright.cli.common import (
    JOBS,
    Broken,
    Folder,
    JobArgument,
    Json,
    print_json,
    read_job,
    settings_of_job,
)


def _room(name: str, line: str) -> Callable[..., None]:
    def command(
        job: JobArgument, folder: Folder = JOBS, as_json: Json = False, broken: Broken = False
    ) -> None:
        from casewright.voice.plain import as_plain
        from casewright.voice.rooms import document

        state, log = read_job(job, folder, broken)
        said = document(name, state, settings_of_job(job, folder, state))
        if as_json:
            print_json(as_plain(said))
            return
        from rich.console import Console

        from casewright.job.sheet_file import sheet_changed
        from casewright.store.shipped import shipped_sheets
        from casewright.voice.terminal import show

        console = Console()
        changed = sheet_changed(state, shipped_sheets().get(state.sheet_name, ""))
        for odd in filter(None, (changed, *log.oddities, *state.oddities)):
            console.print(f"! {odd}", style="bold")
        show(said, console)

    command.__doc__ = f"{line}\n\nExample: casewright {name} demo/oyster-boat.jsonl"
    return command


ROOM_LINES = {
    "takein": "Complaint, hours, what was seen before touching, as-received readings.",
    "strip": "The strip list: next step, counts, locks, stuck joints and their ladders.",
    "inspect": "Readings against limits, verdicts on pieces, what to read next.",
    "cause": "Why it failed: causes, what speaks for and against, the next check worth doing.",
    "order": "What is needed, the cheapest cover, the quote and the owner's yes.",
    "setup": "Shims and other adjusters: first guess, trials, what to fit, when to stop.",
    "proof": "Sealing test, torques, oil, anodes, functional tests.",
    "handover": "Is the final build complete; sign-off.",
}


def register(app: typer.Typer) -> None:
    """Add the rooms to the program."""
    for name, line in ROOM_LINES.items():
        app.command(name, rich_help_panel="Rooms")(_room(name, line))
